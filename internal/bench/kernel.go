package main

import (
	"fmt"
	"io"
	"path/filepath"
	"runtime"
	"slices"
	"strings"
	"time"
)

// kernel is one piece of work that a check is made of.
type kernel struct {
	name    string
	row     string // the kernel's name in the table
	workers int
	// prepare reads the file and does what comes before the work, which is not timed.
	prepare func(path string) (round, error)
}

// round does the work once. Its answer puts into words what came out, for comparison
// with that of others, and is asked for when the clock has stopped.
type round func() (summary, error)

type summary func() string

var kernels = []kernel{
	{"read", "read", 1, prepareRead},
	{"weld", "weld", 1, prepareWeld},
	{"load", "load", 1, prepareLoad},
	{"tree", "tree", 1, prepareTree},
	{"rays", "rays", 1, prepareRays},
	{"crossings", "crossings", 1, prepareCrossings(1)},
	{"crossings-2", "crossings", 2, prepareCrossings(2)},
	{"layers", "layers", 1, prepareLayers},
}

func kernelNames() string {
	names := make([]string, len(kernels))
	for i, k := range kernels {
		names[i] = k.name
	}
	return strings.Join(names, ", ")
}

// timeKernel times a kernel on a file and writes its line.
func timeKernel(w io.Writer, name, path string, rounds int) error {
	i := slices.IndexFunc(kernels, func(k kernel) bool { return k.name == name })
	if i < 0 {
		return fmt.Errorf("%q is no kernel; there are %s", name, kernelNames())
	}
	k := kernels[i]
	// With one worker the collector of garbage must not work beside it unseen: peers that
	// free memory themselves pay for it on the same core.
	defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(k.workers))
	work, err := k.prepare(path)
	if err != nil {
		return err
	}
	times, result, err := timeRounds(work, rounds)
	if err != nil {
		return fmt.Errorf("%s of %s: %w", name, path, err)
	}
	mesh := strings.TrimSuffix(filepath.Base(path), filepath.Ext(path))
	who := "printlint"
	if k.workers > 1 {
		who = fmt.Sprintf("printlint, %d workers", k.workers)
	}
	return line{k.row, mesh, who, median(times), slices.Min(times), slices.Max(times), result}.write(w)
}

// timeRounds does the work once unseen and then some rounds by the clock. Their times
// are in ms. Every round must come to the same result.
func timeRounds(work round, rounds int) (times []float64, result string, err error) {
	for i := range rounds + 1 {
		runtime.GC()
		start := time.Now()
		summary, err := work()
		took := time.Since(start)
		if err != nil {
			return nil, "", err
		}
		got := summary()
		if i == 0 {
			result = got
			continue
		}
		if got != result {
			return nil, "", fmt.Errorf("round %d came to %q, those before to %q", i, got, result)
		}
		times = append(times, took.Seconds()*1e3)
	}
	return times, result, nil
}

// median is the middle value, or the mean of the two in the middle.
func median(values []float64) float64 {
	v := slices.Sorted(slices.Values(values))
	n := len(v)
	return (v[(n-1)/2] + v[n/2]) / 2
}

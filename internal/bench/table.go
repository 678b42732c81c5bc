package main

import (
	"bufio"
	"errors"
	"fmt"
	"io"
	"slices"
	"strconv"
	"strings"
)

// line is what one timing of one kernel came to, and how its programs and ours report
// it: the fields with a tab between them. Times are in ms.
type line struct {
	kernel, mesh, who   string
	median, least, most float64
	result              string
}

func (l line) write(w io.Writer) error {
	_, err := fmt.Fprintf(w, "%s\t%s\t%s\t%.3f\t%.3f\t%.3f\t%s\n", l.kernel, l.mesh, l.who, l.median, l.least, l.most, l.result)
	return err
}

func parseLine(text string) (line, error) {
	f := strings.Split(text, "\t")
	if len(f) != 7 {
		return line{}, fmt.Errorf("%d fields where a timing has 7: %q", len(f), text)
	}
	l := line{kernel: f[0], mesh: f[1], who: f[2], result: f[6]}
	for i, v := range []*float64{&l.median, &l.least, &l.most} {
		var err error
		if *v, err = strconv.ParseFloat(f[3+i], 64); err != nil {
			return line{}, fmt.Errorf("%q is not a time in ms: %q", f[3+i], text)
		}
	}
	return l, nil
}

// passes are the lines of one kernel, mesh and program.
type passes []line

// joined is the median of the medians, and the least and the most of all.
func (p passes) joined() (line, error) {
	all := p[0]
	var medians []float64
	for _, l := range p {
		if l.result != all.result {
			return line{}, fmt.Errorf("%s of %s on %s came to %q and to %q", l.kernel, l.who, l.mesh, all.result, l.result)
		}
		medians = append(medians, l.median)
		all.least, all.most = min(all.least, l.least), max(all.most, l.most)
	}
	all.median = median(medians)
	return all, nil
}

// place finds the passes that a line belongs to, or makes room for them: next to those
// of the same kernel and mesh, else of the same kernel, else last.
func place(list []passes, l line) ([]passes, int) {
	at, kin := len(list), 0
	for i, p := range list {
		near := 0
		if p[0].kernel == l.kernel {
			near++
			if p[0].mesh == l.mesh {
				near++
				if p[0].who == l.who {
					return list, i
				}
			}
		}
		if near > 0 && near >= kin {
			at, kin = i+1, near
		}
	}
	return slices.Insert(list, at, nil), at
}

// writeTable joins the lines of repeated passes into one table in Markdown. Kernels, the
// meshes of each and the programs on each of these stand in the order in which they were
// first met.
func writeTable(w io.Writer, r io.Reader) error {
	var list []passes
	in := bufio.NewScanner(r)
	for in.Scan() {
		l, err := parseLine(in.Text())
		if err != nil {
			return err
		}
		var i int
		list, i = place(list, l)
		list[i] = append(list[i], l)
	}
	if err := in.Err(); err != nil {
		return err
	}
	if len(list) == 0 {
		return errors.New("there are no timings to make a table of")
	}
	rows := make([]line, len(list))
	for i, p := range list {
		var err error
		if rows[i], err = p.joined(); err != nil {
			return err
		}
	}
	return writeRows(w, rows)
}

func writeRows(w io.Writer, rows []line) error {
	_, err := fmt.Fprint(w, "| kernel | mesh | who | median ms | min | max | result |\n|---|---|---|---:|---:|---:|---|\n")
	for _, l := range rows {
		if err == nil {
			_, err = fmt.Fprintf(w, "| %s | %s | %s | %.1f | %.1f | %.1f | %s |\n", l.kernel, l.mesh, l.who, l.median, l.least, l.most, l.result)
		}
	}
	return err
}

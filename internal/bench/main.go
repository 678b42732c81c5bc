// Command bench writes the meshes that the speed of printlint is measured on, times its
// own kernels on a file, one line of figures a run, and makes a table of such lines.
// README.md beside it tells how to run them side by side with libraries of other hands.
package main

import (
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strconv"

	"printlint/internal/mesh"
	"printlint/internal/shapes"
)

const usage = `usage: bench meshes FOLDER
       bench collection FOLDER COUNT
       bench shelf FOLDER COUNT
       bench growth FOLDER
       bench worst FOLDER
       bench kernel NAME FILE ROUNDS
       bench table <LINES`

func main() {
	if err := run(os.Args[1:], os.Stdin, os.Stdout); err != nil {
		fmt.Fprintln(os.Stderr, "bench:", err)
		os.Exit(2)
	}
}

func run(args []string, in io.Reader, out io.Writer) error {
	switch {
	case len(args) == 2 && args[0] == "meshes":
		return writeMeshes(args[1])
	case len(args) == 2 && args[0] == "worst":
		return writeWorst(args[1])
	case len(args) == 2 && args[0] == "growth":
		return writeGrowth(args[1])
	case len(args) == 3 && (args[0] == "collection" || args[0] == "shelf"):
		n, err := strconv.Atoi(args[2])
		if err != nil || n < 1 {
			return fmt.Errorf("%q is not a number of models", args[2])
		}
		if args[0] == "shelf" {
			return writeShelf(args[1], n)
		}
		return writeCollection(args[1], n)
	case len(args) == 4 && args[0] == "kernel":
		n, err := strconv.Atoi(args[3])
		if err != nil || n < 1 {
			return fmt.Errorf("%q is not a number of rounds", args[3])
		}
		return timeKernel(out, args[1], args[2], n)
	case len(args) == 1 && args[0] == "table":
		return writeTable(out, in)
	}
	return fmt.Errorf("nothing to do\n%s\nkernels: %s", usage, kernelNames())
}

// solid is one mesh of the set.
type solid struct {
	name string
	make func() *mesh.Triangles
}

// set is the meshes: balls with a knobbly skin for scans and sculptures, a sheet of many
// curved walls, one ball in random order, the same shape in growing numbers of
// triangles and growing sizes, and two balls that run through each other.
var set = []solid{
	{"ball-5k", func() *mesh.Triangles { return ball(50, 4) }},
	{"ball-20k", func() *mesh.Triangles { return ball(50, 5) }},
	{"ball-82k", func() *mesh.Triangles { return ball(50, 6) }},
	{"ball-328k", func() *mesh.Triangles { return ball(50, 7) }},
	{"ball-1311k", func() *mesh.Triangles { return ball(50, 8) }},
	{"ball-1311k-shuffled", func() *mesh.Triangles { return shapes.Shuffle(ball(50, 8), 7) }},
	{"ball-328k-25mm", func() *mesh.Triangles { return ball(12.5, 7) }},
	{"ball-328k-50mm", func() *mesh.Triangles { return ball(25, 7) }},
	{"ball-328k-200mm", func() *mesh.Triangles { return ball(100, 7) }},
	{"sheet-485k", func() *mesh.Triangles { return shapes.Scale(shapes.Gyroid(68), 100./60) }},
	{"pair-164k", func() *mesh.Triangles { return pair(6) }},
}

func ball(r float64, levels int) *mesh.Triangles { return shapes.NoisyBall(r, 0.3, levels, 1) }

// pair is two balls of different skins, with the middle of one inside the other.
func pair(levels int) *mesh.Triangles {
	other := shapes.NoisyBall(50, 0.3, levels, 2)
	return shapes.Join(ball(50, levels), shapes.Move(other, mesh.Vec{X: 31, Y: 17, Z: 11}))
}

func writeMeshes(folder string) error {
	for _, s := range set {
		if err := write(filepath.Join(folder, s.name+".stl"), s.name, s.make()); err != nil {
			return err
		}
	}
	return nil
}

// writeCollection writes n balls of 5120 triangles, 30 to 59 mm across, each with its
// own skin: near the published median of a shared model, 4.6 thousand.
func writeCollection(folder string, n int) error {
	for i := range n {
		name := fmt.Sprintf("ball-%04d", i)
		s := shapes.NoisyBall(15+float64(i%30)/2, 0.3, 4, uint64(i+1))
		if err := write(filepath.Join(folder, name+".stl"), name, s); err != nil {
			return err
		}
	}
	return nil
}

func write(path, name string, s *mesh.Triangles) (err error) {
	if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
		return err
	}
	f, err := os.Create(path)
	if err != nil {
		return err
	}
	defer func() {
		if e := f.Close(); err == nil {
			err = e
		}
	}()
	return shapes.WriteBinarySTL(f, s, name)
}

package main

import (
	"bytes"
	"fmt"
	"os"
	"path/filepath"

	"github.com/rogpeppe/go-internal/testscript"

	"printlint/internal/mesh"
	"printlint/internal/shapes"
)

// boxes writes a body of boxes as binary STL: boxes FILE X0,Y0,Z0,X1,Y1,Z1 ...
func boxes(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) < 2 {
		ts.Fatalf("usage: boxes FILE X0,Y0,Z0,X1,Y1,Z1 ...")
	}
	var parts []*mesh.Triangles
	for _, a := range args[1:] {
		var lo, hi mesh.Vec
		if n, err := fmt.Sscanf(a, "%g,%g,%g,%g,%g,%g", &lo.X, &lo.Y, &lo.Z, &hi.X, &hi.Y, &hi.Z); err != nil || n != 6 {
			ts.Fatalf("%q is no box", a)
		}
		parts = append(parts, shapes.Box(lo, hi))
	}
	var b bytes.Buffer
	ts.Check(shapes.WriteBinarySTL(&b, shapes.Join(parts...), "test"))
	path := ts.MkAbs(args[0])
	ts.Check(os.MkdirAll(filepath.Dir(path), 0o777))
	ts.Check(os.WriteFile(path, b.Bytes(), 0o666))
}

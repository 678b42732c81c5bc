package cli

import (
	"bytes"
	"cmp"
	"context"
	"errors"
	"fmt"
	"path/filepath"
	"strings"

	"printlint/internal/collection"
	"printlint/internal/draw"
	"printlint/internal/finding"
	"printlint/internal/lint"
	"printlint/internal/mesh"
	"printlint/internal/meshfile"
	"printlint/internal/pose"
	"printlint/internal/report/words"
	"printlint/internal/ruleset"
	"printlint/internal/work"
)

const drawDetail = `
Draws a model on the bed as PNG, its findings painted and numbered as in the HTML
report, and prints what each number means. What lies hidden behind is shown by open
hatching. x, y and z are the axes that places are counted along; the bar in the corner
says how long things are.

--down lays it another way: the direction in the model's own frame that shall point
at the bed, such as 0,0,1 to turn it on its head. --layer draws one layer from above
instead, as SVG or PNG: what is solid, what hangs (slanted lines) and what holds it
(dots). The same model gives the same bytes on every computer.

Where the configuration names machines, the findings are those of all of them, and a
layer is that of none; --machine draws for one.

Exit code: 0, or 2 when the model cannot be read, judged or drawn.`

// drawFlags are the flags of draw.
type drawFlags struct {
	config  *string
	machine *[]string
	out     *string
	part    *string
	down    direction
	layer   *float64
	below   *bool
	plain   *bool
	width   *int
	cost    *costFlags
	flat    func() bool // a layer is asked for
}

func drawCommand(in *invocation) action {
	f := &drawFlags{config: configFlag(in.flags), machine: machineFlag(in.flags)}
	f.out = in.flags.String("out", "", "write the picture to `FILE`: .png, or .svg for a layer")
	in.flags.Var(&f.down, "down", "the way up: the direction that shall point at the bed")
	f.layer = in.flags.Float64("layer", 0, "draw the layer `MM` above the bed, seen from above")
	f.below = in.flags.Bool("from-below", false, "look up through the bed")
	f.plain = in.flags.Bool("plain", false, "leave the findings out")
	f.part = in.flags.String("part", "", "the part `NAME` of a file that holds several")
	f.width = in.flags.Int("width", 960, "width in pixels")
	f.cost = newCostFlags(in.flags)
	f.flat = func() bool { return in.flags.Changed("layer") }
	return func(ctx context.Context, args []string) (int, error) {
		if err := f.check(); err != nil {
			return 0, &hinted{err, "see: printlint help draw"}
		}
		return lint.ExitClean, f.run(ctx, in.env, args[0])
	}
}

// check complains about flags before anything is read.
func (f *drawFlags) check() error {
	switch ext := strings.ToLower(filepath.Ext(*f.out)); {
	case *f.out == "":
		return fmt.Errorf("--out names the picture to write, such as --out model.png")
	case ext == ".svg" && !f.flat():
		return fmt.Errorf("a model is drawn as .png; .svg is for --layer")
	case ext != ".svg" && ext != ".png":
		return fmt.Errorf("--out is %s; a picture ends in .png, or .svg for --layer", words.Safe(*f.out))
	case *f.width < 2*draw.MinSide || *f.width > draw.MaxSide:
		return fmt.Errorf("--width is %d; it lies between %d and %d", *f.width, 2*draw.MinSide, draw.MaxSide)
	}
	return nil
}

// run judges the model, in the pose asked for, and draws it.
func (f *drawFlags) run(ctx context.Context, env Env, path string) error {
	l, files, err := loadModels(env, *f.config, []string{path}, false)
	if err != nil {
		return err
	}
	if l.Config, err = forMachine(l.Config, *f.machine); err != nil {
		return err
	}
	keep := (&gate{loaded: l, files: files}).keeps()
	if err := keep.allow("--out", *f.out); err != nil {
		return err
	}
	var data []byte
	var caption string
	picture := func(ctx context.Context, s *lint.Judged) (err error) {
		data, caption, err = f.picture(ctx, s)
		return err
	}
	first := picture
	if f.down.vec != nil {
		first = func(ctx context.Context, s *lint.Judged) error {
			file, err := turnedFile(s, l.Config, files[0].Rules, *f.down.vec)
			if err != nil {
				return err
			}
			return f.one(ctx, l, []collection.File{file}, "", picture)
		}
	}
	if err := f.one(ctx, l, files, *f.part, first); errors.Is(err, work.ErrLimit) {
		return &hinted{fmt.Errorf("%s: not drawn within the limit of %v of work", words.Safe(path), *f.cost.limit), "raise --time-limit, or save the model with fewer triangles"}
	} else if err != nil {
		return err
	}
	if err := writeFile(*f.out, text(data)); err != nil { // now it is sure that there is one
		return err
	}
	return env.print(func(w *bytes.Buffer) error {
		_, err := w.WriteString(caption)
		return err
	})
}

// one judges files and does something with the one model that is asked for, while its
// mesh is in memory.
func (f *drawFlags) one(ctx context.Context, l *loaded, files []collection.File, part string, do func(context.Context, *lint.Judged) error) error {
	opt, err := f.cost.options()
	if err != nil {
		return err
	}
	opt.Around = l.besides(files, onDisk().holds)
	opt.Jobs = 1 // one model, and no two at once
	if !f.flat() {
		opt.Machines = l.Machines // their layers may differ
	}
	met, finished := 0, false
	var failed error
	opt.Observer = lint.ObserverFunc(func(ctx context.Context, s *lint.Judged) error {
		if part != "" && s.Model.Part != part || errors.Is(work.Of(ctx).Err(), work.ErrLimit) {
			return nil
		}
		if met++; met == 1 {
			failed = do(ctx, s)
			finished = true // and did not break off
		}
		return nil
	})
	r, err := lint.Run(ctx, Version(), files, l.Config, opt)
	if err != nil {
		return interrupted(err)
	}
	if met == 1 && finished {
		return failed
	}
	return notOne(r, part, met)
}

// notOne says why there is not one model to draw.
func notOne(r *finding.Report, part string, found int) error {
	var names []string
	for i := range r.Models {
		m := &r.Models[i]
		if m.Unjudged() {
			return fmt.Errorf("%s: %s", words.Place(m.Path, m.Line, 0), words.Unjudged(m))
		}
		if m.OfModel() && m.Status == finding.Checked {
			names = append(names, words.Safe(cmp.Or(m.Part, m.Path)))
		}
	}
	switch {
	case len(names) == 0:
		return fmt.Errorf("there is no model to draw")
	case found == 0:
		return &hinted{fmt.Errorf("no part is called %q", part), "the parts are: " + strings.Join(names, ", ")}
	}
	return &hinted{fmt.Errorf("there are %d models, and a picture shows one", len(names)),
		"name one with --part, or a single file: " + strings.Join(names, ", ")}
}

// turnedFile is the model, turned so that down points at the bed, as a file in memory.
func turnedFile(s *lint.Judged, config *ruleset.Config, rules string, down mesh.Vec) (collection.File, error) {
	turned, _ := s.Mesh.Posed(pose.MatrixTo(down))
	var b bytes.Buffer
	if err := meshfile.WriteSTL(&b, turned, "turned", lint.Unit(config, rules)); err != nil {
		return collection.File{}, err
	}
	return fileInMemory(s.Model.Path, rules, b.Bytes()), nil
}

// fileInMemory is a file that is not on disk.
func fileInMemory(path, rules string, data []byte) collection.File {
	return collection.New(path, rules, int64(len(data)), func() (collection.Content, error) { return inMemory{bytes.NewReader(data)}, nil })
}

// inMemory is content that needs no closing.
type inMemory struct{ *bytes.Reader }

// Close does nothing.
func (inMemory) Close() error { return nil }

// picture draws the model, or the layer of it that is asked for, and says what it shows.
func (f *drawFlags) picture(ctx context.Context, s *lint.Judged) ([]byte, string, error) {
	if !f.flat() {
		opt := draw.Options{Width: *f.width, Height: *f.width * 3 / 4, FromBelow: *f.below, Badges: true, Opaque: true, Meter: work.Of(ctx)}
		if !*f.plain {
			opt.Marks = marksOf(s)
		}
		picture, err := draw.Model(s.Mesh, opt)
		if err != nil {
			return nil, "", err
		}
		data, err := picture.PNG()
		return data, f.caption(s, picture), err
	}
	height := s.Mesh.Box().Size().Z
	if !(*f.layer >= 0 && *f.layer <= height) {
		return nil, "", fmt.Errorf("--layer is %g mm; the model stands from 0 to %.4g mm", *f.layer, height)
	}
	layers, err := draw.Layers(ctx, s.Mesh, mesh.Identity, []float64{*f.layer}, s.Process, s.Overhang)
	if err != nil {
		return nil, "", err
	}
	caption := f.named(s) + ", " + layers[0].Words() + "\n"
	if strings.EqualFold(filepath.Ext(*f.out), ".svg") {
		return []byte(layers[0].SVG(nil, float64(*f.width), true) + "\n"), caption, nil
	}
	data, err := layers[0].PNG(*f.width)
	return data, caption, err
}

// named begins a caption with the file and the model.
func (f *drawFlags) named(s *lint.Judged) string {
	return words.Path(*f.out) + ": " + words.Safe(s.Model.Path) + words.OfPart(s.Model)
}

// caption says what a picture shows, and what the numbers in it mean.
func (f *drawFlags) caption(s *lint.Judged, p *draw.Picture) string {
	lies := ", as it lies, "
	if f.down.vec != nil {
		lies = ", turned, "
	}
	text := f.named(s) + lies + p.Words + "\n"
	if *f.plain {
		return text
	}
	in := map[int]bool{}
	for _, b := range p.Badges {
		in[b.Number] = true
	}
	left := 0
	for n, i := range words.Shown(s.Model) {
		if !in[n+1] {
			left++
			continue
		}
		found := &s.Model.Findings[i]
		text += fmt.Sprintf("%3d  %s: %s [%s]\n", n+1, found.Level, words.Message(s.Model, found), words.Safe(found.Rule))
	}
	if left > 0 {
		text += fmt.Sprintf("     %d more have no number here, for want of room or of a place\n", left)
	}
	return text
}

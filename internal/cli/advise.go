package cli

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"math"
	"strconv"
	"strings"

	"github.com/spf13/pflag"

	"printlint/internal/advise"
	"printlint/internal/collection"
	"printlint/internal/finding"
	"printlint/internal/lint"
	"printlint/internal/mesh"
	"printlint/internal/report"
)

const adviseDetail = `
Looks for other ways up in which a model leaves fewer findings, by the same rules
as the gate: up to 16 ways get a coarse look and the best 3 a full one, so that it
takes up to six times as long as the findings alone. Where something is still left
hanging, it plans the support. What the figures mean: printlint explain pose,
printlint explain support.

--write saves each model, turned the best way and dropped on the bed, as binary STL
in a folder, and checks what it wrote. A model is never overwritten; printlint turn
does that. --down gives the way up by hand: the direction in the model's own frame
that shall point at the bed, such as 0,0,1 to turn it on its head.

Where a model that stands on next to nothing keeps errors in every way up, the least
that can be cut off its bottom is looked for, up to 3 mm and a tenth of its height. It
is only told of where the model with the flat was judged and has fewer errors and no
new finding. Where errors are still left, or the model is larger than the bed, planes
are looked for that cut it in pieces which leave fewer. With --cut, --write saves such
a model with its bottom cut off, or its pieces as NAME-1.stl, NAME-2.stl and so on,
each laid its best way up. A cut changes the model and may weaken it: its designer
decides. With --pins too, both faces of each cut get holes for pins where the solid is
thick enough, two where there is room: for pins 4 mm thick, or for lengths of filament
1.75 mm thick. The pieces are judged with the holes; where the rules find more then,
the faces stay plain, and the advice says so.

Where errors are left, small solids are tried too: a slope of 45° under an underside,
walls under a bridge, a plate under the foot, more of a wall or a pin that is too
thin, a fillet around the foot of a pin. One is only told of where the model was judged
with it, a finding ends and nothing new is found. They are not written: draw them in
the program that the model comes from. Pins get them for a warning too.

Under a bridge an arch is tried beside walls. The top of a lying hole whose ceiling is
an error is pointed like a drop, if the wall above is thick enough: that takes a little
away, and the hole stays as wide as it is.

Exit code: 0, or 2 when a model cannot be read, judged or written, or the search is
cut short by --time-limit; what was found until then is printed.`

// adviseFlags are the flags of advise.
type adviseFlags struct {
	config *string
	format choice
	write  *string
	cut    *bool
	pins   *bool
	down   direction
	cost   *costFlags
	// machines are those that advice is asked for.
	machines *[]string
}

func adviseCommand(in *invocation) action {
	f := &adviseFlags{config: configFlag(in.flags), format: choice{word: "text", words: []string{"text", "json", "html"}}}
	in.flags.Var(&f.format, "format", "how to write the advice")
	f.write = in.flags.String("write", "", "save each model, turned the best way, as binary STL in `DIR`")
	f.cut = in.flags.Bool("cut", false, "let --write cut the model where that is advised")
	f.pins = in.flags.Bool("pins", false, "with --cut, put holes for pins into the cut faces of pieces")
	in.flags.Var(&f.down, "down", "the way up: the direction that shall point at the bed")
	f.machines = machineFlag(in.flags)
	f.cost = newCostFlags(in.flags)
	return func(ctx context.Context, args []string) (int, error) {
		if *f.cut && *f.write == "" {
			return 0, &hinted{fmt.Errorf("--cut goes with --write DIR"), "see: printlint help advise"}
		}
		if *f.pins && !*f.cut {
			return 0, &hinted{fmt.Errorf("--pins goes with --write DIR --cut"), "see: printlint help advise"}
		}
		return f.run(ctx, in.env, args)
	}
}

func (f *adviseFlags) run(ctx context.Context, env Env, paths []string) (int, error) {
	opt, err := f.cost.options()
	if err != nil {
		return 0, err
	}
	l, files, err := loadModels(env, *f.config, paths, false)
	if err != nil {
		return 0, err
	}
	if opt.Machines, err = chosenMachines(l.Config, *f.machines); err != nil {
		return 0, err
	}
	if *f.write != "" && len(opt.Machines) > 1 {
		return 0, &hinted{errors.New("--write saves the way up that is best on one machine"), "name it, as in --machine " + opt.Machines[0].Name}
	}
	opt.Advice = advise.Options{Depth: advise.Full, Down: f.down.vec, Pins: *f.pins}
	config := l.Config
	opt.Around = l.besides(files, onDisk().holds)
	var w *turnedWriter
	if *f.write != "" {
		w = &turnedWriter{dir: *f.write, cut: *f.cut, pins: *f.pins, config: config, origins: collection.OriginsOf(files)}
		opt.Observer = w
	}
	var drawn *gallery
	if f.format.word == "html" {
		drawn = newGallery(len(files), "", nil)
		opt.Observer = lint.ObserverFunc(func(ctx context.Context, m *lint.Judged) error {
			if w != nil {
				if err := w.Judged(ctx, m); err != nil {
					return err
				}
			}
			return drawn.Judged(ctx, m)
		})
	}
	r, err := lint.Run(ctx, Version(), files, config, opt)
	if err != nil {
		return 0, w.unchecked(err)
	}
	onlyModels(r)
	err = env.print(func(w *bytes.Buffer) error {
		switch f.format.word {
		case "json":
			return report.Write(w, "json", r, report.Options{})
		case "html":
			return report.Write(w, "html", r, report.Options{Pictures: drawn.of(r), Value: boundWords(config.Rules())})
		}
		adviceText(w, r)
		return nil
	})
	if err != nil {
		return 0, err
	}
	code := lint.ExitClean
	if r.Summary.Unreadable+r.Summary.Undecided > 0 {
		code = lint.ExitTrouble
	}
	if w == nil {
		return code, nil
	}
	told := env.Stdout
	if f.format.word != "text" {
		told = env.Stderr // standard output holds one JSON value or page and nothing else
	}
	return code, w.recheck(ctx, told, opt)
}

// onlyModels takes out what a run says of the configuration: advice is about models.
func onlyModels(r *finding.Report) {
	models := r.Models[:0]
	for _, m := range r.Models {
		if m.OfModel() {
			models = append(models, m)
		}
	}
	r.Models = models
	r.Summary = lint.Summarize(models)
}

// direction is a flag that takes three numbers.
type direction struct{ vec *mesh.Vec }

// Set parses x,y,z; their length does not matter.
func (d *direction) Set(s string) error {
	var v [3]float64
	parts := strings.Split(s, ",")
	ok := len(parts) == 3
	for i := 0; ok && i < 3; i++ {
		x, err := strconv.ParseFloat(strings.TrimSpace(parts[i]), 64)
		ok = err == nil && !math.IsNaN(x) && math.Abs(x) < 1e9
		v[i] = x
	}
	unit := mesh.Vec{X: v[0], Y: v[1], Z: v[2]}.Unit()
	if !ok || unit == (mesh.Vec{}) {
		return fmt.Errorf("a direction is three numbers, not all of them 0, such as 0,0,1")
	}
	d.vec = &unit
	return nil
}

// String returns the direction as three numbers.
func (d *direction) String() string {
	if d.vec == nil {
		return ""
	}
	return fmt.Sprintf("%g,%g,%g", d.vec.X, d.vec.Y, d.vec.Z)
}

// Type names the value in a help text.
func (d *direction) Type() string { return "X,Y,Z" }

var _ pflag.Value = (*direction)(nil)

package cli

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"path"
	"path/filepath"
	"slices"
	"strings"
	"sync"

	"printlint/internal/advise"
	"printlint/internal/collection"
	"printlint/internal/finding"
	"printlint/internal/lint"
	"printlint/internal/mesh"
	"printlint/internal/meshfile"
	"printlint/internal/report/words"
	"printlint/internal/ruleset"
)

// turnedWriter saves models the way up that was advised.
type turnedWriter struct {
	dir     string
	cut     bool
	pins    bool
	config  *ruleset.Config
	origins collection.Origins

	mutex sync.Mutex
	saved []saved
}

// saved is one file that was written.
type saved struct {
	target  string
	rules   string
	of      string
	cut     string // how much was cut off
	promise finding.LevelCount
	written bool
	checked bool // again, as it was written
}

// Judged writes a model with advice, turned the best way and dropped on the bed, or cut, or
// in pieces, where that was asked for and is advised.
func (w *turnedWriter) Judged(ctx context.Context, m *lint.Judged) error {
	model := m.Model
	if model.Status != finding.Checked {
		return nil
	}
	file, rules := w.origins.Of(model.Path)
	best := &model.Advice.Poses[0]
	s := saved{target: w.target(model), rules: rules, of: nameOf(model), promise: best.Findings}
	turned, _ := m.Mesh.Posed(best.Matrix)
	if c := model.Advice.Split; w.cut && c != nil {
		return w.apart(ctx, m, &s)
	}
	if c := model.Advice.Cut; w.cut && c != nil {
		piece, err := advise.CutOff(ctx, m.Mesh, c)
		if err != nil {
			return fmt.Errorf("the flat could not be cut: %w", err)
		}
		turned, s.promise = piece, c.Pose.Findings
		s.cut = fmt.Sprintf(", %.1f mm cut off the bottom", c.Height)
	} else if w.cut {
		s.cut = ", nothing cut off since no cut is advised"
	}
	if w.pins {
		s.cut += ", no holes for pins since it is not cut in pieces"
	}
	return w.write(model, s, file, turned)
}

// apart writes the pieces of a model, each in a file of its own.
func (w *turnedWriter) apart(ctx context.Context, m *lint.Judged, s *saved) error {
	split := m.Model.Advice.Split
	pieces, err := advise.Apart(ctx, m.Mesh, split)
	if err != nil {
		return fmt.Errorf("it could not be cut in pieces: %w", err)
	}
	file, _ := w.origins.Of(m.Model.Path)
	plain := ""
	if w.pins && (split.Pins == nil || len(split.Pins.Holes) == 0) {
		plain = " without holes for pins"
	}
	for i, piece := range pieces {
		one := *s
		one.target = fmt.Sprintf("%s-%d.stl", strings.TrimSuffix(s.target, ".stl"), i+1)
		one.cut, one.promise = fmt.Sprintf(", piece %d of %d%s", i+1, len(pieces), plain), split.Pieces[i].Pose.Findings
		if err := w.write(m.Model, one, file, piece); err != nil {
			return err
		}
	}
	return nil
}

// write writes one file.
func (w *turnedWriter) write(model *finding.Model, s saved, file string, turned *mesh.Mesh) error {
	if err := w.claim(s, file); err != nil {
		return err
	}
	if err := os.MkdirAll(w.dir, 0o755); err != nil {
		return fmt.Errorf("%s could not be made: %w", w.dir, plainly(err))
	}
	unit := lint.Unit(w.config, s.rules)
	name := cmp.Or(model.Part, strings.TrimSuffix(path.Base(model.Path), path.Ext(model.Path)))
	if err := writeFile(s.target, func(out io.Writer) error { return meshfile.WriteSTL(out, turned, name, unit) }); err != nil {
		return err
	}
	w.mutex.Lock()
	defer w.mutex.Unlock()
	w.saved[slices.IndexFunc(w.saved, func(o saved) bool { return o.target == s.target })].written = true
	return nil
}

// unchecked words an error that ends the run, with the files that were written until then and not
// checked again.
func (w *turnedWriter) unchecked(err error) error {
	var names []string
	if w != nil {
		for i := range w.saved {
			if s := &w.saved[i]; s.written && !s.checked {
				names = append(names, words.Safe(s.target))
			}
		}
	}
	if len(names) == 0 {
		return interrupted(err)
	}
	if errors.Is(err, context.Canceled) {
		err = errors.New("stopped before the end")
	}
	slices.Sort(names)
	return fmt.Errorf("%w; written, but not checked again: %s", err, strings.Join(names, ", "))
}

// target is the file to write: the name of the file that the model lies in, which may be
// an entry of a pack, with the part's where it holds several.
func (w *turnedWriter) target(model *finding.Model) string {
	file, _ := w.origins.Of(model.Path)
	name := path.Base(file)
	name = strings.Map(plainRune, strings.TrimSuffix(name, path.Ext(name)))
	if model.Part != "" {
		name += "-" + strings.Map(plainRune, model.Part)
	}
	return filepath.Join(w.dir, name+".stl")
}

// plainRune keeps what every file system takes in a name.
func plainRune(r rune) rune {
	if r < ' ' || strings.ContainsRune(`/\:*?"<>|`, r) {
		return '_'
	}
	return r
}

// claim refuses to write over a model, or over what was written for another one.
func (w *turnedWriter) claim(s saved, file string) error {
	w.mutex.Lock()
	defer w.mutex.Unlock()
	for i := range w.saved {
		if w.saved[i].target == s.target {
			return fmt.Errorf("%s would be written twice; name one of the models alone, or another folder", s.target)
		}
	}
	if here, err := os.Stat(s.target); err == nil {
		if own, err := os.Stat(filepath.FromSlash(file)); err == nil && os.SameFile(here, own) {
			return fmt.Errorf("%s is the model itself; name another folder, or use printlint turn, which keeps its format", s.target)
		}
	}
	w.saved = append(w.saved, s)
	return nil
}

// recheck judges what was written, by the rules of the model it came from, and says
// whether the promise was kept.
func (w *turnedWriter) recheck(ctx context.Context, told io.Writer, opt lint.Options) error {
	slices.SortFunc(w.saved, func(a, b saved) int { return cmp.Compare(a.target, b.target) })
	opt.Advice, opt.Observer = advise.Options{}, nil
	for i := range w.saved {
		s := &w.saved[i]
		info, err := os.Stat(s.target)
		if err != nil {
			return err
		}
		file := collection.New(filepath.ToSlash(s.target), s.rules, info.Size(), func() (collection.Content, error) { return meshfile.Open(s.target) })
		r, err := judgeAgain(ctx, file, w.config, opt)
		if err != nil {
			return w.unchecked(err)
		}
		s.checked = true
		fmt.Fprintf(told, "%s: written from %s%s; %s\n", words.Safe(s.target), s.of, s.cut, recheckText(s, r))
	}
	return nil
}

// judgeAgain judges the models of one file by themselves.
func judgeAgain(ctx context.Context, file collection.File, config *ruleset.Config, opt lint.Options) (*finding.Report, error) {
	r, err := lint.Run(ctx, Version(), []collection.File{file}, config, opt)
	if err == nil {
		onlyModels(r)
	}
	return r, err
}

// recheckText compares what was found with what was promised.
func recheckText(s *saved, r *finding.Report) string {
	got := r.Summary.Levels()
	switch {
	case r.Summary.Unreadable+r.Summary.Undecided > 0:
		return "checked again: " + words.Safe(r.Models[0].Reason)
	case got == s.promise:
		return "checked again, " + got.String() + " as promised"
	}
	return fmt.Sprintf("checked again, %s where %s was promised", got.String(), s.promise.String())
}

package lint

import (
	"context"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"strings"
	"sync"
	"time"

	"printlint/internal/catalog"
	"printlint/internal/collection"
	"printlint/internal/finding"
	"printlint/internal/mesh"
	"printlint/internal/meshfile"
	"printlint/internal/ruleset"
	"printlint/internal/work"
)

// entry is a model of the report, with what was measured where that is asked for.
type entry struct {
	finding.Model
	readings []Reading
	file     *catalog.File // that it lies in
}

// engine reads files and hands each mesh on.
type engine struct {
	config *ruleset.Config
	limit  time.Duration // of work on one file
	wait   time.Duration // until a file that does not end is given up; 0 is for ever
	// each does the work on one mesh and writes it into the entry. The path is the
	// one that rules are written against.
	each func(ctx context.Context, e *entry, path string, m *mesh.Mesh, jobs int) error
	// opens says whether the model of a path must be read; nil reads all.
	opens   func(path string) bool
	folders collection.Folders
	results *results // nil stores nothing
	copies  *copies  // nil judges each file on its own
	strict  bool     // as in Options
}

// file takes one file: usually one model, several where the file holds several.
// Whatever goes wrong becomes an entry that says so. A file that does not come to an end
// long after its limit is given up, with what was found on its models until then.
func (g *engine) file(ctx context.Context, file *collection.File, jobs int) []entry {
	e := entry{Model: finding.Model{Path: file.Path, Status: finding.Checked, Notes: append([]string{}, file.Notes...), Findings: []finding.Finding{}}}
	if file.Skip != "" {
		e.Status, e.Reason = finding.Skipped, file.Skip
		return []entry{e}
	}
	var models gathered
	ended := work.Within(ctx, g.wait, func(ctx context.Context) {
		defer func() {
			if caught := recover(); caught != nil {
				models.add(unreadable(e, Crashed(caught)))
			}
		}()
		g.open(work.Start(ctx, g.limit), e, file, jobs, &models)
	})
	list := models.end()
	if !ended {
		e := e // what runs on still reads the other
		e.Undecide(fmt.Sprintf("given up %v after it was begun: it costs far more than the limit of %v of work", g.wait, g.limit),
			"repair the model, or leave it out")
		list = append(list, e)
	}
	return list
}

// patience is how long a file may take by the clock before it is given up: so long that
// only a loop which does not ask what is left of the limit comes to it, however busy the
// machine. Without a limit there is no end.
func patience(limit time.Duration) time.Duration {
	if limit <= 0 {
		return 0
	}
	return 4*limit + 10*time.Second
}

// gathered are the models of a file, until nobody waits for more.
type gathered struct {
	mutex  sync.Mutex
	models []entry
	ended  bool
}

func (s *gathered) add(e entry) {
	s.mutex.Lock()
	defer s.mutex.Unlock()
	if !s.ended {
		s.models = append(s.models, e)
	}
}

func (s *gathered) end() []entry {
	s.mutex.Lock()
	defer s.mutex.Unlock()
	s.ended = true
	return s.models
}

// open takes a file from the result cache, or reads it and stores what was found.
func (g *engine) open(ctx context.Context, e entry, file *collection.File, jobs int, models *gathered) {
	content, err := file.Open()
	if err != nil {
		models.add(unreadable(e, err))
		return
	}
	defer content.Close()
	content = charged{content, work.Of(ctx)}
	if e.SHA256, err = hash(content); err != nil {
		models.add(g.ended(ctx, e, err))
		return
	}
	e.file = g.known(file, content.Size())
	if stored, ok := g.results.load(file, &e); ok {
		for _, k := range stored {
			models.add(k)
		}
		return
	}
	once, first := g.copies.of(file, &e)
	if once != nil && !first {
		if taken := once.take(ctx, file.Path); len(taken) > 0 {
			for _, k := range taken {
				models.add(k)
			}
			g.results.store(ctx, file, &e, taken)
			return
		}
	}
	var list []entry
	if first {
		defer func() { g.copies.keep(ctx, once, list) }() // whatever happens: others wait for it
	}
	list = g.parts(ctx, e, file, content, jobs, models)
	g.results.store(ctx, file, &e, list)
}

// parts reads the file and takes each part of it.
func (g *engine) parts(ctx context.Context, e entry, file *collection.File, content collection.Content, jobs int, models *gathered) (list []entry) {
	add := func(e entry) {
		list = append(list, e)
		models.add(e)
	}
	unit := g.config.For(file.Rules).Unit
	parts, err := g.read(file, content, meshfile.Options{Scale: unit.Factor})
	e.file.Models = judged(parts)
	for i := range parts {
		done := g.part(ctx, e, file.Rules, &parts[i], jobs)
		if unit.Factor != 1 && !ownUnit[done.Kind] {
			done.Unit = unit.Word
		}
		add(done)
		parts[i].Triangles = nil // freed before the next is taken
	}
	if err == nil && len(parts) == 0 {
		err = errEmpty
	}
	if err != nil {
		add(g.ended(ctx, e, err))
	}
	return list
}

// ownUnit are the kinds of file that name their unit themselves.
var ownUnit = map[string]bool{"3mf": true, "amf": true}

// What reading costs in work, about: a byte, and a triangle with its corners welded and
// its neighbours found.
const (
	byteCost     = 2
	triangleCost = 250
)

// charged is content whose reading costs work, and that is not read on once none is left.
type charged struct {
	collection.Content
	meter *work.Meter
}

// ReadAt reads while work may go on.
func (c charged) ReadAt(p []byte, offset int64) (int, error) {
	n, err := c.Content.ReadAt(p, offset)
	if ended := c.meter.Spend(byteCost * int64(n)); ended != nil {
		return 0, ended
	}
	return n, err
}

var errEmpty = errors.New("holds no triangles; export the model again")

// failed is the entry of a file that could not be read. Content that was never
// fetched is left out only where the configuration says so.
func (g *engine) failed(e entry, err error) entry {
	var place *meshfile.Error
	if errors.As(err, &place) && place.LFS && g.config.LFS == "skip" {
		e.Status, e.Reason = finding.Skipped, withCure(place)
		return e
	}
	return unreadable(e, err)
}

// part takes one part of a file.
func (g *engine) part(ctx context.Context, e entry, path string, part *meshfile.Part, jobs int) (done entry) {
	e.Part, e.Kind = part.Name, part.Kind
	e.Notes = append(append([]string{}, e.Notes...), part.Notes...) // never null in a report
	if part.Inner != "" {
		e.Path += collection.Inside + part.Inner
		path += collection.Inside + part.Inner
	}
	if part.Skip != "" {
		e.Status, e.Reason = finding.Skipped, part.Skip
		return e
	}
	if g.strict && part.Misnamed != "" {
		return unreadable(e, fmt.Errorf("%s; name it by what it is", part.Misnamed))
	}
	defer func() {
		if caught := recover(); caught != nil {
			done = unreadable(e, Crashed(caught))
		}
	}()
	if err := work.Of(ctx).Err(); err != nil {
		return g.ended(ctx, e, err)
	}
	m, err := meshOf(ctx, &e, part)
	if err != nil {
		return g.ended(ctx, e, err)
	}
	e.file = e.file.With(strings.TrimSuffix(part.Kind, "-ascii"), part.Name, part.Unit, e.Triangles, ownUnit[part.Kind])
	if part.Undecided != "" {
		e.Undecide(part.Undecided, "")
	}
	if err := g.each(ctx, &e, path, m, jobs); err != nil {
		return g.ended(ctx, e, err)
	}
	return e
}

// meshOf loads a part and joins its triangles; one that was left unread has none.
func meshOf(ctx context.Context, e *entry, part *meshfile.Part) (*mesh.Mesh, error) {
	if part.Unread {
		return new(mesh.Mesh), nil
	}
	known := len(part.Notes)
	if err := part.Load(); err != nil {
		return nil, err
	}
	e.Notes = append(e.Notes, part.Notes[known:]...)
	e.Triangles = part.Triangles.Count()
	if e.Triangles == 0 {
		return nil, errEmpty
	}
	if err := work.Of(ctx).Spend(triangleCost * int64(e.Triangles)); err != nil {
		return nil, err
	}
	m := mesh.Weld(part.Triangles)
	part.Triangles = nil
	return m, nil
}

// unreadable is the entry of a model that could not be judged. Nothing found so far
// is kept: half a verdict reads like a whole one.
func unreadable(e entry, err error) entry {
	e.Status, e.Reason = finding.Unreadable, err.Error()
	e.Measures, e.Findings, e.readings = finding.Measures{}, []finding.Finding{}, nil
	var place *meshfile.Error
	var system *fs.PathError
	switch {
	case errors.As(err, &place):
		// The line has its own field; a report shows it before the reason.
		e.Line, e.Reason = place.Line, withCure(place)
	case errors.As(err, &system):
		e.Reason = "cannot be read: " + system.Err.Error()
	}
	return e
}

func withCure(e *meshfile.Error) string {
	if e.Cure == "" {
		return e.Problem
	}
	return e.Problem + "; " + e.Cure
}

// Crashed words a panic: a defect of ours, met by one model and told on it alone.
func Crashed(caught any) error {
	return fmt.Errorf("the analysis broke off (%v); this is a defect of %s, please report it with the model", caught, finding.ToolName)
}

func hash(c collection.Content) (string, error) {
	h := sha256.New()
	if _, err := io.Copy(h, io.NewSectionReader(c, 0, c.Size())); err != nil {
		return "", err
	}
	return hex.EncodeToString(h.Sum(nil)), nil
}

package lint

import (
	"context"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"time"

	"printlint/internal/catalog"
	"printlint/internal/collection"
	"printlint/internal/finding"
	"printlint/internal/mesh"
	"printlint/internal/meshfile"
	"printlint/internal/ruleset"
)

// entry is a model of the report, with what was measured where that is asked for.
type entry struct {
	finding.Model
	taken []Taken
}

// engine reads files and hands each mesh on.
type engine struct {
	config *ruleset.Config
	limit  time.Duration // for one file
	// each does the work on one mesh and writes it into the entry. The path is the
	// one that rules are written against.
	each   func(ctx context.Context, e *entry, path string, m *mesh.Mesh, jobs int) error
	keeper *keeper // nil keeps nothing
	strict bool    // as in Options
}

// file takes one file: usually one model, several where the file holds several.
// Whatever goes wrong becomes an unreadable entry.
func (g *engine) file(ctx context.Context, file *collection.File, jobs int) (models []entry) {
	e := entry{Model: finding.Model{Path: file.Path, Status: finding.Checked, Notes: append([]string{}, file.Notes...), Findings: []finding.Finding{}}}
	if file.Skip != "" {
		e.Status, e.Reason = finding.Skipped, file.Skip
		return []entry{e}
	}
	defer func() {
		if caught := recover(); caught != nil {
			models = append(models, unreadable(e, crashed(caught)))
		}
	}()
	if g.limit > 0 {
		var cancel context.CancelFunc
		ctx, cancel = context.WithTimeout(ctx, g.limit)
		defer cancel()
	}
	content, err := file.Open()
	if err != nil {
		return []entry{unreadable(e, err)}
	}
	defer content.Close()
	content = timed{content, ctx}
	if e.SHA256, err = hash(content); err != nil {
		return []entry{unreadable(e, g.explain(ctx, err))}
	}
	if models, ok := g.keeper.recall(file, e.SHA256); ok {
		return models
	}
	models = g.parts(ctx, e, file, content, jobs)
	g.keeper.keep(ctx, file, e.SHA256, models)
	return models
}

// parts reads the file and takes each part of it.
func (g *engine) parts(ctx context.Context, e entry, file *collection.File, content collection.Content, jobs int) []entry {
	unit, _ := catalog.Spelled(g.config.For(file.Rules).Unit)
	parts, err := meshfile.Read(file.Path, content, meshfile.Options{Scale: unit.Factor})
	var models []entry
	for i := range parts {
		done := g.part(ctx, e, file.Rules, &parts[i], jobs)
		if unit.Factor != 1 && !ownUnit[done.Kind] {
			done.Unit = unit.Word
		}
		models = append(models, done)
		parts[i].Soup = nil // freed before the next is taken
	}
	if err == nil && len(parts) == 0 {
		err = errEmpty
	}
	if err != nil {
		models = append(models, g.failed(e, g.explain(ctx, err)))
	}
	return models
}

// ownUnit are the kinds of file that name their unit themselves.
var ownUnit = map[string]bool{"3mf": true, "amf": true}

// timed is content that is not read on once the time for it is over.
type timed struct {
	collection.Content
	ctx context.Context
}

// ReadAt reads while there is time.
func (t timed) ReadAt(p []byte, offset int64) (int, error) {
	if err := t.ctx.Err(); err != nil {
		return 0, err
	}
	return t.Content.ReadAt(p, offset)
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
		e.Path += "!/" + part.Inner
		path += "!/" + part.Inner
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
			done = unreadable(e, crashed(caught))
		}
	}()
	if err := ctx.Err(); err != nil {
		return unreadable(e, g.explain(ctx, err))
	}
	if err := part.Load(); err != nil {
		return g.failed(e, err)
	}
	e.Triangles = part.Soup.Triangles()
	if e.Triangles == 0 {
		return unreadable(e, errEmpty)
	}
	m := mesh.Weld(part.Soup)
	part.Soup = nil
	if err := g.each(ctx, &e, path, m, jobs); err != nil {
		return unreadable(e, g.explain(ctx, err))
	}
	return e
}

// explain names the time limit where that is what stopped a model.
func (g *engine) explain(ctx context.Context, err error) error {
	if errors.Is(ctx.Err(), context.DeadlineExceeded) {
		return fmt.Errorf("not judged within the time limit of %v; raise --time-limit or save the model with fewer triangles", g.limit)
	}
	return err
}

// unreadable is the entry of a model that could not be judged. Nothing found so far
// is kept: half a verdict reads like a whole one.
func unreadable(e entry, err error) entry {
	e.Status, e.Reason = finding.Unreadable, err.Error()
	e.Measures, e.Findings, e.taken = nil, []finding.Finding{}, nil
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

// crashed words a panic: a defect of ours, met by one model and told on it alone.
func crashed(caught any) error {
	return fmt.Errorf("the analysis broke off (%v); this is a defect of %s, please report it with the model", caught, Tool)
}

func hash(c collection.Content) (string, error) {
	h := sha256.New()
	if _, err := io.Copy(h, io.NewSectionReader(c, 0, c.Size())); err != nil {
		return "", err
	}
	return hex.EncodeToString(h.Sum(nil)), nil
}

package report

import (
	"net/url"
	"path"
	"strings"

	"printlint/internal/finding"
	"printlint/internal/pathname"
)

// rootBase is the usual name for the folder that paths are relative to.
const rootBase = "%SRCROOT%"

// artifacts are the files of a run, each container before what is nested in it.
type artifacts struct {
	list  []sarifArtifact
	index map[string]int // by path, as reports write it
}

// mimeTypes are registered with IANA, or named by the format's own specification.
var mimeTypes = map[string]string{
	".stl": "model/stl", ".obj": "model/obj", ".3mf": "model/3mf", ".zip": "application/zip",
	".amf": "application/x-amf", ".model": "application/vnd.ms-package.3dmanufacturing-3dmodel+xml",
	".yml": "application/yaml",
}

// add lists the file of a model, and every container around it.
func (a *artifacts) add(m *finding.Model) {
	steps := nesting(m.Path)
	for i := range steps {
		a.one(steps, i)
	}
	// The hash is of the file that was read: a 3MF or an AMF is read whole, a pack
	// entry by entry.
	hashed := m.Path
	if n := len(steps); n > 1 && extension(steps[n-2]) != ".zip" {
		hashed = strings.Join(steps[:n-1], pathname.Inside)
	}
	leaf := &a.list[a.index[m.Path]]
	if leaf.Roles == nil {
		leaf.Roles = []string{"analysisTarget"}
		if m.Kind == finding.KindConfig {
			leaf.Roles = []string{"userSpecifiedConfiguration"}
		}
		if m.Kind == finding.KindFolder {
			leaf.Roles = []string{"directory"}
		}
	}
	if m.SHA256 != "" {
		a.list[a.index[hashed]].Hashes = map[string]string{"sha-256": m.SHA256}
	}
}

// one lists the file or container that steps lead to down to a depth.
func (a *artifacts) one(steps []string, depth int) {
	full := strings.Join(steps[:depth+1], pathname.Inside)
	if _, ok := a.index[full]; ok {
		return
	}
	name := steps[depth]
	artifact := sarifArtifact{MimeType: mimeTypes[extension(name)]}
	switch {
	case depth > 0:
		parent := a.index[strings.Join(steps[:depth], pathname.Inside)]
		artifact.ParentIndex = &parent
		artifact.Location.URI = "/" + escapePath(name) // a path within a container begins so (3.24.2)
	case strings.HasPrefix(name, "/"):
		artifact.Location.URI = fileURI(name) // absolute, so without a base
	default:
		artifact.Location = sarifArtifactLocation{URI: fileURI(name), Base: rootBase}
	}
	a.index[full] = len(a.list)
	a.list = append(a.list, artifact)
}

// location refers to a listed file.
func (a *artifacts) location(full string) sarifArtifactLocation {
	i := a.index[full]
	at := a.list[i].Location
	at.Index = &i
	return at
}

// nesting splits a path at each container: the file on disk, then what lies in it. The
// mark in the name of a folder is no container.
func nesting(full string) []string {
	var steps []string
	start := 0
	for at := 0; ; at += len(pathname.Inside) {
		next := strings.Index(full[at:], pathname.Inside)
		if next < 0 {
			return append(steps, full[start:])
		}
		at += next
		switch extension(full[start:at]) {
		case ".zip", ".3mf", ".amf":
			steps = append(steps, full[start:at])
			start = at + len(pathname.Inside)
		}
	}
}

func extension(name string) string { return strings.ToLower(path.Ext(name)) }

// outermost splits a path into the file on disk and what lies within it.
func outermost(full string) (file, inner string) {
	steps := nesting(full)
	return steps[0], strings.Join(steps[1:], pathname.Inside)
}

// fileURI writes a path as a URI reference (RFC 3986).
func fileURI(name string) string {
	escaped := escapePath(name)
	if strings.HasPrefix(name, "/") {
		return "file://" + escaped
	}
	return escaped
}

// escapePath escapes each segment. A colon is escaped too: in a first segment it
// would make what stands before it a scheme.
func escapePath(name string) string {
	steps := strings.Split(name, "/")
	for i, s := range steps {
		steps[i] = strings.ReplaceAll(url.PathEscape(s), ":", "%3A")
	}
	return strings.Join(steps, "/")
}

package meshfile

import (
	"errors"
	"fmt"
	"net/url"
	"path"
	"strings"

	"printlint/internal/pack"
	"printlint/internal/xmltoken"
)

// container is a file that keeps its parts in a zip archive (Open Packaging Conventions,
// ECMA-376 part 2, as the 3MF core specification 1.4, section 2, narrows them).
type container struct{ *pack.Archive }

func matchesZip(head []byte, _ int64) bool { return pack.IsZip(head) }

// Namespaces and types of relationships.
const (
	spaceRelations = "http://schemas.openxmlformats.org/package/2006/relationships"
	typeModel      = "http://schemas.microsoft.com/3dmanufacturing/2013/01/3dmodel"
	rootRelations  = "_rels/.rels"
	contentTypes   = "[Content_Types].xml"
)

// readContainer reads a zip archive that is one file: a 3MF, or an AMF in its packed form.
func readContainer(in Input, _ []byte, _ Options) ([]Part, error) {
	archive, err := pack.Open(in, in.Size(), pack.Standard)
	if err != nil {
		return nil, asError(err)
	}
	c := container{archive}
	var amf []*pack.Entry
	for i := range c.Entries {
		e := &c.Entries[i]
		if e.Unsafe {
			return nil, asError(fmt.Errorf("%s: %w", quoted(e.Name), e.Err))
		}
		if strings.EqualFold(path.Ext(e.Name), ".amf") {
			amf = append(amf, e)
		}
	}
	switch {
	case c.find(rootRelations) != nil || len(amf) == 0:
		return readThreeMF(c)
	case len(amf) > 1:
		return nil, inFile("if it is a pack of models, name it .zip", "a packed AMF holds one AMF file, this one holds %d: %s and %s", len(amf), quoted(amf[0].Name), quoted(amf[1].Name))
	}
	return readPackedAMF(amf[0])
}

// alike refuses two parts whose names are one name to the specification: which of them a
// program takes is anybody's guess. (Two entries of the very same name are refused when
// they are opened.)
func (c container) alike() error {
	seen := map[string]string{}
	for i := range c.Entries {
		name := c.Entries[i].Name
		plain, err := url.PathUnescape(name)
		if err != nil {
			plain = name
		}
		// Both ways, because some letters have two small forms.
		key := strings.ToLower(strings.ToUpper(plain))
		if other, ok := seen[key]; ok && other != name {
			return inFile(cureAgain, "the parts %s and %s have one name: case and escapes do not tell parts apart", quoted(other), quoted(name))
		}
		seen[key] = name
	}
	return nil
}

// asError gives an error of an archive or of XML the form of all others.
func asError(err error) error {
	var p *pack.Error
	var x *xmltoken.Error
	switch {
	case errors.As(err, &p):
		return &Error{Problem: strings.TrimSuffix(err.Error(), "; "+p.Cure), Cure: p.Cure}
	case errors.As(err, &x):
		return &Error{Line: x.Line, Problem: x.Problem, Cure: x.Cure}
	}
	return err
}

// find returns the entry of a part. Part names are compared without regard to case, and
// may have their letters escaped (ECMA-376 part 2, 6.2.2.3 and 6.2.2.2, from memory).
func (c container) find(name string) *pack.Entry {
	var folded *pack.Entry
	plain, err := url.PathUnescape(name)
	if err != nil {
		plain = name
	}
	for i := range c.Entries {
		e := &c.Entries[i]
		if e.Name == name {
			return e
		}
		if folded == nil && (strings.EqualFold(e.Name, name) || strings.EqualFold(e.Name, plain)) {
			folded = e
		}
	}
	return folded
}

// open starts to read the XML of a part.
func (c container) open(name string) (*xmltoken.Reader, func(), error) {
	e := c.find(name)
	if e == nil {
		return nil, nil, inFile(cureAgain, "the part %s is not in the file", quoted(name))
	}
	r, err := e.Open()
	if err != nil {
		return nil, nil, asError(fmt.Errorf("%s: %w", quoted(name), err))
	}
	return xmltoken.New(r), func() { r.Close() }, nil
}

// modelName returns the name of the part that holds the build.
func (c container) modelName() (string, error) {
	if c.find(rootRelations) == nil {
		return "", &Error{
			Problem: "this zip archive is no 3MF: it has no " + rootRelations + ", which says where the model is",
			Cure:    "if it is a pack of models, name it .zip; else export the model again",
		}
	}
	x, done, err := c.open(rootRelations)
	if err != nil {
		return "", err
	}
	defer done()
	targets, err := modelTargets(x)
	if err != nil {
		return "", inPart(rootRelations, err)
	}
	if len(targets) != 1 {
		return "", inFile(cureAgain, "%s names %s, there must be 1",
			rootRelations, plural(int64(len(targets)), "model"))
	}
	if strings.HasPrefix(path.Clean(strings.TrimLeft(targets[0], "/")), "..") {
		return "", inFile(cureAgain, "%s names the model %s, which leads out of the file",
			rootRelations, quoted(targets[0]))
	}
	name := strings.TrimPrefix(path.Join("/", targets[0]), "/")
	e := c.find(name)
	if e == nil {
		return "", inFile(cureAgain, "%s names the model %s, which is not in the file",
			rootRelations, quoted(name))
	}
	return e.Name, nil
}

// modelTargets lists the targets of the relationships that lead to a model.
func modelTargets(x *xmltoken.Reader) (targets []string, err error) {
	if x.Begin(); !x.Is(spaceRelations, "Relationships") {
		x.Stop(atLine(x.TagLine(), cureAgain, "<%s> where Relationships was expected", xmltoken.Clip(x.Local)))
	}
	x.Each(func() {
		if !x.Is(spaceRelations, "Relationship") || string(x.Attr("Type")) != typeModel {
			return
		}
		target := string(x.Attr("Target"))
		if string(x.Attr("TargetMode")) == "External" || strings.Contains(target, "://") {
			x.Stop(atLine(x.TagLine(), cureAgain, "the model is said to be outside the file, at %s", quoted(target)))
		}
		if len(targets) < 8 {
			targets = append(targets, target)
		}
	})
	x.Finish()
	return targets, x.Err()
}

// inPart names the part in an error about one that no model is shown with.
func inPart(name string, err error) error {
	e, ok := asError(err).(*Error)
	if !ok || e.Line == 0 {
		return asError(fmt.Errorf("%s: %w", name, err))
	}
	return e.from(name)
}

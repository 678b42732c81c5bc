package meshfile

import (
	"archive/zip"
	"bytes"
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"regexp"
	"strconv"
	"strings"

	"printlint/internal/pack"
)

// root3MF finds the model part that has the build, in an archive that was read before.
func root3MF(data []byte) (*zip.Reader, *zip.File, error) {
	in := bytes.NewReader(data)
	archive, err := pack.Open(in, in.Size(), pack.Standard)
	if err != nil {
		return nil, nil, err
	}
	c := container{archive}
	name, err := c.modelName()
	if err != nil {
		return nil, nil, err
	}
	z, err := zip.NewReader(in, in.Size())
	if err != nil {
		return nil, nil, err
	}
	for _, f := range z.File {
		if strings.EqualFold(strings.TrimPrefix(f.Name, "/"), c.find(name).Name) {
			return z, f, nil
		}
	}
	return nil, nil, errors.New("the model part is not found again")
}

func contentOf(f *zip.File) ([]byte, error) {
	r, err := f.Open()
	if err != nil {
		return nil, err
	}
	defer r.Close()
	return io.ReadAll(r)
}

// turn3MF turns the one item of the build, by its transform. Every other part of the
// archive is copied as it is packed.
func turn3MF(data []byte, t *turner) ([]byte, error) {
	z, root, err := root3MF(data)
	if err != nil {
		return nil, err
	}
	text, err := contentOf(root)
	if err != nil {
		return nil, err
	}
	if text, err = turnItem(text, t); err != nil {
		return nil, err
	}
	var out bytes.Buffer
	w := zip.NewWriter(&out)
	if err := w.SetComment(z.Comment); err != nil {
		return nil, err
	}
	for _, f := range z.File {
		if f != root {
			err = w.Copy(f)
		} else {
			err = writeEntry(w, f, text)
		}
		if err != nil {
			return nil, fmt.Errorf("writing 3MF: %w", err)
		}
	}
	err = w.Close()
	return out.Bytes(), err
}

// writeEntry writes other content under the name, the time and the method of an entry.
func writeEntry(w *zip.Writer, f *zip.File, content []byte) error {
	to, err := w.CreateHeader(&zip.FileHeader{Name: f.Name, Comment: f.Comment, Method: f.Method, Modified: f.Modified, ExternalAttrs: f.ExternalAttrs})
	if err != nil {
		return err
	}
	_, err = to.Write(content)
	return err
}

// itemTransform is the attribute of an item, found from the start of the tag on, so that
// nothing in the value of another one is taken for it; 3MF core specification 1.4, 4.1.2.
var itemTransform = regexp.MustCompile(`^<[^\s>]+(?:\s+[^\s=]+\s*=\s*(?:"[^"]*"|'[^']*'))*?(\s+transform\s*=\s*)("[^"]*"|'[^']*')`)

// turnItem changes the transform of the item, and nothing else in the text.
func turnItem(text []byte, t *turner) ([]byte, error) {
	from, to, scale, err := itemTag(text)
	if err != nil {
		return nil, err
	}
	t.settle(1 / scale)
	tag := string(text[from:to])
	move, at := identity, itemTransform.FindStringSubmatchIndex(tag)
	if at != nil {
		fields := strings.Fields(tag[at[4]+1 : at[5]-1])
		if len(fields) != len(move) {
			return nil, &Error{Problem: "the transform of the item is not twelve numbers", Cure: cureAgain}
		}
		for k, f := range fields {
			if move[k], err = strconv.ParseFloat(f, 64); err != nil {
				return nil, &Error{Problem: "the transform of the item is not twelve numbers", Cure: cureAgain}
			}
		}
	}
	turn := t.affine()
	move = move.then(&turn)
	words := make([]string, len(move))
	for k, x := range move {
		words[k] = strconv.FormatFloat(x+0, 'g', 12, 64)
	}
	attribute := `"` + strings.Join(words, " ") + `"`
	if at != nil {
		tag = tag[:at[4]] + attribute + tag[at[5]:]
	} else {
		end := len(tag) - 1
		if tag[end-1] == '/' {
			end--
		}
		tag = tag[:end] + " transform=" + attribute + tag[end:]
	}
	return []byte(string(text[:from]) + tag + string(text[to:])), nil
}

// affine is the turn for row vectors.
func (t *turner) affine() affine {
	r, s := &t.rotation, t.shift
	return affine{r[0], r[3], r[6], r[1], r[4], r[7], r[2], r[5], r[8], s.X, s.Y, s.Z}
}

// itemTag finds the bytes of the start tag of the one item, and the mm in one unit of the text.
func itemTag(text []byte) (from, to int, scale float64, err error) {
	d := xml.NewDecoder(bytes.NewReader(text))
	// The file was read before, and only what is UTF-8, as ASCII is, was taken.
	d.CharsetReader = func(_ string, in io.Reader) (io.Reader, error) { return in, nil }
	items := 0
	for {
		before := d.InputOffset()
		token, err := d.Token()
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			return 0, 0, 0, err
		}
		switch start, ok := token.(xml.StartElement); {
		case !ok || start.Name.Space != spaceCore:
		case start.Name.Local == "model":
			scale = threeMFUnits[unitOf(start)]
		case start.Name.Local == "item":
			from, to = int(before), int(d.InputOffset())
			items++
		}
	}
	if items != 1 {
		return 0, 0, 0, inFile("write it to another folder with advise --write", "the build has %d items", items)
	}
	return from, to, scale, nil
}

func unitOf(model xml.StartElement) string {
	for _, a := range model.Attr {
		if a.Name.Space == "" && a.Name.Local == "unit" {
			return a.Value
		}
	}
	return ""
}

package xmltoken

import (
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"math/rand/v2"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"printlint/internal/dice"
)

// twinXML is walkXML by the standard library's reader: names, attributes, and the text of
// elements that hold nothing else.
func twinXML(text string) (string, error) {
	d := xml.NewDecoder(strings.NewReader(text))
	var b strings.Builder
	depth, roots := 0, 0
	for {
		tok, err := d.RawToken()
		if errors.Is(err, io.EOF) {
			if depth > 0 || roots != 1 {
				return "", io.ErrUnexpectedEOF
			}
			return b.String(), nil
		}
		if err != nil {
			return "", err
		}
		switch tok := tok.(type) {
		case xml.StartElement:
			if depth++; depth == 1 {
				roots++
			}
			fmt.Fprintf(&b, "<%s", tok.Name.Local)
			for _, a := range tok.Attr {
				name := a.Name.Local
				if a.Name.Space != "" {
					name = a.Name.Space + ":" + name
				}
				fmt.Fprintf(&b, " %s=%q", name, a.Value)
			}
			b.WriteString(">")
		case xml.EndElement:
			depth--
			b.WriteString("</>")
		}
	}
}

// ownXML writes the same from our reader.
func ownXML(text string) (string, error) {
	x := New(strings.NewReader(text))
	if !x.Begin() {
		return "", x.Err()
	}
	var b strings.Builder
	var down func()
	down = func() {
		fmt.Fprintf(&b, "<%s", x.Local)
		for _, a := range x.Attrs {
			fmt.Fprintf(&b, " %s=%q", a.Name, a.Value)
		}
		b.WriteString(">")
		x.Each(down)
		b.WriteString("</>")
	}
	down()
	x.Finish()
	return b.String(), x.Err()
}

// randomXML makes a document with everything that we read.
func randomXML(r *rand.Rand) string {
	var b strings.Builder
	if r.IntN(2) == 0 {
		b.WriteString("<?xml version=\"1.0\" encoding=\"UTF-8\"?>")
	}
	pick := func(of ...string) string { return of[r.IntN(len(of))] }
	aside := func() string {
		return pick("", "", "", " ", "\n", "\r\n", "<!-- a <b> & c -->", "<?p q?>")
	}
	var element func(depth int)
	element = func(depth int) {
		name := pick("a", "b", "vertex", "p:c", "ä")
		b.WriteString("<" + name)
		for i := range r.IntN(4) {
			quote := pick("\"", "'")
			fmt.Fprintf(&b, "%sx%d%s%s%s%s", pick(" ", "\n", "\t "), i, pick("=", " = "), quote, pick("", "1.5", "a&amp;b", "&#65;&#x42;", ">", "/", "ü"), quote)
		}
		b.WriteString(pick("", " "))
		if r.IntN(3) == 0 {
			b.WriteString("/>")
			return
		}
		b.WriteString(">")
		for range r.IntN(4) {
			b.WriteString(aside() + pick("", "text", "&lt;", "<![CDATA[<x>&]]>", "]"))
			if depth < 6 {
				element(depth + 1)
			}
		}
		b.WriteString("</" + name + pick("", " ", "\n") + ">")
	}
	b.WriteString(strings.TrimSpace(aside()) + "<r xmlns:p='u'>")
	element(0)
	b.WriteString(aside() + "</r>" + aside())
	return b.String()
}

// TestXMLAsTheStandardLibrary compares what both readers make of random documents, and of
// documents with one damaged byte: what the standard library refuses, ours must refuse, and
// the other way round. Both have their own freedoms, which are listed.
func TestXMLAsTheStandardLibrary(t *testing.T) {
	r := dice.New(t)
	refused := 0
	for range 3000 {
		text := randomXML(r)
		want, err := twinXML(text)
		require.NoError(t, err, text)
		got, err := ownXML(text)
		require.NoError(t, err, text)
		require.Equal(t, want, got, text)

		damaged := []byte(text)
		damaged[r.IntN(len(damaged))] = "<>/&;'\"= ax"[r.IntN(11)]
		text = string(damaged)
		got, err = ownXML(text)
		want, errTwin := twinStrict(text)
		if err != nil {
			refused++
		}
		if err == nil && errTwin == nil {
			require.Equal(t, want, got, text)
		} else if (err == nil) != (errTwin == nil) {
			require.True(t, excused(text, err, errTwin), "%q: ours says %v, theirs %v", text, err, errTwin)
		}
	}
	assert.Greater(t, refused, 500)
}

// twinStrict also holds that tags match, which RawToken leaves open.
func twinStrict(text string) (string, error) {
	d := xml.NewDecoder(strings.NewReader(text))
	for {
		if _, err := d.Token(); errors.Is(err, io.EOF) {
			return twinXML(text)
		} else if err != nil {
			return "", err
		}
	}
}

// excused are the differences that are meant. Ours does not look into text between tags,
// into names beyond their first letter, into comments and instructions; theirs takes an
// attribute twice, a prefix that is not declared, text around the root, a < in a value, and white space in odd places.
func excused(text string, ours, theirs error) bool {
	if ours == nil {
		for _, s := range []string{"entity", "name", "invalid UTF-8", "comment", "CDATA", "]]>", "target", "version", "encoding", "attribute"} {
			if strings.Contains(theirs.Error(), s) {
				return true
			}
		}
		return false
	}
	if at := strings.Index(text, "?>"); strings.HasPrefix(text, "<?xml") && strings.Contains(ours.Error(), "line 1: ") && at >= 0 {
		return true // theirs does not look into the declaration
	}
	for _, s := range []string{"twice", "outside", "is not ended", "blank was expected", "name=", "declaration", "name of an XML element", "encoding", "no XML", "is not declared"} {
		if strings.Contains(ours.Error(), s) {
			return true
		}
	}
	return false
}

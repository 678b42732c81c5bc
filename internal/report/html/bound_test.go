package html

import (
	"bytes"
	"fmt"
	"image"
	"image/png"
	"io"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"printlint/internal/draw"
	"printlint/internal/finding"
)

// crowded is a model with very many findings of a few rules, no two alike.
func crowded(places, rules int) *finding.Report {
	m := finding.Model{Path: "sponge.stl", Status: finding.Checked}
	for i := range places {
		m.Findings = append(m.Findings, finding.Finding{
			Rule: fmt.Sprintf("rule-%d", i%rules), Level: finding.Error, Message: fmt.Sprintf("wall is %d wide", i), Advice: "make it thicker",
			Says: []string{"wide"}, Triangle: i + 1, Line: i + 1,
			Values: finding.Values{{Name: "wide", Unit: "mm", Value: float64(i)}}, Limits: finding.Values{{Name: "wide", Unit: "mm", Value: 1}},
		})
	}
	return &finding.Report{Models: []finding.Model{m}}
}

// TestCrowdedModelsStaySmall holds that no number of findings makes a page that cannot be
// opened, that what is left out is said, and that a number in a picture still leads to a
// place that is there.
func TestCrowdedModelsStaySmall(t *testing.T) {
	var out bytes.Buffer
	pictures := func(int) *draw.Pictures {
		e := &draw.Encoded{Width: 640, Height: 480}
		for n := range 40 {
			e.Badges = append(e.Badges, draw.Badge{Number: n + 1})
		}
		return &draw.Pictures{Lying: e}
	}
	require.NoError(t, Write(&out, crowded(60_000, 3), Options{Pictures: pictures}))
	text := out.String()
	assert.Less(t, len(text), 400_000)
	assert.Contains(t, text, "more places like these; the JSON report has them all")
	assert.Contains(t, text, "60000 errors")
	assert.Contains(t, text, "error, 20000 places")
	assert.Equal(t, 40, strings.Count(text, `aria-label="finding `))
	for _, part := range strings.Split(text, `<a href="#m1-`)[1:] {
		id, _, _ := strings.Cut(part, `"`)
		assert.Contains(t, text, `id="m1-`+id+`"`)
	}
}

// TestFewFindingsAreAllShown holds that the bound cuts nothing off that a reader can look through.
func TestFewFindingsAreAllShown(t *testing.T) {
	var out bytes.Buffer
	require.NoError(t, Write(&out, crowded(14, 1), Options{}))
	assert.NotContains(t, out.String(), "the JSON report has them all")
	for n := range 14 {
		assert.Contains(t, out.String(), fmt.Sprintf(`id="m1-%d"`, n+1))
	}
}

// TestManyAcceptedAreCounted holds that a long list of what was accepted is cut, and says so.
func TestManyAcceptedAreCounted(t *testing.T) {
	r := crowded(maxAccepted+40, 1)
	for i := range r.Models[0].Findings {
		r.Models[0].Findings[i].Waived = &finding.Waived{Reason: "printed often"}
	}
	var out bytes.Buffer
	require.NoError(t, Write(&out, r, Options{}))
	assert.Contains(t, out.String(), "100 accepted in writing")
	assert.Contains(t, out.String(), "And 40 more; the JSON report has them all.")
	assert.Equal(t, maxAccepted, strings.Count(out.String(), "Accepted because"))
}

// TestListOfAFolderHasSmallPictures holds that they are there, and no more than can be opened.
func TestListOfAFolderHasSmallPictures(t *testing.T) {
	var drawn bytes.Buffer
	require.NoError(t, png.Encode(&drawn, image.NewGray(image.Rect(0, 0, 640, 480))))
	r := manyOnMany(maxThumbs+20, 1)
	broken := len(r.Models) - 1
	r.Models[broken].Status = finding.Undecided // the worst is the first in the list
	var list string
	require.NoError(t, WriteFolder(func(name string, to func(io.Writer) error) error {
		if name != "index.html" {
			return nil
		}
		var out bytes.Buffer
		err := to(&out)
		list = out.String()
		return err
	}, r, Options{Pictures: func(i int) *draw.Pictures {
		if i == broken {
			return &draw.Pictures{Lying: &draw.Encoded{PNG: []byte("no picture"), Width: 640, Height: 480}}
		}
		return &draw.Pictures{Lying: &draw.Encoded{PNG: drawn.Bytes(), Width: 640, Height: 480}}
	}}))
	assert.Equal(t, maxThumbs-1, strings.Count(list, `<img src="data:image/png;base64,`), "one cannot be made")
	assert.NotContains(t, list, "<use href", "there is nothing that it could show")
	assert.NotContains(t, list, "In the pictures a number points")
}

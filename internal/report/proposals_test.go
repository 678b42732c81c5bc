package report

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"

	"printlint/internal/draw"
	"printlint/internal/finding"
)

// proposing is a report with all that can be advised to change in a shape.
func proposing() *finding.Report {
	r := sample()
	r.Models[2].Advice = &finding.Advice{
		Words: "lay it so; if its designer agrees, cut 0.8 mm off the bottom; or, if its designer agrees, cut it in two pieces",
		Poses: []finding.Pose{{Words: "as it lies"}},
		Choices: []finding.Choice{
			{Kind: "flat", Grams: 12, Minutes: 50, Work: []string{"cut the bottom off"}},
			{Kind: "pieces", Support: true, Errors: 1, Grams: 13, Minutes: 70, Rough: 20, Seams: 1, Work: []string{"cut and glue", "take support off"}},
			{Kind: "turn", Words: "turn it over", Errors: 2, Grams: 11, Minutes: 45},
		},
		Cut: &finding.Cut{Words: "cut 0.8 mm off the bottom: then 62 mm² lie flat", Caution: "a cut weakens", Height: 0.8, Area: 62},
		Split: &finding.Split{Words: "cut it in two pieces, level", Caution: "a joint weakens", Planes: []finding.Plane{{}},
			Pieces: []finding.Piece{{Pose: finding.Pose{Words: "the cut goes on the bed"}}, {Pose: finding.Pose{Words: "turn it on its side"}}}},
		Edits: &finding.Edits{Words: "add two slopes", Caution: "a slope shows",
			List: []finding.Edit{{At: [3]float64{1, 2, 3}, Words: "a slope of 45°"}, {At: [3]float64{4, 5, 6}, Words: "a slope of 40°"}}},
	}
	return r
}

// TestPageProposes holds that all that is advised to change is on the page, in words alone and
// with pictures, each of which says what it shows.
func TestPageProposes(t *testing.T) {
	r := proposing()
	e := func(words string) *draw.Encoded {
		return &draw.Encoded{Width: 9, Height: 9, Words: words, PNG: []byte(words)}
	}
	off := e("along the bed")
	off.Guides.Pieces = []draw.PieceAt{{Number: 2, X: 3, Y: 4}}
	pictures := func(i int) *draw.Pictures {
		if i != 2 {
			return nil
		}
		return &draw.Pictures{Proposed: draw.Proposed{Off: off, Stands: e("below"), Planes: e("planes"), Laid: e("laid"), Without: e("without"), With: e("with")}}
	}
	for _, opt := range []Options{{}, {Pictures: pictures}} {
		page := pageOf(t, r, opt)
		text := wordsOf(page)
		for _, want := range []string{
			"What can be done The best first Errors left Plastic and time Rough faces Seams By hand Cut a flat to stand on. 0 about 12 g and 50 min 0 mm² 0 Cut the bottom off",
			"Cut it in pieces, with support. 1 about 13 g and 70 min 20 mm² 1 Cut and glue, take support off", "Turn it over. 2 about 11 g and 45 min 0 mm² 0 Nothing",
			"Cut a flat to stand on Cut 0.8 mm off the bottom: then 62 mm² lie flat. A cut weakens.",
			"Cut it in pieces Cut it in two pieces, level. A joint weakens. The cut goes on the bed. Turn it on its side.",
			"Change the model Add two slopes. A slope shows. At (1, 2, 3) mm: A slope of 45°. At (4, 5, 6) mm: A slope of 40°.",
		} {
			assert.Contains(t, text, want)
		}
		drawn := opt.Pictures != nil
		for title, words := range map[string]string{
			"What to cut off": "along the bed", "The flat it then stands on": "below", "Where to cut": "planes", "The pieces as they print": "laid", "Before": "without", "After the change": "with",
		} {
			assert.Equal(t, drawn, strings.Contains(page, fmt.Sprintf(`role="group" aria-label="%s, %s"`, title, words)), title)
			assert.Equal(t, drawn, strings.Contains(text, title+"."), title)
		}
		assert.Equal(t, drawn, strings.Contains(page, `<g class="piece" transform="translate(3.0 4.0)"><circle r="15"/><text y="6.5">2</text></g>`))
	}
	page := wordsOf(pageOf(t, r, Options{Pictures: pictures}))
	assert.Contains(t, page, "What is new is blue with plus signs; slanted blue lines show where it goes on behind.")
	r.Models[2].Advice.Edits.List[1].Volume = -4
	page = wordsOf(pageOf(t, r, Options{Pictures: pictures}))
	assert.Contains(t, page, "What is new is blue with plus signs; faces that lie bare since something was taken away are orange with minus signs; slanted blue lines show where these go on behind.")
	r.Models[2].Advice.Edits.List = r.Models[2].Advice.Edits.List[:1]
	page = wordsOf(pageOf(t, r, Options{}))
	assert.NotContains(t, page, "At (1, 2, 3) mm: A slope", "what the words above say is not said twice")
	assert.Contains(t, page, "A slope shows. At (1, 2, 3) mm.")
}

// TestMarkdownProposes holds that a summary has the choices in a table, and what to mind.
func TestMarkdownProposes(t *testing.T) {
	text := markdownOf(t, proposing(), Options{})
	assert.Contains(t, text, `
**Or change the model:** add two slopes

| what can be done, the best first | errors left | plastic and time | rough | seams | by hand |
|---|--:|---|--:|--:|---|
| cut a flat to stand on | 0 | about 12 g and 50 min | 0 mm² | 0 | cut the bottom off |
| cut it in pieces, with support | 1 | about 13 g and 70 min | 20 mm² | 1 | cut and glue, take support off |
| turn it over | 2 | about 11 g and 45 min | 0 mm² | 0 | nothing |

**Mind:** A cut weakens. A joint weakens. A slope shows.
`)
	assert.NotContains(t, markdownOf(t, sample(), Options{}), "what can be done")
}

// TestProposalsOfMachines holds that pictures stand with the advice that they were drawn for.
func TestProposalsOfMachines(t *testing.T) {
	r := onMachines(2)
	own, other := &finding.Advice{Words: "a", Cut: &finding.Cut{Words: "cut 1 mm off"}}, &finding.Advice{Words: "b", Cut: &finding.Cut{Words: "cut 2 mm off"}}
	m := &r.Models[3] // fails everywhere
	m.Advice, m.Machines[0].Advice, m.Machines[1].Advice = own, own, other
	e := &draw.Encoded{Width: 9, Height: 9}
	page := pageOf(t, r, Options{Pictures: func(int) *draw.Pictures { return &draw.Pictures{Proposed: draw.Proposed{Off: e, Stands: e}} }})
	first, second := strings.Index(page, "Cut 1 mm off."), strings.Index(page, "Cut 2 mm off.")
	picture := strings.Index(page, `aria-label="What to cut off`)
	assert.Greater(t, first, 0)
	assert.Greater(t, picture, first)
	assert.Greater(t, second, picture)
	assert.Equal(t, 1, strings.Count(page, `aria-label="What to cut off`))
}

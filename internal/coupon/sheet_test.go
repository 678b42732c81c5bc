package coupon

import (
	"bytes"
	"errors"
	"fmt"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"printlint/internal/reading"
)

// TestSheetAsksEveryQuestion holds that the page has a box for each piece and print, says
// what is looked for, and is the same each time.
func TestSheetAsksEveryQuestion(t *testing.T) {
	p := plan(t, usual)
	var page, again bytes.Buffer
	require.NoError(t, p.Sheet(&page))
	require.NoError(t, p.Sheet(&again))
	assert.Equal(t, page.String(), again.String())
	pieces := 0
	for _, r := range p.Rows {
		assert.Contains(t, page.String(), r.Title)
		assert.Contains(t, page.String(), r.Held)
		assert.Contains(t, page.String(), r.Clean)
		for _, s := range r.Steps {
			pieces++
			assert.Contains(t, page.String(), "<th>"+s.Label+"</th>")
		}
	}
	assert.Equal(t, 2*pieces, strings.Count(page.String(), "<td></td>"))
	assert.Equal(t, len(p.Rows), strings.Count(page.String(), "<svg"))
	assert.NotContains(t, page.String(), "<script")
	assert.NotContains(t, page.String(), "http")
}

// TestSheetNamesThePlates holds that a row says on which of several plates its pieces are.
func TestSheetNamesThePlates(t *testing.T) {
	var one, several bytes.Buffer
	p := plan(t, usual)
	require.NoError(t, p.Sheet(&one))
	for i := range p.Rows {
		assert.Contains(t, one.String(), fmt.Sprintf("%s (plate %d)</h2>", p.Rows[i].Title, map[bool]int{false: 1, true: 2}[p.Rows[i].loose]))
	}
	small := usual
	small.Bed = [3]float64{80, 80, 80}
	p = plan(t, small)
	require.NoError(t, p.Sheet(&several))
	assert.Contains(t, several.String(), "Short slopes (plate 1)</h2>")
	for i := range p.Rows {
		assert.Contains(t, several.String(), p.Rows[i].Title+" ("+p.On(p.Rows[i].Name)+")")
		assert.NotEmpty(t, p.On(p.Rows[i].Name))
	}
}

// TestDrawingsFit holds that no drawing of a piece is cut off, whatever the nozzle.
func TestDrawingsFit(t *testing.T) {
	drawn := 0
	for _, line := range []float64{0.1, 0.25, 0.4, 0.6, 0.8, 1, 2} {
		process := usual
		process.Line, process.Layer = line, line/2
		for _, r := range plan(t, process).Rows {
			svg := string(drawing(r))
			var wide, high float64
			_, err := fmt.Sscanf(svg, `<svg viewBox="-4 -4 %f %f"`, &wide, &high)
			require.NoError(t, err)
			for _, p := range regexp.MustCompile(`[ML](\S+) ([0-9.-]+)`).FindAllStringSubmatch(svg, -1) {
				x, err := strconv.ParseFloat(p[1], 64)
				require.NoError(t, err)
				y, err := strconv.ParseFloat(p[2], 64)
				require.NoError(t, err)
				assert.True(t, x <= wide-4 && y <= high-4 && high < 120, "%s at a line of %v mm: %s of %v by %v", r.Name, line, p[0], wide, high)
				drawn++
			}
		}
	}
	assert.Positive(t, drawn)
}

// TestMaterialIsNoMarkup holds that the name of a plastic stays text.
func TestMaterialIsNoMarkup(t *testing.T) {
	hostile := usual
	hostile.Material = "<b>'pla"
	p := plan(t, hostile)
	var page bytes.Buffer
	require.NoError(t, p.Sheet(&page))
	assert.NotContains(t, page.String(), "<b>'pla")
	a, err := Read("a.yml", []byte(filled(t, p, "gaps", "held", "0.2")))
	require.NoError(t, err)
	assert.Equal(t, hostile, a.Plan.Process)
}

// TestSheetReadsWithEase holds the page and the words of the rows to what docs/words.md
// promises of messages.
func TestSheetReadsWithEase(t *testing.T) {
	page, err := sheetFile.ReadFile("sheet.html")
	require.NoError(t, err)
	_, body, found := strings.Cut(string(page), "<body>")
	require.True(t, found)
	body = regexp.MustCompile(`(?s)\{\{.*?\}\}|<[^>]*>`).ReplaceAllString(body, " ")
	assert.Empty(t, reading.Unwelcome(body))
	assert.LessOrEqual(t, reading.Grade(body), 8.0)
	for _, r := range rowTable() {
		for _, text := range []string{r.Clean, r.Held} {
			assert.Empty(t, reading.Unwelcome(text))
			assert.LessOrEqual(t, reading.Grade(text), 8.0, text)
		}
	}
}

// TestSheetOnAFullDisk holds that a page that cannot be written is told.
func TestSheetOnAFullDisk(t *testing.T) {
	assert.ErrorContains(t, plan(t, usual).Sheet(full{}), "no space left")
}

type full struct{}

func (full) Write([]byte) (int, error) { return 0, errors.New("no space left") }

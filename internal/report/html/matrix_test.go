package html

import (
	"bytes"
	"fmt"
	"io"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"printlint/internal/finding"
)

// manyOnMany is a run of so many models on so many machines, all of which fail on the last.
func manyOnMany(models, machines int) *finding.Report {
	r := &finding.Report{}
	for k := range machines {
		r.Machines = append(r.Machines, finding.Machine{Name: fmt.Sprintf("bench-%d", k+1)})
	}
	for i := range models {
		m := finding.Model{Path: fmt.Sprintf("parts/m%d.stl", i), Status: finding.Checked,
			Findings: []finding.Finding{{Rule: "bridge", Level: finding.Error, Message: "bridge of 34.0 mm over air", On: []string{r.Machines[machines-1].Name}}}}
		for k := range machines {
			m.Machines = append(m.Machines, finding.OnMachine{Machine: r.Machines[k].Name})
		}
		m.Machines[machines-1].Findings.Error, m.Machines[machines-1].Words = 1, "bridge of 34.0 mm over air"
		r.Models = append(r.Models, m)
	}
	return r
}

// TestMatrixHasAnEnd holds that the list of very many models on many machines can still be
// opened, and that what is left out is said.
func TestMatrixHasAnEnd(t *testing.T) {
	for _, c := range []struct{ models, machines, rows, most int }{{191, 4, 191, 300_000}, {1000, 10, 1000, 1_600_000}, {1000, 25, 800, 2_000_000}, {2500, 10, 1000, 1_600_000}} {
		files, list := 0, ""
		require.NoError(t, WriteFolder(func(name string, to func(io.Writer) error) error {
			var out bytes.Buffer
			if files++; files > 3 {
				return nil // the others are like these
			}
			err := to(&out)
			if name == "index.html" {
				list = out.String()
			} else if !strings.HasPrefix(name, "list-") && strings.Contains(out.String(), `id="matrix"`) {
				t.Errorf("%s has the table of all models", name)
			}
			return err
		}, manyOnMany(c.models, c.machines), Options{}))
		assert.Equal(t, c.models+(c.models+maxRows-1)/maxRows, files)
		assert.Equal(t, c.rows, strings.Count(list, `<tr id="x`))
		assert.Equal(t, c.rows, strings.Count(list, `<td class="fail">fails: bridge</td>`))
		assert.Equal(t, c.rows*(c.machines-1), strings.Count(list, `<td class="fine">prints</td>`))
		assert.Less(t, len(list), c.most)
		assert.Equal(t, c.rows < min(c.models, maxRows), strings.Contains(list, fmt.Sprintf("And %d more models; the list below", maxRows-c.rows)))
	}
}

// TestMachinesThatSayTheSame holds that they share a line, unless their advice differs.
func TestMachinesThatSayTheSame(t *testing.T) {
	r := manyOnMany(1, 5)
	m := newModel(r, 0, &Options{}, nil)
	require.Len(t, m.On, 2)
	assert.Equal(t, "bench-1, bench-2, bench-3 and bench-4", m.On[0].Machines())
	assert.Equal(t, "Prints.", m.On[0].Words)
	assert.Equal(t, "0 1 2 3 ", m.On[0].Numbers)
	assert.Equal(t, "Fails: bridge of 34.0 mm over air.", m.On[1].Words)
	assert.Equal(t, "Prints on bench-1, bench-2, bench-3 and bench-4. Fails on bench-5.", m.Answer)
	r.Models[0].Machines[2].Advice = &finding.Advice{Words: "turn it"}
	m = newModel(r, 0, &Options{}, nil)
	assert.Len(t, m.On, 3)
	assert.Equal(t, "On bench-3: Turn it.", m.First)
	r.Models[0].Machines[4].Advice = &finding.Advice{Words: "lay it flat"}
	m = newModel(r, 0, &Options{}, nil)
	assert.Equal(t, "On bench-5: Lay it flat.", m.First, "the model fails there")
}

// TestCuresAreOfTheMachineThatWasAsked holds that advice judged on one machine says nothing of
// what is wrong on others alone, and stands on the page once.
func TestCuresAreOfTheMachineThatWasAsked(t *testing.T) {
	r := manyOnMany(1, 2)
	m := &r.Models[0]
	everywhere := m.Findings[0]
	everywhere.On, everywhere.Rule, everywhere.Advice = nil, "wall", "make it thicker"
	m.Findings[0].Advice = "turn it"
	m.Findings = append(m.Findings, everywhere)
	turned := [9]float64{1, 0, 0, 0, -1, 0, 0, 0, -1}
	m.Advice = &finding.Advice{Words: "turn it over", Poses: []finding.Pose{{Matrix: turned, Words: "turn it over"}}}
	m.Machines[0].Advice = &finding.Advice{Words: "turn it over", Poses: []finding.Pose{{Matrix: turned, Words: "turn it over"}}}
	var out bytes.Buffer
	require.NoError(t, Write(&out, r, Options{}))
	page := newModel(r, 0, &Options{}, nil)
	require.Len(t, page.Rules, 2)
	assert.Equal(t, [2]bool{false, true}, [2]bool{page.Rules[0].Cured, page.Rules[1].Cured}, "bridge is wrong on bench-2, which nobody asked")
	assert.Contains(t, page.Todo, "Bridge on bench-2: Turn it.")
	assert.Contains(t, out.String(), "<b>Gone</b> on bench-1 when you turn the model as advised.")
	assert.Equal(t, 1, strings.Count(out.String(), "Ways up that were tried"))
	m.Machines[0].Advice = nil
	out.Reset()
	require.NoError(t, Write(&out, r, Options{}))
	assert.Equal(t, 1, strings.Count(out.String(), "Ways up that were tried"), "where no machine has it, the model does")
	assert.Contains(t, out.String(), "<b>Gone</b> when you turn")
}

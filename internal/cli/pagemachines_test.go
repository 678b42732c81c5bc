package cli

import (
	"fmt"
	"io"
	"path/filepath"
	"testing"

	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"printlint/internal/finding"
	"printlint/internal/report"
)

// writeMachines writes the page of three models on so many machines: one prints on all, one
// fails on the last, one needs a look on all.
func writeMachines(t *testing.T, machines int) string {
	t.Helper()
	r := &finding.Report{Tool: finding.Tool{Name: "printlint", Version: "1"}, Rules: finding.RuleSet{Sets: []string{"standard"}},
		Where: &finding.FailWhere{Policy: finding.FailOnEvery}, Summary: finding.Summary{Models: 3, Fail: 1, Look: 1, Clean: 1, Error: 1, Warning: 1}}
	for k := range machines {
		r.Machines = append(r.Machines, finding.Machine{Name: fmt.Sprintf("bench-%d", k+1), File: "machines.yml", Material: "pla", Nozzle: 0.4, Line: 0.45, Layer: 0.2, Bed: [3]float64{200, 200, 200}})
	}
	last := r.Machines[machines-1].Name
	bridge := finding.Finding{Rule: "bridge", Level: finding.Error, Message: "bridge of 34.0 mm over air; 18 mm is the most here", Advice: "turn it over", On: []string{last}}
	wall := finding.Finding{Rule: "wall", Level: finding.Warning, Message: "wall is 0.4 mm thick; a line is 0.45 mm wide", Advice: "make it thicker"}
	for _, m := range []finding.Model{{Path: "parts/clean.stl"}, {Path: "parts/gallows.stl", Findings: []finding.Finding{bridge}}, {Path: "parts/thin.stl", Findings: []finding.Finding{wall}}} {
		m.Kind, m.Status = "stl", finding.Checked
		for k := range r.Machines {
			on := finding.OnMachine{Machine: r.Machines[k].Name}
			for _, f := range m.Findings {
				if len(f.On) == 0 || on.Machine == last {
					on.Findings.Add(f.Level)
					on.Words = f.Message
					on.Advice = &finding.Advice{Words: "turn it over; then it prints with no finding"}
				}
			}
			m.Machines = append(m.Machines, on)
		}
		r.Models = append(r.Models, m)
	}
	path := filepath.Join(t.TempDir(), "report.html")
	require.NoError(t, report.WriteFile(path, func(w io.Writer) error { return report.Write(w, "html", r, report.Options{}) }))
	return path
}

// cells are the words of the rows that the table of models by machines shows.
func cells(t *testing.T, p *tab) []string {
	t.Helper()
	return eval[[]string](t, p, `[...document.querySelectorAll('#shelf:not([hidden]) #matrix tbody tr:not([hidden])')].map((r) => [...r.children].filter((c) => c.checkVisibility()).map((c) => c.textContent).join(' | '))`)
}

// choose picks a value as a reader does.
func choose(at, value string) []step {
	return []step{chromedp.SetValue(at, value), js(fmt.Sprintf(`document.querySelector(%q).dispatchEvent(new Event('change'))`, at))}
}

// TestPageOfMachines uses the page of a run for three machines as a reader does.
func TestPageOfMachines(t *testing.T) {
	p := open(t, writeMachines(t, 3))
	assert.Equal(t, "1 of 3 models prints as it lies on every machine.", eval[string](t, p, `document.querySelector('h1').textContent`))
	all := []string{"gallows.stl | prints | prints | fails: bridge", "thin.stl | prints, look | prints, look | prints, look", "clean.stl | prints | prints | prints"}
	assert.Equal(t, all, cells(t, p))
	assert.Equal(t, 4, eval[int](t, p, `document.querySelectorAll('#matrix thead th[scope=col]').length`))
	assert.Equal(t, 3, eval[int](t, p, `document.querySelectorAll('#matrix tbody th[scope=row]').length`))
	p.shot(t, "machines")
	// What would fail, on any machine and on one.
	p.do(t, choose("#by-show", "fail")...)
	assert.Equal(t, []string{"Gallows"}, names(t, p))
	p.do(t, choose("#by-machine", "bench-1")...)
	assert.Empty(t, names(t, p))
	assert.Empty(t, cells(t, p))
	assert.True(t, eval[bool](t, p, `document.querySelector('#shelf').hidden`), "no head without rows")
	p.do(t, choose("#by-show", "fine")...)
	assert.Equal(t, []string{"Gallows", "Clean"}, names(t, p))
	assert.Equal(t, all[:1], cells(t, p)[:1], "the table follows")
	assert.Equal(t, "#show=fine&machine=bench-1", eval[string](t, p, `location.hash`))
	assert.Equal(t, 0, eval[int](t, p, `[...document.querySelectorAll('#details .rule')].filter((e) => e.textContent.includes('bridge') && e.checkVisibility()).length`), "what is wrong elsewhere is not shown")
	p.do(t, choose("#by-machine", "bench-3")...)
	assert.Equal(t, []string{"Clean"}, names(t, p))
	p.do(t, choose("#by-sort", "name")...)
	p.do(t, choose("#by-show", "")...)
	assert.Equal(t, []string{all[2], all[0], all[1]}, cells(t, p), "and is sorted with the list")
	assert.Equal(t, 1, eval[int](t, p, `document.querySelectorAll('#matrix col.on').length`))
	p.quiet(t)
}

// TestPageOfMachinesLooks holds that the table can be read in light and dark, on a phone, on
// paper and by the keyboard, with ten machines.
func TestPageOfMachinesLooks(t *testing.T) {
	path := writeMachines(t, 10)
	p := open(t, path)
	for _, scheme := range []string{"light", "dark"} {
		p.do(t, send(emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{Features: []*emulation.MediaFeature{{Name: "prefers-color-scheme", Value: scheme}}}))
		assert.Empty(t, eval[[]string](t, p, contrast), "too little contrast, %s", scheme)
		p.shot(t, "machines-"+scheme)
	}
	assert.Equal(t, "auto", eval[string](t, p, `document.querySelector('.scroll').focus(), getComputedStyle(document.activeElement).overflowX`), "the keyboard scrolls it")
	p.do(t, send(emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{Media: "print"}),
		send(emulation.SetDeviceMetricsOverride, emulation.SetDeviceMetricsOverrideParams{Width: 718, Height: 1047, DeviceScaleFactor: 1}))
	assert.LessOrEqual(t, eval[int](t, p, `document.documentElement.scrollWidth`), 718, "an A4 sheet within its margins, at 96 dots an inch")
	assert.Greater(t, eval[float64](t, p, `document.querySelector('#matrix tbody th').getBoundingClientRect().width`), 100.0, "the names have room")
	p.shot(t, "machines-print")
	p.quiet(t)

	phone := open(t, path, send(emulation.SetDeviceMetricsOverride, emulation.SetDeviceMetricsOverrideParams{Width: 390, Height: 844, DeviceScaleFactor: 2, Mobile: true}))
	assert.LessOrEqual(t, eval[int](t, phone, `document.documentElement.scrollWidth`), 390, "nothing sticks out sideways but within the table")
	assert.InDelta(t, 0, eval[float64](t, phone, `(() => { const s = document.querySelector('.scroll'); s.scrollLeft = 300; return document.querySelector('#matrix tbody th').getBoundingClientRect().left - s.getBoundingClientRect().left; })()`), 2, "the names stay")
	phone.do(t, choose("#by-machine", "bench-10")...)
	assert.Contains(t, cells(t, phone), "gallows.stl | fails: bridge", "one machine alone where there is little room")
	phone.shot(t, "machines-phone")
	phone.quiet(t)
}

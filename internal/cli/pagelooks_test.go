package cli

import (
	"io"
	"os"
	"path/filepath"
	"testing"

	"github.com/chromedp/cdproto/emulation"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"printlint/internal/finding"
	"printlint/internal/report"
)

// keep writes a file for looking at, where a folder is asked for.
func keep(t *testing.T, name string, data []byte) {
	t.Helper()
	if dir := os.Getenv("PRINTLINT_SHOTS"); dir != "" {
		require.NoError(t, os.WriteFile(filepath.Join(dir, name), data, 0o666))
	}
}

// contrast lists the texts whose contrast with what is behind them is below 4.5 to 1,
// by the definition of the Web Content Accessibility Guidelines 2.2, 1.4.3.
const contrast = `(() => {
	const c = document.createElement('canvas').getContext('2d', {willReadFrequently: true});
	const rgb = (s) => { c.clearRect(0, 0, 1, 1); c.fillStyle = s; c.fillRect(0, 0, 1, 1); return [...c.getImageData(0, 0, 1, 1).data]; };
	const lin = (v) => { v /= 255; return v <= 0.04045 ? v / 12.92 : ((v + 0.055) / 1.055) ** 2.4; };
	const light = (p) => 0.2126 * lin(p[0]) + 0.7152 * lin(p[1]) + 0.0722 * lin(p[2]);
	const behind = (e) => { let back = [255, 255, 255]; const chain = []; for (; e; e = e.parentElement) chain.unshift(e);
		for (const x of chain) { const b = rgb(getComputedStyle(x).backgroundColor); back = back.map((v, i) => v + (b[i] - v) * b[3] / 255); } return back; };
	const low = [];
	for (const e of document.querySelectorAll('h1, h2, h3, p, a, li, td, th, label, figcaption, summary, output, button, select, input, b, .where, .part, .pin')) {
		if (!e.textContent.trim() || e.closest('svg') || !e.checkVisibility()) continue;
		const a = light(rgb(getComputedStyle(e).color)), b = light(behind(e));
		const ratio = (Math.max(a, b) + 0.05) / (Math.min(a, b) + 0.05);
		if (ratio < 4.5) low.push(e.localName + '.' + e.className + ' ' + ratio.toFixed(2));
	}
	return [...new Set(low)];
})()`

// marksApart lists the signs whose fill is below 3 to 1 with what is behind them, by the
// same guidelines, 1.4.11.
const marksApart = `(() => {
	const c = document.createElement('canvas').getContext('2d', {willReadFrequently: true});
	const rgb = (s) => { c.clearRect(0, 0, 1, 1); c.fillStyle = s; c.fillRect(0, 0, 1, 1); return [...c.getImageData(0, 0, 1, 1).data]; };
	const lin = (v) => { v /= 255; return v <= 0.04045 ? v / 12.92 : ((v + 0.055) / 1.055) ** 2.4; };
	const light = (p) => 0.2126 * lin(p[0]) + 0.7152 * lin(p[1]) + 0.0722 * lin(p[2]);
	const low = [];
	const shapes = [...document.querySelectorAll('.badge.error path, .badge.warning rect, .badge.note circle, .badge.clean circle')];
	if (shapes.length < 20) low.push('only ' + shapes.length + ' signs');
	for (const s of shapes) {
		let e = s; while (e && rgb(getComputedStyle(e).backgroundColor)[3] < 255) e = e.parentElement;
		const a = light(rgb(getComputedStyle(s).fill)), b = light(e ? rgb(getComputedStyle(e).backgroundColor) : [255, 255, 255]);
		const ratio = (Math.max(a, b) + 0.05) / (Math.min(a, b) + 0.05);
		if (ratio < 3) low.push((s.closest('.picture') ? 'in a picture ' : '') + s.closest('.badge').className.baseVal + ' ' + ratio.toFixed(2));
	}
	return [...new Set(low)];
})()`

// pageLooks holds that the page follows the reader's choice of light or dark, and that
// every text can be read in both.
func pageLooks(t *testing.T, path string) {
	p := open(t, path)
	brightness := `(() => { const c = getComputedStyle(document.body).backgroundColor.match(/[0-9.]+/g); return c.slice(0, 3).reduce((a, b) => a + +b, 0) / 3; })()`
	for scheme, check := range map[string]func(float64) bool{
		"light": func(x float64) bool { return x > 200 },
		"dark":  func(x float64) bool { return x < 60 },
	} {
		p.do(t, send(emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{Features: []*emulation.MediaFeature{{Name: "prefers-color-scheme", Value: scheme}}}))
		assert.True(t, check(eval[float64](t, p, brightness)), scheme)
		assert.Empty(t, eval[[]string](t, p, contrast), "too little contrast, %s", scheme)
		assert.Empty(t, eval[[]string](t, p, marksApart), "a sign that is hard to see, %s", scheme)
		p.do(t, js(`scrollTo(0, 0)`))
		p.shot(t, scheme)
		p.do(t, js(`document.querySelector('article').scrollIntoView()`))
		p.shot(t, scheme+"-model")
	}
	// The check can fail.
	p.do(t, js(`document.querySelector('h1').style.color = 'gray'; document.body.style.background = '#888'`))
	assert.NotEmpty(t, eval[[]string](t, p, contrast))
	p.quiet(t)
}

// TestPageOfHostileNames opens a report whose names try to run something.
func TestPageOfHostileNames(t *testing.T) {
	const evil = `"><script>window.owned = 1</script><img src=x onerror="window.owned = 2"></script>'+alert(1)+'<!--.stl`
	f := finding.Finding{Rule: evil, Level: finding.Error, Message: evil, Advice: evil, Triangle: 1, Values: finding.Values{}, Limits: finding.Values{}}
	r := &finding.Report{
		Tool: finding.Tool{Name: "printlint", Version: evil}, Rules: finding.RuleSet{Sets: []string{evil}},
		Summary: finding.Summary{Models: 1, Error: 1},
		Models: []finding.Model{{Path: evil, Part: evil, Kind: evil, Status: finding.Checked, Findings: []finding.Finding{f}, Notes: []string{evil},
			Advice: &finding.Advice{Words: evil, Poses: []finding.Pose{{Words: evil, Costs: []string{evil}}}}}},
	}
	path := filepath.Join(t.TempDir(), "report.html")
	require.NoError(t, report.WriteFile(path, func(w io.Writer) error { return report.Write(w, "html", r, report.Options{}) }))
	p := open(t, path)
	assert.Contains(t, names(t, p)[0], "“"+evil+"”", "the name is shown as it is")
	assert.Equal(t, evil, eval[string](t, p, `document.querySelector('.facts code').textContent`))
	assert.Equal(t, "undefined", eval[string](t, p, `typeof window.owned`))
	assert.Equal(t, 0, eval[int](t, p, `document.querySelectorAll('img').length`))
	assert.Equal(t, 2, eval[int](t, p, `document.scripts.length`), "the data and the page's own")
	p.quiet(t)
	// And were something to get in, the policy would not let it run.
	p.do(t, js(`(() => { const s = document.createElement('script'); s.textContent = 'window.owned = 3'; document.body.append(s); document.body.insertAdjacentHTML('beforeend', '<b style="color:red" onclick="window.owned = 4">x</b>'); document.body.lastElementChild.click(); })()`))
	assert.Equal(t, "undefined", eval[string](t, p, `typeof window.owned`))
	assert.NotEqual(t, "rgb(255, 0, 0)", eval[string](t, p, `getComputedStyle(document.body.lastElementChild).color`))
	assert.NotEmpty(t, p.said, "the browser says what it refused")
}

// pageFlat holds that a browser which cannot draw in three dimensions says so,
// and that the rest goes on.
func pageFlat(t *testing.T, path string) {
	p := open(t, path)
	p.do(t, js(`HTMLCanvasElement.prototype.getContext = () => null; document.querySelector('button[data-turn]').click()`))
	assert.Contains(t, eval[string](t, p, `document.querySelector('.stage:not([hidden])').textContent`), "cannot draw in three dimensions")
	assert.Len(t, names(t, p), 20)
	p.quiet(t)
}

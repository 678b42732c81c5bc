package cli

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// TestPage opens the report of the demonstration shelf in a browser and uses it as a
// reader does.
func TestPage(t *testing.T) {
	path := writeDemo(t)
	for name, test := range map[string]func(*testing.T, string){
		"opens": pageOpens, "sorts": pageSorts, "filters": pageFilters, "leads": pageLeads, "turns": pageTurns,
		"keyboard": pageKeyboard, "phone": pagePhone, "looks": pageLooks, "prints": pagePrints, "without script": pageStill,
	} {
		t.Run(name, func(t *testing.T) { test(t, path) })
	}
}

func pageOpens(t *testing.T, path string) {
	p := open(t, path)
	assert.Contains(t, eval[string](t, p, `document.querySelector('h1').textContent`), "of 20 models")
	assert.Len(t, names(t, p), 20)
	assert.Equal(t, 20, eval[int](t, p, `document.querySelectorAll('article').length`))
	// Every picture can be shown, and every number in it leads to its finding.
	assert.True(t, eval[bool](t, p, `(async () => {
		const all = [...document.querySelectorAll('image')];
		for (const i of all) { const x = new Image(); x.src = i.getAttribute('href'); await x.decode(); if (x.naturalWidth !== 640) return false; }
		return all.length >= 20;
	})()`))
	assert.True(t, eval[bool](t, p, `(() => { const all = [...document.querySelectorAll('.picture a')]; return all.length > 10 && all.every((a) => document.querySelector(a.getAttribute('href'))); })()`))
	assert.Contains(t, eval[string](t, p, `document.querySelector('footer').textContent`), "qualified person")
	p.shot(t, "desktop")
	p.quiet(t)
}

func pageSorts(t *testing.T, path string) {
	p := open(t, path)
	worst := names(t, p)
	header := `[data-key=name] button`
	p.do(t, chromedp.Click(header))
	up := names(t, p)
	assert.True(t, sorted(up), "%v", up)
	assert.Equal(t, "ascending", eval[string](t, p, `document.querySelector('[data-key=name]').getAttribute('aria-sort')`))
	first := `document.querySelector('#details article h2').textContent.trim()`
	assert.True(t, strings.HasSuffix(eval[string](t, p, first), up[0]), "the sections move with the list")
	p.do(t, chromedp.Click(header))
	down := names(t, p)
	slices.Reverse(down)
	assert.Equal(t, up, down)
	p.do(t, chromedp.Click(`[data-key=errors] button`))
	errors := eval[[]int](t, p, `[...document.querySelectorAll('td[data-label=errors]')].map((c) => +c.textContent)`)
	assert.True(t, slices.IsSortedFunc(errors, func(a, b int) int { return b - a }), "%v", errors)
	p.do(t, chromedp.SetValue(`#by-sort`, "worst"), js(`document.querySelector('#by-sort').dispatchEvent(new Event('change'))`))
	assert.Equal(t, worst, names(t, p))
	p.quiet(t)
}

func pageFilters(t *testing.T, path string) {
	p := open(t, path)
	p.do(t, chromedp.SendKeys(`#by-find`, "TOOLS hook"))
	assert.Equal(t, []string{"fence-hook.stl"}, last(names(t, p)))
	assert.Equal(t, "1 of 20 shown", eval[string](t, p, `document.querySelector('#shown').textContent`))
	assert.Equal(t, 1, eval[int](t, p, `[...document.querySelectorAll('article')].filter((a) => !a.hidden).length`))
	p.shot(t, "filtered")
	// A link to what is hidden shows it again.
	p.do(t, js(`location.hash = document.querySelector('tr[hidden] a').hash`), chromedp.WaitVisible(`article:target`))
	assert.Len(t, names(t, p), 20)
	for value, at := range map[string]string{"clean": "#by-show", "max-bridge-length": "#by-rule"} {
		p.do(t, chromedp.SetValue(at, value), js(fmt.Sprintf(`document.querySelector(%q).dispatchEvent(new Event('change'))`, at)))
		list := names(t, p)
		assert.NotEmpty(t, list, value)
		assert.Less(t, len(list), 20, value)
		p.do(t, chromedp.SetValue(at, ""), js(fmt.Sprintf(`document.querySelector(%q).dispatchEvent(new Event('change'))`, at)))
	}
	p.quiet(t)
}

// last cuts folders off.
func last(paths []string) []string {
	out := []string{}
	for _, p := range paths {
		out = append(out, p[strings.LastIndex(p, "/")+1:])
	}
	return out
}

func pageLeads(t *testing.T, path string) {
	p := open(t, path)
	p.do(t, chromedp.ScrollIntoView(`#details article:first-child .picture a`))
	href := eval[string](t, p, `document.querySelector('article .picture a').getAttribute('href')`)
	p.do(t, js(`document.querySelector('article .picture a').dispatchEvent(new MouseEvent('click', {bubbles: true, cancelable: true}))`))
	assert.Equal(t, href, eval[string](t, p, `location.hash`))
	assert.True(t, eval[bool](t, p, `document.querySelector('li:target') !== null`))
	p.shot(t, "finding")
	p.quiet(t)
}

// drawn counts the pixels of the view that are not see-through.
const drawn = `(() => { const c = document.querySelector('.stage canvas'); const d = document.createElement('canvas'); d.width = c.width; d.height = c.height;
	const g = d.getContext('2d'); g.drawImage(c, 0, 0); const p = g.getImageData(0, 0, c.width, c.height).data; let n = 0, sum = 0;
	for (let i = 0; i < p.length; i += 4) { if (p[i + 3] > 0) n++; sum = (sum * 31 + p[i]) % 1000003; } return [n, sum]; })()`

func pageTurns(t *testing.T, path string) {
	p := open(t, path)
	button := `#details article:first-child button[data-turn]`
	p.do(t, chromedp.ScrollIntoView(button), chromedp.Click(button), chromedp.WaitReady(`.stage canvas`))
	before := eval[[2]int](t, p, drawn)
	require.Greater(t, before[0], 5000, "the model is drawn")
	assert.Positive(t, eval[int](t, p, `document.querySelectorAll('.stage .pin').length`))
	yaw := `+document.querySelector('.stage canvas').dataset.yaw`
	start := eval[float64](t, p, yaw)
	p.do(t, chromedp.KeyEvent(kb.ArrowRight), chromedp.KeyEvent(kb.ArrowUp))
	assert.NotEqual(t, start, eval[float64](t, p, yaw))
	after := eval[[2]int](t, p, drawn)
	assert.NotEqual(t, before, after, "turning shows another side")
	p.shot(t, "turned")
	p.do(t, chromedp.Click(`.stage:not([hidden]) [data-act=nearer]`))
	assert.Greater(t, eval[float64](t, p, `+document.querySelector('.stage canvas').dataset.zoom`), 1.1)
	p.do(t, chromedp.Click(`.stage:not([hidden]) [data-act=afresh]`))
	assert.InDelta(t, start, eval[float64](t, p, yaw), 1e-9)
	p.do(t, drag(`.stage canvas`, 80, 20))
	assert.NotEqual(t, start, eval[float64](t, p, yaw), "dragging turns")
	p.do(t, chromedp.Focus(`.stage canvas`), chromedp.KeyEvent(kb.Escape))
	assert.True(t, eval[bool](t, p, `document.activeElement.matches('button[data-turn]') && !document.querySelector('.stage canvas')`))
	p.quiet(t)
}

// drag moves a pressed pointer across an element.
func drag(selector string, dx, dy int) step {
	return js(fmt.Sprintf(`(() => { const c = document.querySelector(%q); const at = (type, x, y) => c.dispatchEvent(new PointerEvent(type, {pointerId: 1, clientX: x, clientY: y, bubbles: true}));
		c.setPointerCapture = () => {}; at('pointerdown', 100, 100); at('pointermove', 100 + %d, 100 + %d); at('pointerup', 100, 100); })()`, selector, dx, dy))
}

func pageKeyboard(t *testing.T, path string) {
	p := open(t, path)
	p.do(t, chromedp.KeyEvent(kb.Tab))
	assert.Equal(t, "Skip to the list of models", eval[string](t, p, `document.activeElement.textContent`))
	// Whatever can be clicked is reached by the keyboard, and shows that it is.
	reached := map[string]bool{}
	for range 14 {
		p.do(t, chromedp.KeyEvent(kb.Tab))
		reached[eval[string](t, p, `document.activeElement.id || document.activeElement.closest('th')?.dataset.key || document.activeElement.localName`)] = true
		assert.NotEqual(t, "none", eval[string](t, p, `getComputedStyle(document.activeElement).outlineStyle`))
	}
	for _, want := range []string{"summary", "by-find", "by-show", "by-rule", "by-sort", "name", "worst", "errors"} {
		assert.True(t, reached[want], "%s is not reached: %v", want, reached)
	}
	p.do(t, chromedp.Focus(`[data-key=name] button`), chromedp.KeyEvent(kb.Enter))
	assert.True(t, sorted(names(t, p)))
	p.quiet(t)
}

func pagePhone(t *testing.T, path string) {
	p := open(t, path, send(emulation.SetDeviceMetricsOverride, emulation.SetDeviceMetricsOverrideParams{Width: 360, Height: 740, DeviceScaleFactor: 2, Mobile: true}))
	assert.LessOrEqual(t, eval[int](t, p, `document.documentElement.scrollWidth`), 360, "nothing sticks out sideways")
	wide := eval[[]string](t, p, `[...document.querySelectorAll('article p, article figure, article td, article th, article svg, article button')].filter((e) => !e.closest('.wide') && e.getBoundingClientRect().right > innerWidth).map((e) => e.className.baseVal ?? e.localName)`)
	assert.Empty(t, wide, "cut off at the right")
	small := eval[[]string](t, p, `[...document.querySelectorAll('.controls input, .controls select, button[data-turn]')].filter((b) => b.getBoundingClientRect().height < 36).map((b) => b.id || b.textContent)`)
	assert.Empty(t, small, "too low for a finger")
	p.shot(t, "phone")
	p.do(t, js(`document.querySelector('article').scrollIntoView()`))
	p.shot(t, "phone-model")
	p.quiet(t)
}

func pagePrints(t *testing.T, path string) {
	p := open(t, path)
	pdf, err := chromedp.Run(p.ctx, chromedp.PrintToPDF(chromedp.PDFPrintBackground()))
	require.NoError(t, err)
	assert.Greater(t, len(pdf), 50_000)
	assert.Equal(t, "%PDF", string(pdf[:4]))
	p.do(t, send(emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{Media: "print"}))
	assert.Equal(t, 0, eval[int](t, p, `[...document.querySelectorAll('.controls, button[data-turn]')].filter((e) => e.checkVisibility()).length`))
	assert.Equal(t, "rgb(255, 255, 255)", eval[string](t, p, `getComputedStyle(document.body).backgroundColor`))
	keep(t, "print.pdf", pdf)
	p.quiet(t)
}

// pageStill holds that without a script everything is there but what moves.
func pageStill(t *testing.T, path string) {
	p := open(t, path, send(emulation.SetScriptExecutionDisabled, emulation.SetScriptExecutionDisabledParams{Value: true}))
	text, err := chromedp.Run(p.ctx, chromedp.Text(`body`))
	require.NoError(t, err)
	for _, want := range []string{"tools/fence-hook.stl", "Why it matters.", "What to do.", "measured", "Ways up", "Before you print"} {
		assert.Contains(t, text, want)
	}
	assert.NotContains(t, text, "Sort by", "what does nothing is not shown")
	assert.Positive(t, eval[int](t, p, `document.querySelectorAll('button[data-turn]').length`))
	assert.Equal(t, 0, eval[int](t, p, `[...document.querySelectorAll('button[data-turn]')].filter((e) => e.checkVisibility()).length`))
	p.quiet(t)
}

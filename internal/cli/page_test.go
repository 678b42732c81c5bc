package cli

import (
	"bytes"
	"context"
	"fmt"
	"path/filepath"
	"regexp"
	"slices"
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
		"opens": pageOpens, "sorts": pageSorts, "filters": pageFilters, "leads": pageLeads, "lands": pageLands, "turns": pageTurns,
		"keyboard": pageKeyboard, "phone": pagePhone, "looks": pageLooks, "prints": pagePrints, "without script": pageStill, "without three dimensions": pageFlat,
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
	assert.Equal(t, up[0], eval[string](t, p, first), "the sections move with the list")
	steps := `[...document.querySelectorAll('#details article')].map((a) => a.querySelector('.next:not([hidden])')?.hash ?? '')`
	order := eval[[]string](t, p, `[...document.querySelectorAll('#details article')].map((a) => '#' + a.id)`)
	assert.Equal(t, append(order[1:], ""), eval[[]string](t, p, steps), "and so does the way to the next model")
	assert.Equal(t, "#sort=name", eval[string](t, p, `location.hash`))
	p.do(t, chromedp.Click(header))
	down := names(t, p)
	slices.Reverse(down)
	assert.Equal(t, up, down)
	p.do(t, chromedp.Click(`[data-key=errors] button`))
	errors := eval[[]int](t, p, `[...document.querySelectorAll('td.counts')].map((c) => parseInt(/(\\d+) error/.exec(c.textContent)?.[1] ?? 0))`)
	assert.True(t, slices.IsSortedFunc(errors, func(a, b int) int { return b - a }), "%v", errors)
	p.do(t, chromedp.SetValue(`#by-sort`, "worst"), js(`document.querySelector('#by-sort').dispatchEvent(new Event('change'))`))
	assert.Equal(t, worst, names(t, p))
	p.quiet(t)
}

func pageFilters(t *testing.T, path string) {
	p := open(t, path)
	p.do(t, chromedp.SendKeys(`#by-find`, "TOOLS hook"))
	assert.Equal(t, []string{"Fence hook"}, names(t, p))
	assert.Equal(t, "1 of 20 shown", eval[string](t, p, `document.querySelector('#shown').textContent`))
	assert.Equal(t, 1, eval[int](t, p, `[...document.querySelectorAll('article')].filter((a) => !a.hidden).length`))
	assert.Equal(t, "#find=TOOLS%20hook", eval[string](t, p, `location.hash`), "kept in the address")
	p.shot(t, "filtered")
	// Whoever gets the address sees the same, and a link to a model keeps the filter.
	again := open(t, path+"#find=hook&show=fail")
	assert.Equal(t, []string{"Fence hook"}, names(t, again))
	again.do(t, js(`document.querySelector('#models tbody tr:not([hidden]) th a').click()`))
	until(t, again, `document.querySelector("article.at")`)
	assert.Regexp(t, `^#m\d+&find=hook&show=fail$`, eval[string](t, again, `location.hash`))
	assert.InDelta(t, 16, eval[float64](t, again, `document.querySelector('article.at').getBoundingClientRect().top`), 20)
	// Nothing to show is said, with the way back.
	p.do(t, chromedp.SendKeys(`#by-find`, "zebra"))
	until(t, p, `!document.querySelector("#none").hidden`)
	assert.Equal(t, "0 of 20 shown", eval[string](t, p, `document.querySelector('#shown').textContent`))
	p.do(t, chromedp.Click(`#none button`))
	assert.Len(t, names(t, p), 20)
	p.do(t, chromedp.SendKeys(`#by-find`, "hook"))
	// A link to what is hidden shows it again.
	p.do(t, js(`location.hash = document.querySelector('tr[hidden] a').hash`))
	until(t, p, `document.querySelector("article.at")`)
	assert.Len(t, names(t, p), 20)
	for value, at := range map[string]string{"fine": "#by-show", "max-bridge-length": "#by-rule"} {
		p.do(t, chromedp.SetValue(at, value), js(fmt.Sprintf(`document.querySelector(%q).dispatchEvent(new Event('change'))`, at)))
		list := names(t, p)
		assert.NotEmpty(t, list, value)
		assert.Less(t, len(list), 20, value)
		p.do(t, chromedp.SetValue(at, ""), js(fmt.Sprintf(`document.querySelector(%q).dispatchEvent(new Event('change'))`, at)))
	}
	p.quiet(t)
}

// until waits for something to be so in the page.
func until(t *testing.T, p *tab, so string) {
	t.Helper()
	assert.True(t, eval[bool](t, p, `(async () => { for (let i = 0; i < 500; i++) { if (`+so+`) return true; await new Promise((r) => setTimeout(r, 20)); } return false; })()`), so)
}

func pageLeads(t *testing.T, path string) {
	p := open(t, path)
	p.do(t, chromedp.ScrollIntoView(`#details article:first-child .picture a`))
	href := eval[string](t, p, `document.querySelector('article .picture a').getAttribute('href')`)
	p.do(t, js(`document.querySelector('article .picture a').dispatchEvent(new MouseEvent('click', {bubbles: true, cancelable: true}))`))
	assert.Equal(t, href, eval[string](t, p, `location.hash`))
	assert.True(t, eval[bool](t, p, `document.querySelector('li.at').id === location.hash.slice(1)`), "the finding is marked")
	assert.Positive(t, eval[int](t, p, `document.querySelectorAll('.picture a.on').length`), "and its number in the picture")
	p.shot(t, "finding")
	// The other way round: a finding shows its number and its layer.
	p.do(t, js(`document.querySelector('#details article .slices').scrollIntoView()`))
	until(t, p, `document.querySelector("article .sheet img")`)
	shown := `(() => { const a = [...document.querySelectorAll('article')].find((a) => a.querySelectorAll('.found ol > li').length > 1 && a.querySelector('.slices')); a.scrollIntoView();
		const out = []; for (const li of a.querySelectorAll('.found ol > li')) { li.querySelector('.point').click(); out.push(a.querySelector('.slices output').textContent + [...a.querySelectorAll('.picture a.on')].map((x) => x.getAttribute('href')).join() + a.querySelector('.ring').hidden); } return out; })()`
	list := eval[[]string](t, p, shown)
	require.Greater(t, len(list), 1)
	for i, line := range list {
		assert.Regexp(t, `^Layer \d+, [\d.]+ mm above the bed\.#m\d+-\d+.*false$`, line)
		assert.NotContains(t, list[:i], line)
	}
	p.do(t, js(`(() => { const s = document.querySelector('.slices input'); s.value = 3; s.dispatchEvent(new Event('input')); })()`))
	assert.True(t, eval[bool](t, p, `(async () => { const i = document.querySelector('.sheet img'); await i.decode(); return i.naturalWidth > 50; })()`), "the slider shows a layer")
	p.quiet(t)
}

// pageLands follows every link of the list, as a reader does whose browser moves
// smoothly where a page asks for it, and holds that the model stands there.
func pageLands(t *testing.T, path string) {
	p := open(t, path)
	missed := eval[[]string](t, p, `(async () => {
		const rest = () => new Promise((done) => { let last = -1, same = 0; const look = () => { same = scrollY === last ? same + 1 : 0; last = scrollY; same > 5 ? done() : requestAnimationFrame(look); }; look(); });
		const missed = [];
		for (const a of document.querySelectorAll('#models tbody th a')) {
			scrollTo({top: 0, behavior: 'instant'});
			a.click();
			await rest();
			const top = document.querySelector(a.hash).getBoundingClientRect().top;
			const end = innerHeight + scrollY >= document.documentElement.scrollHeight - 1;
			if ((top < 0 || top > 60) && !(end && top > 0 && top < innerHeight)) missed.push(a.textContent + ' ' + Math.round(top));
		}
		return missed;
	})()`)
	assert.Empty(t, missed, "the link leads elsewhere")
	thumbs := eval[[]float64](t, p, `[...document.querySelectorAll('.thumb svg')].map((s) => s.getBoundingClientRect().width)`)
	assert.GreaterOrEqual(t, len(thumbs), 15)
	for _, w := range thumbs {
		assert.Greater(t, w, 60.0, "a picture in the list can be seen")
	}
	for _, width := range []int64{1280, 900, 360} {
		p.do(t, send(emulation.SetDeviceMetricsOverride, emulation.SetDeviceMetricsOverrideParams{Width: width, Height: 800, DeviceScaleFactor: 1}))
		assert.Empty(t, eval[[]string](t, p, `(() => { for (const d of document.querySelectorAll('details')) d.open = true;
			return [...document.querySelectorAll('table, .ways')].filter((e) => { const b = e.getBoundingClientRect(), a = (e.closest('article') ?? document.documentElement).getBoundingClientRect(); return b.right > a.right + 1 || e.scrollWidth > e.clientWidth + 1; }).map((e) => (e.closest('article')?.id ?? '') + ' ' + e.className); })()`), "cut off at %d", width)
	}
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
	for range 20 {
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
	sheets := len(regexp.MustCompile(`/Type\s*/Page[^s]`).FindAll(pdf, -1))
	assert.Positive(t, sheets)
	assert.LessOrEqual(t, sheets, 16, "it was 40 once for these 20 models")
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
	for _, want := range []string{"tools/fence-hook.stl", "Why these places matter", "Do:", "at most", "Ways up that were tried", "Before you print this model", "Commands"} {
		assert.Contains(t, text, want)
	}
	for _, gone := range []string{"See it in 3D", "Sort by", "Layer by layer", "Copy", "Show it"} {
		assert.NotContains(t, text, gone, "what does nothing is not shown")
	}
	p.quiet(t)
}

// TestFolderOfPages writes a page for each model, and goes from one to the next in a browser.
func TestFolderOfPages(t *testing.T) {
	folder := filepath.Join(t.TempDir(), "pages")
	var complaints bytes.Buffer
	code := Run(context.Background(), []string{"check", "--quiet", "--also", "html=" + folder + "/", "../../testdata/demo/tools"}, Env{Stdout: &bytes.Buffer{}, Stderr: &complaints})
	require.Equal(t, 1, code, complaints.String())
	files, err := filepath.Glob(filepath.Join(folder, "*"))
	require.NoError(t, err)
	p := open(t, filepath.Join(folder, "index.html"))
	list := names(t, p)
	require.Greater(t, len(list), 4)
	assert.Len(t, files, len(list)+1)
	assert.True(t, eval[bool](t, p, `(async () => {
		const all = [...document.querySelectorAll('#models .thumb img')];
		for (const i of all) { await i.decode(); if (i.naturalWidth !== 160) return false; }
		return all.length === document.querySelectorAll('#models tbody tr').length;
	})()`), "each has a picture in the list")
	p.shot(t, "folder")
	p.quiet(t)
	first := eval[string](t, p, `document.querySelector('#models tbody th a').getAttribute('href')`)
	p = open(t, filepath.Join(folder, first))
	assert.Equal(t, 1, eval[int](t, p, `document.querySelectorAll('article').length`))
	assert.Contains(t, eval[string](t, p, `document.title`), list[0])
	assert.Positive(t, eval[int](t, p, `document.querySelectorAll('.picture').length`))
	p.do(t, js(`document.querySelector('.slices').scrollIntoView()`))
	until(t, p, `document.querySelector(".sheet img")`)
	for _, link := range eval[[]string](t, p, `[...document.querySelectorAll('.steps a:not([hidden])')].map((a) => a.getAttribute('href'))`) {
		assert.FileExists(t, filepath.Join(folder, link))
	}
	p.quiet(t)
}

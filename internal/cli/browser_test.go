package cli

import (
	"bytes"
	"context"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/log"
	"github.com/chromedp/cdproto/network"
	"github.com/chromedp/cdproto/runtime"
	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// needBrowser is the variable that makes a missing browser a failure: the gate sets it,
// so that these tests cannot fall asleep there.
const needBrowser = "PRINTLINT_NEED_BROWSER"

// chromium finds the browser. Only where there is none, and none was asked for, are the
// tests of the page left out.
func chromium(t *testing.T) string {
	t.Helper()
	for _, name := range []string{"chromium", "chromium-browser"} {
		if path, err := exec.LookPath(name); err == nil {
			return path
		}
	}
	require.Empty(t, os.Getenv(needBrowser), "chromium is missing; install it: apt-get install chromium")
	t.Skip("chromium is not installed; the HTML report is tested in it: apt-get install chromium")
	return ""
}

// tab is one page in a browser, with everything it complained about or asked for.
type tab struct {
	ctx   context.Context
	mutex sync.Mutex
	said  []string
	asked []string
}

// open shows a file in a browser of its own.
func open(t *testing.T, path string, before ...step) *tab {
	t.Helper()
	opts := []chromedp.ExecAllocatorOption{
		chromedp.ExecPath(chromium(t)), chromedp.UserDataDir(t.TempDir()), chromedp.WindowSize(1280, 900),
		chromedp.Headless, chromedp.NoSandbox, chromedp.NoFirstRun,
	}
	for _, flag := range []string{"disable-gpu", "disable-quic", "disable-background-networking", "disable-component-update", "disable-sync",
		"enable-unsafe-swiftshader", "hide-scrollbars", "no-default-browser-check", "disable-extensions"} {
		opts = append(opts, chromedp.Flag(flag, true))
	}
	ctx, stop := context.WithTimeout(context.Background(), 2*time.Minute)
	t.Cleanup(stop)
	ctx, stop = chromedp.NewExecAllocator(ctx, opts...)
	t.Cleanup(stop)
	ctx, stop = chromedp.NewContext(ctx)
	t.Cleanup(stop)
	p := &tab{ctx: ctx}
	require.NoError(t, chromedp.Listen(ctx, p.hear))
	p.do(t, send(network.Enable, network.EnableParams{}), send(log.Enable, cdp.Empty{}), send(runtime.Enable, cdp.Empty{}))
	p.do(t, before...)
	p.do(t, chromedp.Navigate("file://"+path), chromedp.WaitReady("footer"))
	return p
}

// step is something done in a tab.
type step = chromedp.Action[chromedp.Void]

// send is a command of the protocol as a step.
func send[P, R any](command cdp.Command[P, R], params P) step {
	return chromedp.Func(func(ctx context.Context, t *chromedp.Target) error {
		_, err := cdp.Call(ctx, t, command, params)
		return err
	})
}

// js runs a statement in the page.
func js(statement string) step {
	return chromedp.Func(func(ctx context.Context, t *chromedp.Target) error {
		_, err := chromedp.Evaluate[any](statement+"; null")(ctx, t)
		return err
	})
}

// hear notes what a page says and what it asks the network for.
func (p *tab) hear(event any) {
	p.mutex.Lock()
	defer p.mutex.Unlock()
	switch e := event.(type) {
	case *runtime.EventConsoleAPICalled:
		p.said = append(p.said, fmt.Sprintf("console: %s", e.Args[0].Value))
	case *runtime.EventExceptionThrown:
		p.said = append(p.said, "exception: "+e.ExceptionDetails.Text)
	case *log.EventEntryAdded:
		// The tests read the view's pixels back, and the driver says that this is slow.
		if !strings.Contains(e.Entry.Text, "GPU stall due to ReadPixels") {
			p.said = append(p.said, "log: "+e.Entry.Text)
		}
	case *network.EventRequestWillBeSent:
		if !strings.HasPrefix(e.Request.URL, "data:") {
			p.asked = append(p.asked, e.Request.URL)
		}
	}
}

func (p *tab) do(t *testing.T, steps ...step) {
	t.Helper()
	require.NoError(t, chromedp.Do(p.ctx, steps...))
}

// eval returns what an expression comes to in the page.
func eval[T any](t *testing.T, p *tab, expression string) T {
	t.Helper()
	out, err := chromedp.Run(p.ctx, chromedp.Evaluate[T](expression, chromedp.EvalAwaitPromise))
	require.NoError(t, err, expression)
	return out
}

// quiet holds that the page was fetched alone and complained of nothing.
func (p *tab) quiet(t *testing.T) {
	t.Helper()
	p.mutex.Lock()
	defer p.mutex.Unlock()
	assert.Empty(t, p.said)
	assert.Len(t, p.asked, 1, "the page itself and nothing else")
}

// shot keeps a picture of the page for looking at, where a folder is asked for.
func (p *tab) shot(t *testing.T, name string) {
	t.Helper()
	data, err := chromedp.Run(p.ctx, chromedp.CaptureScreenshot())
	require.NoError(t, err)
	assert.NotEmpty(t, data)
	keep(t, name+".png", data)
}

// writeDemo writes the report of the demonstration shelf.
func writeDemo(t *testing.T) string {
	t.Helper()
	var complaints bytes.Buffer
	out := filepath.Join(t.TempDir(), "report.html")
	code := Run(context.Background(), []string{"check", "--quiet", "--also", "html=" + out, "../../testdata/demo"}, Env{Stdout: &bytes.Buffer{}, Stderr: &complaints})
	require.Equal(t, 1, code, complaints.String())
	return out
}

// names lists the models that the list shows, in order.
func names(t *testing.T, p *tab) []string {
	t.Helper()
	return eval[[]string](t, p, `[...document.querySelectorAll('#models tbody tr')].filter((r) => !r.hidden).map((r) => r.querySelector('a[href*="m"]:not([tabindex])').textContent)`)
}

func sorted(list []string) bool {
	return slices.IsSortedFunc(list, func(a, b string) int { return strings.Compare(strings.ToLower(a), strings.ToLower(b)) })
}

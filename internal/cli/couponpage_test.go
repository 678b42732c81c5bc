package cli

import (
	"bytes"
	"context"
	"path/filepath"
	"testing"

	"github.com/chromedp/cdproto/cdp"
	printing "github.com/chromedp/cdproto/page"
	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// TestSheetPrintsOnOnePage prints the sheet as a browser does, on A4 and on paper of 8.5 by
// 11 inches, which is less tall.
func TestSheetPrintsOnOnePage(t *testing.T) {
	dir := t.TempDir()
	code, _, complaints := run(t, Env{}, "coupon", "--out", dir)
	require.Zero(t, code, complaints)
	p := open(t, filepath.Join(dir, "sheet.html"))
	for name, paper := range map[string]printing.PrintToPDFParams{"A4": {PaperWidth: 8.27, PaperHeight: 11.69}, "letter": {}} {
		p.do(t, chromedp.Func(func(ctx context.Context, target *chromedp.Target) error {
			printed, err := cdp.Call(ctx, target, printing.PrintToPDF, paper)
			assert.Equal(t, 1, bytes.Count(printed.Data, []byte("/Type /Page\n")), name)
			return err
		}))
	}
	assert.Empty(t, p.said)
}

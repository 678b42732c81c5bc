package cli

import (
	"bytes"
	"context"
	"os"
	"path/filepath"
	"testing"

	"github.com/chromedp/cdproto/cdp"
	printing "github.com/chromedp/cdproto/page"
	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// TestSheetPrintsOnOnePage prints the sheets for several nozzles as a browser does, on A4 and on
// paper of 8.5 by 11 inches, which is less tall.
func TestSheetPrintsOnOnePage(t *testing.T) {
	for _, nozzle := range []string{"0.25", "0.4", "0.6", "0.8"} {
		t.Run(nozzle, func(t *testing.T) { printsOnOnePage(t, nozzle) })
	}
}

// printsOnOnePage prints one sheet.
func printsOnOnePage(t *testing.T, nozzle string) {
	dir := t.TempDir()
	config := filepath.Join(dir, "c.yml")
	require.NoError(t, os.WriteFile(config, []byte("version: 1\nprocess: {nozzle: "+nozzle+" mm, bed: [180 mm, 180 mm, 180 mm]}\n"), 0o666))
	code, _, complaints := run(t, Env{}, "coupon", "--config", config, "--out", dir)
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

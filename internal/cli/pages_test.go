package cli

import (
	"bytes"
	"path/filepath"
	"testing"

	"github.com/spf13/pflag"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// TestPagesOfManyModels holds that a large page is told of, and that a folder of pages does
// not make the pictures small.
func TestPagesOfManyModels(t *testing.T) {
	pages := func(files int, args ...string) (int, string) {
		flags := pflag.NewFlagSet("check", pflag.ContinueOnError)
		f := newReportFlags(flags)
		require.NoError(t, flags.Parse(args))
		also, err := alsoFiles(*f.also)
		require.NoError(t, err)
		var said bytes.Buffer
		return f.pages(Env{Stderr: &said}, also, files), said.String()
	}
	for _, c := range []struct {
		files, want int
		told        bool
		args        []string
	}{
		{onePage, onePage, false, []string{"--also", "html=r.html"}},
		{onePage + 1, onePage + 1, true, []string{"--also", "html=r.html"}},
		{onePage + 1, onePage + 1, true, []string{"--format", "html"}},
		{5000, maxDrawn, false, []string{"--also", "html=r.html", "-q"}},
		{5000, maxDrawn, true, []string{"--also", "html=r.html"}},
		{5000, maxDrawn, false, []string{"--also", "json=r.json"}},
		{maxDrawn, onePage, false, []string{"--also", "html=r/"}},
		{5000, maxDrawn, false, []string{"--also", "html=r/"}},
		{7, 7, false, []string{"--also", "html=r/"}},
	} {
		got, said := pages(c.files, c.args...)
		assert.Equal(t, c.want, got, "%v", c.args)
		assert.Equal(t, c.told, said != "", "%v: %s", c.args, said)
	}
}

// TestAFolderIsNoPage holds that a folder named without its slash is not written over, and
// that the way to write pages into it is said.
func TestAFolderIsNoPage(t *testing.T) {
	folder := t.TempDir()
	code, _, said := run(t, Env{}, "check", "--quiet", "--also", "html="+folder, clip)
	assert.Equal(t, 2, code)
	assert.Contains(t, said, "that is a folder")
	assert.Contains(t, said, "write html="+folder+"/ for a page of each model")
	code, _, said = run(t, Env{}, "check", "--quiet", "--also", "html="+folder+"/", clip)
	assert.Equal(t, 0, code, said)
	for _, name := range []string{"index.html", "m1.html"} {
		assert.FileExists(t, filepath.Join(folder, name))
	}
}

package report

import (
	"bytes"
	"encoding/json"
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"printlint/internal/report/words"
)

// hostile are names that strangers might give their files.
var hostile = []string{
	"", "plain.stl", "a\x1b]0;title\x07b", "\u202efdp.stl", "x\r\nerror: fake", "\xff\xfe", "\u2066\u2069", "日本.stl",
	strings.Repeat("\x00", 50), "\u00ad", "\U000e0001", "\u200d👩\u200d🔧", `back\slash "quoted"`,
}

func FuzzSafe(f *testing.F) {
	for _, s := range hostile {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		safe := words.Safe(s)
		assert.True(t, utf8.ValidString(safe))
		assert.Equal(t, -1, strings.IndexFunc(safe, words.Hidden), "nothing acts on a terminal")
		assert.Equal(t, safe, words.Safe(safe), "once is enough")
		if utf8.ValidString(s) && strings.IndexFunc(s, words.Hidden) < 0 {
			assert.Equal(t, s, safe, "what is harmless stays")
		}
	})
}

// asWritten decodes JSON and keeps numbers digit by digit: JSON has no largest one, and
// as float64 two different numbers could be equal.
func asWritten(t *testing.T, text []byte) (value any) {
	d := json.NewDecoder(bytes.NewReader(text))
	d.UseNumber()
	require.NoError(t, d.Decode(&value), "%s", text)
	return value
}

func FuzzLayOut(f *testing.F) {
	for i, s := range hostile {
		text, err := json.Marshal(map[string]any{"name": s, "list": []any{i, s, []int{}, map[string]any{}}})
		require.NoError(f, err)
		f.Add(text, i)
	}
	f.Add([]byte(`[1E1000, -1e-1000, 0.10, 123456789012345678901234567890]`), 1)
	f.Fuzz(func(t *testing.T, src []byte, depth int) {
		if !json.Valid(src) || !utf8.Valid(src) {
			return
		}
		var one bytes.Buffer
		require.NoError(t, json.Compact(&one, src))
		out := []byte(laidOutAs(t, one.String(), depth%10))
		assert.Equal(t, asWritten(t, src), asWritten(t, out), "the layout changes no value")
		assert.Equal(t, -1, bytes.IndexFunc(bytes.ReplaceAll(out, []byte("\n"), nil), words.Hidden))
	})
}

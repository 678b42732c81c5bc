package report

import (
	"bytes"
	"encoding/xml"
	"html"
	"net/url"
	"strings"
	"testing"

	"github.com/jstemmer/go-junit-report/v2/junit"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"printlint/internal/finding"
	"printlint/internal/pathname"
	"printlint/internal/report/words"
)

// gateHostile are hostile and what the formats of a gate could trip over.
var gateHostile = append([]string{
	payload, "a.zip!/b.3mf!/c", "!/", ".zip!/", "50%25", "&#124;", "&amp;", "]]>", "]]]]><![CDATA[>", "\uFFFE\uFFFF", "C:\\a b\\c.stl", "//host/a", "www.WWW.http:https:",
}, hostile...)

// FuzzMarkdownText holds that text stays the same text to a reader of Markdown, with
// nothing in it that Markdown reads as its own.
func FuzzMarkdownText(f *testing.F) {
	for _, s := range gateHostile {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		text := markdownText(s)
		assert.Equal(t, words.Safe(s), html.UnescapeString(text))
		bare := strings.NewReplacer("&#", "", ";", "").Replace(text)
		assert.False(t, strings.ContainsAny(bare, markup), text)
		assert.False(t, autolinks.MatchString(text), text)
	})
}

// FuzzURI holds that a path is found again from its URI, which is one.
func FuzzURI(f *testing.F) {
	for _, s := range gateHostile {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		escaped := escapePath(s)
		back, err := url.PathUnescape(escaped)
		require.NoError(t, err)
		assert.Equal(t, s, back)
		u, err := url.Parse("x/" + escaped)
		require.NoError(t, err)
		assert.Empty(t, u.Scheme+u.Host+u.RawQuery+u.Fragment)
		assert.Equal(t, s, strings.Join(nesting(s), pathname.Inside))
	})
}

// FuzzCommand holds that one annotation is one line with one message, and that a
// runner gets back what was meant.
func FuzzCommand(f *testing.F) {
	for _, s := range gateHostile {
		f.Add(s, s)
	}
	unescape := strings.NewReplacer("%0D", "\r", "%0A", "\n", "%3A", ":", "%2C", ",", "%25", "%")
	f.Fuzz(func(t *testing.T, path, text string) {
		m := finding.Model{Path: "x" + strings.ReplaceAll(path, pathname.Inside, ""), Status: finding.Checked}
		line := command(&annotation{level: finding.Error, model: &m, title: words.Safe(text), text: text})
		assert.False(t, strings.ContainsAny(line, "\r\n"))
		head, message, ok := strings.Cut(strings.TrimPrefix(line, "::error "), "::")
		require.True(t, ok)
		assert.Equal(t, text, unescape.Replace(message))
		properties := strings.Split(head, ",")
		require.Len(t, properties, 2)
		assert.Equal(t, "file="+words.Safe(m.Path), unescape.Replace(properties[0]))
	})
}

// FuzzJUnit holds that XML carries every name, and gives it back as it is shown.
func FuzzJUnit(f *testing.F) {
	for _, s := range gateHostile {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		r := &finding.Report{Machines: []finding.Machine{{Name: s}}, Models: []finding.Model{
			{Path: s, Status: finding.Unreadable, Reason: s},
			{Path: s, Part: s, Status: finding.Checked, Findings: []finding.Finding{{Rule: s, Level: finding.Error, Message: s, Advice: s}},
				Machines: []finding.OnMachine{{Machine: s, Undecided: "x" + s}}},
		}}
		var out bytes.Buffer
		require.NoError(t, Write(&out, "junit", r, Options{}))
		var back junit.Testsuites
		require.NoError(t, xml.Unmarshal(out.Bytes(), &back))
		require.Len(t, back.Suites, 2)
		want := strings.NewReplacer("\uFFFE", "\uFFFD", "\uFFFF", "\uFFFD").Replace(words.Safe(s))
		assert.Equal(t, want, back.Suites[0].Testcases[0].Error.Message)
		assert.Equal(t, want, back.Suites[1].Testcases[0].Name)
		require.NotNil(t, back.Suites[1].Properties)
		assert.Contains(t, *back.Suites[1].Properties, junit.Property{Name: "on " + cdata(words.Safe(s)), Value: "undecided: x" + cdata(words.Safe(s))})
	})
}

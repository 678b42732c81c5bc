package main

import (
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"printlint/internal/finding"
	"printlint/internal/lint"
	"printlint/internal/measure"
	"printlint/internal/pose"
	"printlint/internal/ruleset"
	"printlint/internal/support"
)

// TestEverythingIsExplainedInAScript holds that the page on each rule, measure and piece
// of advice is compared whole by some script, so that whoever adds one reads how it looks.
func TestEverythingIsExplainedInAScript(t *testing.T) {
	names := []string{pose.Definition.Name, support.Definition.Name}
	for _, m := range measure.Catalog() {
		names = append(names, m.Name)
	}
	config, err := ruleset.Load("", ruleset.Options{Catalog: measure.Catalog()})
	require.NoError(t, err)
	for _, r := range config.Rules() {
		names = append(names, r.ID)
	}
	for _, r := range lint.OwnRules() {
		names = append(names, r.ID)
	}
	require.Greater(t, len(names), 30)
	scripts := scriptsText(t)
	for _, name := range names {
		if !strings.Contains(scripts, "printlint explain "+name+"\ncmp stdout ") {
			t.Errorf("no script shows the page on %[1]s: write into one of testdata/script/explain-*.txtar the lines\n"+
				"exits 0 printlint explain %[1]s\ncmp stdout %[1]s.txt\n"+
				"and at its end an empty file\n-- %[1]s.txt --\nand fill it with go test ./cmd/printlint -run TestScripts/explain -update", name)
		}
	}
}

// TestEveryRuleIsFoundInAScript holds that some script shows a finding of each rule of the
// standard set as a user sees it.
func TestEveryRuleIsFoundInAScript(t *testing.T) {
	config, err := ruleset.Load("", ruleset.Options{Catalog: measure.Catalog()})
	require.NoError(t, err)
	require.Greater(t, len(config.Rules()), 20)
	scripts := scriptsText(t)
	for _, r := range config.Rules() {
		line := regexp.MustCompile(`(?m)^\S+: (error|warning|note): .* \[` + regexp.QuoteMeta(r.ID) + `\]$`)
		if r.Level != finding.None && !line.MatchString(scripts) {
			t.Errorf("no script shows a finding of %s: check a solid it holds for, as testdata/script/each-rule.txtar does", r.ID)
		}
	}
}

// scriptsText is all scripts in one.
func scriptsText(t *testing.T) string {
	t.Helper()
	paths, err := filepath.Glob("../../testdata/script/*.txtar")
	require.NoError(t, err)
	require.NotEmpty(t, paths)
	var b strings.Builder
	for _, path := range paths {
		text, err := os.ReadFile(path)
		require.NoError(t, err)
		b.Write(text)
	}
	return b.String()
}

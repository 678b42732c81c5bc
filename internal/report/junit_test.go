package report

import (
	"bytes"
	"encoding/xml"
	"testing"

	"github.com/jstemmer/go-junit-report/v2/junit"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"printlint/internal/finding"
)

// suitesOf writes and reads back.
func suitesOf(t *testing.T, r *finding.Report, opt Options) junit.Testsuites {
	t.Helper()
	var out bytes.Buffer
	require.NoError(t, Write(&out, "junit", r, opt))
	var suites junit.Testsuites
	require.NoError(t, xml.Unmarshal(out.Bytes(), &suites))
	return suites
}

// TestJUnitFollowsTheLevelThatFails holds that a suite of passed cases means that the
// gate was passed, at every level.
func TestJUnitFollowsTheLevelThatFails(t *testing.T) {
	for failAt, want := range map[finding.Level]int{finding.None: 0, finding.Error: 3, "": 3, finding.Warning: 6, finding.Note: 7} {
		assert.Equal(t, want, suitesOf(t, gateSample(), Options{FailAt: failAt}).Failures, failAt)
	}
}

// TestJUnitCounts holds that the totals are those of the cases.
func TestJUnitCounts(t *testing.T) {
	suites := suitesOf(t, gateSample(), Options{})
	var tests, failures, errors, skipped int
	for _, s := range suites.Suites {
		require.NotEmpty(t, s.Testcases, "a model without a case would look as if it had been left out")
		tests += len(s.Testcases)
		for _, c := range s.Testcases {
			if c.Failure != nil {
				failures++
				assert.NotEmpty(t, c.Failure.Message)
				assert.NotEmpty(t, c.Failure.Data)
			}
			if c.Error != nil {
				errors++
			}
			if c.Skipped != nil {
				skipped++
				assert.NotEmpty(t, c.Skipped.Message)
			}
		}
	}
	assert.Equal(t, []int{13, 3, 4, 1}, []int{tests, failures, errors, skipped})
	assert.Equal(t, []int{tests, failures, errors, skipped}, []int{suites.Tests, suites.Failures, suites.Errors, suites.Skipped})
}

// TestJUnitGroups holds that many places of one rule make one case that counts all, with
// a line for those that are alike.
func TestJUnitGroups(t *testing.T) {
	suites := suitesOf(t, manyFindings(30), Options{FailAt: finding.Note})
	require.Len(t, suites.Suites, 1)
	cases := suites.Suites[0].Testcases
	require.Len(t, cases, 2, "one for each level")
	assert.Equal(t, "place 0, and 2 more places", cases[0].Failure.Message)
	assert.Equal(t, "place 1, and 26 more places", cases[1].Failure.Message)
	for _, want := range []string{"place 1,", "place 6, the worst of 22 other places, at (0, 0, 0) mm, triangle 7"} {
		assert.Contains(t, cases[1].Failure.Data, want)
	}
}

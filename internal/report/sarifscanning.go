package report

import (
	"cmp"
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"slices"
	"strings"

	"printlint/internal/finding"
)

// lineHash is the fingerprint that code scanning services look for.
const lineHash = "primaryLocationLineHash"

// within is a fingerprint for a service that knows the file on disk alone: what lies in
// a pack is told apart by its path there.
func within(m *finding.Model, fingerprint string) string {
	_, inner := outermost(m.Path)
	if inner == "" && !strings.Contains(fingerprint, "\x00") {
		return fingerprint
	}
	sum := sha256.Sum256([]byte(inner + "\x00" + fingerprint))
	return hex.EncodeToString(sum[:8])
}

// numberHashes numbers the results that one service would take for the same: those of
// one file with one fingerprint.
func numberHashes(run *sarifRun) {
	seen := map[string]int{}
	for i := range run.Results {
		r := &run.Results[i]
		if hash, ok := r.Fingerprints[lineHash]; ok {
			key := r.Locations[0].Physical.Artifact.URI + "\x00" + hash
			seen[key]++
			r.Fingerprints[lineHash] = fmt.Sprintf("%s:%d", hash, seen[key])
		}
	}
}

// maxResults is how many results code scanning services keep of a run; with more than
// mostResults they refuse the file.
const (
	maxResults  = 5000
	mostResults = 25000
)

// capResults keeps what could not be judged, all of it, and then the most severe results,
// and says how many are left out: to whoever reads the log, and in the place of the last
// result, since services show nobody what a tool notes.
func (s *sarifWriter) capResults(run *sarifRun) []sarifNotification {
	slices.SortStableFunc(run.Results, func(a, b sarifResult) int {
		return cmp.Or(behind(a.first)-behind(b.first), finding.Level(a.Level).Rank()-finding.Level(b.Level).Rank())
	})
	if len(run.Results) <= maxResults {
		return nil
	}
	shown := maxResults - 1
	for shown < min(len(run.Results), mostResults-1) && run.Results[shown].first {
		shown++
	}
	more := len(run.Results) - shown
	text := fmt.Sprintf("%d more results, none more severe than these, are left out: only %d are shown.", more, shown)
	note := run.Results[shown]
	note.RuleID, note.RuleIndex, note.Level = leftOutRule, s.ruleIndex(leftOutRule), string(finding.Warning)
	note.Message, note.Fingerprints = sarifMessage{Text: text}, map[string]string{lineHash: leftOutRule + ":1"}
	run.Results = append(run.Results[:shown], note)
	return []sarifNotification{{Level: string(finding.Warning), Message: sarifMessage{Text: text}}}
}

// behind puts what does not come first behind what does.
func behind(first bool) int {
	if first {
		return 0
	}
	return 1
}

package report

import (
	"fmt"
	"io"
	"strings"

	"printlint/internal/finding"
	"printlint/internal/report/words"
)

// sarifDepth breaks a SARIF file into lines down to one result a line.
const sarifDepth = 4

// fingerprintKey names our fingerprint and its version (3.27.17): when the way it is
// computed changes, the new one gets a new version and the old one stays.
const fingerprintKey = "printlintPlace/v1"

// sarifWriter builds one run.
type sarifWriter struct {
	report *finding.Report
	opt    Options
	// scanning is the flavour that code scanning services take: lines for every
	// finding, the fingerprint they look for, their caps, nothing that they misread.
	scanning  bool
	artifacts *artifacts
	rules     []sarifRule
	waived    bool // some finding is: suppressions are all present or all absent (3.27.23)
	asFound   bool // some finding was accepted as it was: baselineState likewise (3.27.24)
}

func writeSARIF(w io.Writer, r *finding.Report, opt Options) error {
	return WriteJSON(w, newSARIF(r, opt, false).log(), sarifDepth)
}

func writeCodeScanning(w io.Writer, r *finding.Report, opt Options) error {
	return WriteJSON(w, newSARIF(r, opt, true).log(), sarifDepth)
}

func newSARIF(r *finding.Report, opt Options, scanning bool) *sarifWriter {
	s := &sarifWriter{report: r, opt: opt, scanning: scanning, artifacts: &artifacts{[]sarifArtifact{}, map[string]int{}}, rules: sarifRules(r, scanning)}
	eachFinding(r, func(_ *finding.Model, f *finding.Finding) {
		s.waived = s.waived || f.Waived != nil
		s.asFound = s.asFound || f.Waived.AsFound()
	})
	return s
}

// eachFinding calls do for every finding whose level is not none.
func eachFinding(r *finding.Report, do func(*finding.Model, *finding.Finding)) {
	for i := range r.Models {
		m := &r.Models[i]
		for k := range m.Findings {
			if f := &m.Findings[k]; f.Level.Rank() < finding.None.Rank() {
				do(m, f)
			}
		}
	}
}

func (s *sarifWriter) log() sarifLog {
	run := sarifRun{Results: []sarifResult{}}
	driver := &run.Tool.Driver
	driver.Name, driver.Version, driver.Rules = s.report.Tool.Name, s.report.Tool.Version, s.rules
	if !s.scanning {
		run.Properties = &sarifRunProperties{words.Safe(s.report.Rules.Config), s.report.Rules.Digest, s.report.Rules.Sets, s.report.Summary, s.report.Machines, s.report.Where, nil}
		run.Bases = map[string]sarifBase{rootBase: {sarifMessage{Text: "the folder that the check was run in"}}}
	}
	for i := range s.report.Models {
		s.artifacts.add(&s.report.Models[i])
	}
	if !s.scanning {
		run.Properties.Matrix = s.matrix()
	}
	eachFinding(s.report, func(m *finding.Model, f *finding.Finding) {
		if !s.scanning || f.Waived == nil {
			run.Results = append(run.Results, s.result(m, f))
		}
	})
	s.gone(&run)
	s.unjudged(&run)
	invocation := s.invocation()
	if s.scanning {
		numberHashes(&run)
		invocation.Notifications = append(invocation.Notifications, s.capResults(&run)...)
	}
	run.Invocations = []sarifInvocation{invocation}
	run.Artifacts = s.artifacts.list
	return sarifLog{Schema: sarifSchema, Version: sarifVersion, Runs: []sarifRun{run}}
}

// invocation tells how the run ended, of the models that nobody could judge, and what
// there is to know about the files.
func (s *sarifWriter) invocation() sarifInvocation {
	inv := sarifInvocation{Successful: s.opt.Exit < 2, ExitCode: s.opt.Exit, ExitDescription: exitWords(s.opt.Exit)}
	if s.scanning { // the other flavour has a property for it
		inv.Configuration = append(inv.Configuration, sarifNotification{
			Level: string(finding.Note), Message: s.message(&finding.Model{}, sentence(words.Rules(&s.report.Rules))+s.shelf()),
		})
	}
	for i := range s.report.Models {
		m := &s.report.Models[i]
		switch {
		case m.Unjudged():
			inv.Notifications = append(inv.Notifications, s.notification(finding.Error, m, words.Unjudged(m)))
		case m.Status == finding.Skipped && !s.scanning:
			inv.Notifications = append(inv.Notifications, s.notification(finding.Note, m, "skipped: "+m.Reason))
		}
		for _, note := range m.Notes {
			n := s.notification(finding.Note, m, note)
			n.Locations[0].Physical.Region = nil
			if m.Kind == finding.KindConfig {
				inv.Configuration = append(inv.Configuration, n)
			} else {
				inv.Notifications = append(inv.Notifications, n)
			}
		}
	}
	return inv
}

func (s *sarifWriter) notification(l finding.Level, m *finding.Model, text string) sarifNotification {
	return sarifNotification{Level: string(l), Message: s.message(m, text), Locations: []sarifLocation{s.location(m, m.Line, nil)}}
}

func exitWords(code int) string {
	switch code {
	case 0:
		return "nothing at or above the level that fails"
	case 1:
		return "findings at or above the level that fails"
	}
	return "the job could not be done for every model"
}

// result is one finding.
func (s *sarifWriter) result(m *finding.Model, f *finding.Finding) sarifResult {
	r := sarifResult{
		RuleID: plainMessage(f.Rule), RuleIndex: s.ruleIndex(f.Rule), Kind: "fail", Level: string(f.Level),
		Message:   s.message(m, messageOf(m, f)),
		Locations: []sarifLocation{s.location(m, f.Line, f.Bytes)},
	}
	if f.Fingerprint != "" {
		r.Fingerprints = map[string]string{fingerprintKey: f.Fingerprint}
	}
	if s.scanning {
		if f.Fingerprint != "" {
			// The one they read; without it they would hash the line of a binary file.
			r.Fingerprints[lineHash] = within(m, f.Fingerprint)
		}
		return r
	}
	r.Properties = &sarifResultProperty{f.Level, f.Triangle, f.At, f.Box, f.Values, f.Limits, s.on(f)}
	s.accepted(&r, f.Waived)
	if f.Change != "" {
		r.Baseline = baselines[f.Change]
	}
	return r
}

// baselines are what SARIF calls a change (3.27.24).
var baselines = map[finding.Change]string{finding.New: "new", finding.Same: "unchanged", finding.Gone: "absent"}

// gone adds what a change took away. A service would take it for what is there.
func (s *sarifWriter) gone(run *sarifRun) {
	if s.scanning {
		return
	}
	for _, m := range gone(s.report) {
		s.artifacts.add(m)
		for i := range m.Findings {
			run.Results = append(run.Results, s.result(m, &m.Findings[i]))
		}
	}
}

// accepted says of a result whether it was accepted, where the run says so of any.
func (s *sarifWriter) accepted(r *sarifResult, w *finding.Waived) {
	suppressions := []sarifSuppression{}
	baseline := "new"
	if w != nil {
		baseline, suppressions = "unchanged", append(suppressions, suppression(w))
	}
	if s.asFound || s.report.Compared != nil {
		r.Baseline = baseline
	}
	if s.waived {
		r.Suppressions = &suppressions
	}
}

// messageOf is what is wrong, where, and what to do about it.
func messageOf(m *finding.Model, f *finding.Finding) string {
	text := f.FullMessage()
	if f.Triangle > 0 {
		text += ", at " + words.Where(m, f.At)
	}
	text = sentence(text + words.Only(f))
	if f.Advice != "" {
		text += " To do: " + sentence(f.Advice)
	}
	return text
}

// sentence ends words with a full stop, as SARIF's messages do (3.11.3).
func sentence(s string) string {
	if s == "" || strings.HasSuffix(s, ".") {
		return s
	}
	return s + "."
}

func suppression(w *finding.Waived) sarifSuppression {
	reason := w.Reason
	if w.Until != "" {
		reason += " (until " + w.Until + ")"
	}
	return sarifSuppression{Kind: "external", Status: "accepted", Justification: plainMessage(reason)}
}

// message makes text into a plain text message. A link is what is left when a name
// holds "](" (3.11.6), and braces stand for themselves only in pairs (3.11.5).
func (s *sarifWriter) message(m *finding.Model, text string) sarifMessage {
	if s.scanning {
		if _, inner := outermost(m.Path); inner != "" {
			text = inner + ": " + text
		}
		if m.Part != "" {
			text = fmt.Sprintf(`part "%s": %s`, m.Part, text)
		}
	}
	text = plainMessage(text)
	if !s.scanning {
		text = strings.NewReplacer("{", "{{", "}", "}}").Replace(text)
	}
	return sarifMessage{Text: text}
}

// location is where a finding or a fault lies.
func (s *sarifWriter) location(m *finding.Model, line int, bytes *finding.Bytes) sarifLocation {
	if s.scanning {
		outer, inner := outermost(m.Path)
		if inner != "" {
			line = 0 // it counts within the container
		}
		line = max(line, 1) // they require one, also where SARIF (3.30.1) forbids it
		region := &sarifRegion{StartLine: line, StartColumn: 1, EndLine: line, EndColumn: 2}
		return sarifLocation{Physical: sarifPhysical{Artifact: sarifArtifactLocation{URI: fileURI(outer)}, Region: region}}
	}
	at := sarifLocation{Physical: sarifPhysical{Artifact: s.artifacts.location(m.Path), Region: region(line, bytes)}}
	if m.Part != "" {
		at.Logical = []sarifLogical{{Name: words.Safe(m.Part), Kind: "object"}}
	}
	return at
}

// region is a line of a text file or a range of a binary one, or nil for the whole.
func region(line int, bytes *finding.Bytes) *sarifRegion {
	switch {
	case line > 0:
		return &sarifRegion{StartLine: line}
	case bytes != nil:
		return &sarifRegion{ByteOffset: &bytes.Offset, ByteLength: &bytes.Length}
	}
	return nil
}

// unjudged adds a result for each model without a whole verdict: for one that is
// undecided always, and for an unreadable one where notifications of the tool are shown
// to nobody, as code scanning services do.
func (s *sarifWriter) unjudged(run *sarifRun) {
	for i := range s.report.Models {
		m := &s.report.Models[i]
		if !m.Unjudged() || m.Status == finding.Unreadable && !s.scanning {
			continue
		}
		rule := unreadableRule
		if m.Status == finding.Undecided {
			rule = finding.RuleUndecided
		}
		r := sarifResult{
			RuleID: rule, RuleIndex: s.ruleIndex(rule), Kind: "fail", Level: string(finding.Error),
			Message: s.message(m, sentence(m.Reason)), Locations: []sarifLocation{s.location(m, m.Line, nil)},
			first: true,
		}
		if s.scanning {
			r.Fingerprints = map[string]string{lineHash: within(m, rule+"\x00"+m.Part)}
		} else {
			// 3.27.9: open is for what could not be decided, and 3.27.10 wants level none then.
			r.Kind, r.Level = "open", string(finding.None)
			s.accepted(&r, nil)
		}
		run.Results = append(run.Results, r)
	}
}

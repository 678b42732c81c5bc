package cli

import (
	"context"
	"encoding/json"
	"fmt"
	"os"

	"printlint/internal/finding"
	"printlint/internal/lint"
	"printlint/internal/report"
)

const mergeDetail = `
Joins the JSON reports of all shares that check --shard made of one run into one
report, the same as that run in one piece would have made, and ends with its exit
code. A share that is missing, or made from another list of files, is an error. A
single report of a whole run may be given too, to write it in another format. HTML
comes without pictures, which need the models.`

func mergeCommand(in *invocation) action {
	f := newReportFlags(in.flags)
	return func(_ context.Context, args []string) (int, error) {
		also, err := alsoFiles(*f.also)
		if err != nil {
			return 0, err
		}
		keep := &guarded{}
		for _, name := range args {
			keep.keep(name, "a report that is read")
		}
		if err := keep.reports(also); err != nil {
			return 0, err
		}
		var reports []*finding.Report
		models := 0
		for _, name := range args {
			r, err := readReport(name)
			if err != nil {
				return 0, err
			}
			reports = append(reports, r)
			models += len(r.Models)
			lean(models)
		}
		r, failAt, err := lint.Merge(reports, args)
		if err != nil {
			return 0, err
		}
		if err := f.asks(also, r.Rules.Rules); err != nil {
			return 0, err
		}
		failAt = f.level(failAt)
		r.FailAt = failAt
		code := lint.Exit(r, failAt)
		return code, f.write(in.env, r, also, report.Options{FailAt: failAt, Exit: code})
	}
}

// readReport reads a JSON report.
func readReport(name string) (*finding.Report, error) {
	data, err := os.ReadFile(name)
	if err != nil {
		return nil, fmt.Errorf("%s: %w", name, plainly(err))
	}
	var r finding.Report
	if err := json.Unmarshal(data, &r); err != nil {
		return nil, fmt.Errorf("%s is no JSON report of %s: %w", name, finding.ToolName, err)
	}
	r.Models = append(make([]finding.Model, 0, len(r.Models)), r.Models...) // with no room behind
	for i := range r.Models {
		r.Models[i].Compact()
	}
	return &r, nil
}

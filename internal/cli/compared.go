package cli

import (
	"cmp"
	"context"
	"errors"
	"fmt"

	"printlint/internal/collection"
	"printlint/internal/finding"
	"printlint/internal/lint"
)

// comparing refuses a comparison of what does not change.
func (f *gateFlags) comparing() error {
	if *f.changed == "" && (*f.compare || f.failOn.word == string(finding.FailOnNew)) {
		return errors.New("--compare and --fail-on new ask what a change does; say since when with --changed REV")
	}
	return nil
}

// before lists what the models of a check were, where the flags or the configuration ask
// for a comparison: in a share of a run, those that it compares its own with.
func (f *gateFlags) before(ctx context.Context, g *gate, paths []string, shard *finding.Shard) (*lint.Before, error) {
	failOn := cmp.Or(finding.FailOn(f.failOn.word), g.FailOn)
	if *f.changed == "" || !*f.compare && failOn != finding.FailOnNew {
		return nil, nil
	}
	own, err := collection.Repository(paths)
	if err != nil {
		return nil, err
	}
	b := &lint.Before{Rev: *f.changed, FailOn: failOn}
	b.Commit, b.Files, err = collection.Before(own, b.Rev, g.files, paths, collection.Options{Base: g.root, Include: g.Include, Exclude: g.Exclude})
	if err != nil {
		return nil, fmt.Errorf("--compare: %w", err)
	}
	if shard != nil {
		b.Share(ctx, g.files, shard.Index, shard.Count)
	}
	return b, nil
}

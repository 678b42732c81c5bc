package cli

import (
	"cmp"
	"errors"
	"fmt"

	"printlint/internal/collection"
	"printlint/internal/finding"
	"printlint/internal/lint"
)

// comparing refuses a comparison of what does not change, and of a share: what was renamed
// is looked for in the whole run.
func (f *gateFlags) comparing(shard *finding.Shard) error {
	asked := *f.compare || f.failOn.word == string(finding.FailOnNew)
	switch {
	case asked && *f.changed == "":
		return errors.New("--compare and --fail-on new ask what a change does; say since when with --changed REV")
	case asked && shard != nil:
		return errors.New("--compare and --fail-on new do not go with --shard; check what changed in one run")
	}
	return nil
}

// before lists what the models of a check were, where the flags or the configuration ask
// for a comparison. A share of a run is judged without one, and all of it closes the gate.
func (f *gateFlags) before(g *gate, paths []string, shard *finding.Shard) (*lint.Before, error) {
	failOn := cmp.Or(finding.FailOn(f.failOn.word), g.FailOn)
	if *f.changed == "" || shard != nil || !*f.compare && failOn != finding.FailOnNew {
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
	return b, nil
}

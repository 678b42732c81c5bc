package ruleset

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
)

// Position is a place in a file of rules. Line and column count from 1, the column
// in characters; line 0 means the file as a whole.
type Position struct {
	File         string
	Line, Column int
}

// String is file:line:column.
func (p Position) String() string {
	if p.Line == 0 {
		return p.File
	}
	return fmt.Sprintf("%s:%d:%d", p.File, p.Line, p.Column)
}

// Problem is one thing wrong in a file of rules, with its cure where there is one.
type Problem struct {
	Position
	Text string
}

// Problems is everything wrong in a configuration and the sets it uses, sorted by
// place.
type Problems struct{ List []Problem }

// Error prints every problem on a line of its own.
func (p *Problems) Error() string {
	lines := make([]string, len(p.List))
	for i, q := range p.List {
		lines[i] = q.Position.String() + ": " + q.Text
	}
	return strings.Join(lines, "\n")
}

// complaints collects problems while loading; the same one twice counts once, since
// a rule is checked again for every place that changes it.
type complaints struct {
	list []Problem
	seen map[Problem]bool
}

func (c *complaints) add(at Position, format string, args ...any) {
	p := Problem{at, fmt.Sprintf(format, args...)}
	if c.seen[p] {
		return
	}
	if c.seen == nil {
		c.seen = map[Problem]bool{}
	}
	c.seen[p] = true
	c.list = append(c.list, p)
}

// complained says that something is wrong already.
func (c *complaints) complained() bool { return len(c.list) > 0 }

// err returns the problems in order of place, or nil.
func (c *complaints) err() error {
	if len(c.list) == 0 {
		return nil
	}
	slices.SortStableFunc(c.list, func(a, b Problem) int {
		return cmp.Or(cmp.Compare(a.File, b.File), cmp.Compare(a.Line, b.Line), cmp.Compare(a.Column, b.Column))
	})
	return &Problems{c.list}
}

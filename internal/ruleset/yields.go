package ruleset

import (
	"slices"
	"strings"

	"printlint/internal/near"
)

// yieldsKey names the rules that a rule yields to.
const yieldsKey = "yields-to"

// checkYields complains about rules that nobody knows, and rules that yield to each other
// in a circle: neither of two such would speak.
func (m *merger) checkYields() {
	done := map[string]bool{}
	for _, id := range m.ids() {
		m.checkYieldsOf(id, nil, done)
	}
}

// checkYieldsOf follows one rule; path leads from where the search began to it.
func (m *merger) checkYieldsOf(id string, path []string, done map[string]bool) {
	r := m.rules[id]
	if done[id] || r.yields == nil {
		return
	}
	path = append(path, id)
	for _, t := range r.yields.rules {
		switch begin := slices.Index(path, t.value); {
		case begin >= 0:
			m.add(t.pos(), "rules yield to each other in a circle: %s", strings.Join(append(path[begin:], t.value), " yields to "))
		case m.rules[t.value] != nil:
			m.checkYieldsOf(t.value, path, done)
		case !m.quiet && !m.broken[t.value]:
			m.add(t.pos(), "no rule is called %q%s", t.value, near.Hint(t.value, m.ids()))
		}
	}
	done[id] = true
}

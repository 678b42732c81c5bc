package ruleset

import "slices"

// Says are the names of the values that the rule's message tells, in its order, each once.
func (r *Rule) Says() []string {
	var names []string
	for _, p := range r.say {
		if p.value < 0 || p.which {
			continue
		}
		if name := r.def.Values[p.value].Name; !slices.Contains(names, name) {
			names = append(names, name)
		}
	}
	return names
}

package html

import (
	"fmt"
	"reflect"
	"slices"

	"printlint/internal/finding"
	"printlint/internal/report/words"
)

// maxCells is how many cells the table of models by machines has: two thousand models on ten
// machines, which a browser still shows at once. Judgement.
const maxCells = 20_000

// column is a machine as the table has it.
type column struct {
	finding.Machine
	Prints, All int // models that print on it, of those that are no configuration and not skipped
}

// verdictOn is what one machine makes of a model, or several that have the same to say.
type verdictOn struct {
	State   words.State
	Names   []string
	Numbers string // of the machines, from 0
	Words   string
	Advice  *finding.Advice
}

// Machines names them.
func (v *verdictOn) Machines() string { return words.Listed(v.Names) }

// shelf fills in the table of models by machines; there is none where the run knew only one.
func (p *page) shelf() {
	for i := range p.Report.Machines {
		c := column{Machine: p.Report.Machines[i]}
		for _, m := range p.Models {
			if len(m.Cells) == 0 || m.State == string(words.Left) {
				continue
			}
			c.All++
			if state := m.Cells[i].State; state == words.Fine || state == words.Look {
				c.Prints++
			}
		}
		p.Columns = append(p.Columns, c)
	}
	if len(p.Columns) == 0 {
		return
	}
	p.Where = sentence(words.FailsWhere(p.Report))
	p.rows()
}

// rows are those of the table of models by machines, for the models that the page lists.
func (p *page) rows() {
	p.Matrix, p.Unlisted = nil, 0
	for _, m := range p.Models {
		switch {
		case len(m.Cells) == 0:
		case len(p.Matrix) < max(1, maxCells/len(p.Columns)):
			p.Matrix = append(p.Matrix, m)
		default:
			p.Unlisted++
		}
	}
}

// machines says on which machines the model prints, and what to do on each.
func (p *model) machines(r *finding.Report) {
	p.Cells = words.Matrix(r, p.Model)
	for i, c := range p.Cells {
		if on := words.OnMachine(p.Model, r.Machines[i].Name); on != nil && p.Status != finding.Unreadable {
			p.verdictOn(i, c.State, sentence(words.Said(c, on)), on)
		}
	}
	if text := words.PrintsOn(r, p.Model); text != "" {
		p.Answer = text
	}
	if advice := words.AdviceOf(p.Model); len(p.On) > 0 && p.Reason == "" && len(advice) > 0 {
		// What to do where it fails comes first.
		first := &advice[max(0, slices.IndexFunc(advice, func(a words.Advised) bool {
			return slices.ContainsFunc(a.On, func(name string) bool { return words.OnMachine(p.Model, name).Findings.Error > 0 })
		}))]
		p.First = sentence(first.Words)
		if of := first.Short(); of != "" {
			p.First = words.Capital(of[1:]) + ": " + p.First
		}
	}
	for _, v := range p.On {
		if p.advised = v.Names[0]; v.Advice != nil && reflect.DeepEqual(v.Advice, p.Advice) {
			break
		}
		p.advised = ""
	}
	for _, rule := range p.Rules {
		on := rule.Groups[0].On
		if p.advised != "" && (rule.Cured || rule.Held) {
			rule.Judged = " on " + p.advised
		}
		if len(on) == 0 {
			continue
		}
		if p.advised != "" && !slices.Contains(on, p.advised) { // nobody asked whether it is cured on others
			rule.Cured, rule.Held = false, false
		}
		rule.On = " on " + words.Listed(on)
		for i := range r.Machines {
			if slices.Contains(on, r.Machines[i].Name) {
				rule.Numbers += fmt.Sprintf("%d ", i)
			}
		}
	}
}

// Advised says that the advice on the model stands beside one of the machines.
func (p *model) Advised() bool { return p.advised != "" }

// verdictOn adds what a machine says: to another that says the same and has the same advice.
func (p *model) verdictOn(number int, state words.State, said string, on *finding.OnMachine) {
	k := slices.IndexFunc(p.On, func(v verdictOn) bool { return v.Words == said && reflect.DeepEqual(v.Advice, on.Advice) })
	if k < 0 {
		k = len(p.On)
		p.On = append(p.On, verdictOn{State: state, Words: said, Advice: on.Advice})
	}
	v := &p.On[k]
	v.Names, v.Numbers = append(v.Names, on.Machine), v.Numbers+fmt.Sprintf("%d ", number)
}

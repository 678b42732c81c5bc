package html

import (
	"fmt"
	"path"
	"slices"
	"strings"

	"printlint/internal/catalog"
	"printlint/internal/finding"
	"printlint/internal/report/words"
)

// answer says whether the model prints, and if not, what to do first.
func (p *model) answer() {
	answers := map[string]string{
		"unread": "Could not be judged.", "fail": "Would fail as it lies.", "look": "Look at it before you print.", "fine": "Prints as it lies.", "left": "Skipped.",
	}
	p.Answer = answers[p.State]
	if p.Status == finding.Undecided {
		p.Answer = "Could not be judged whole."
	}
	if p.Kind == finding.KindConfig {
		p.Answer = map[string]string{"fine": "Nothing is wrong with it.", "look": "Look at it.", "fail": "Something is wrong with it."}[p.State]
	} else if p.State == "fine" && p.Levels.Note > 0 {
		p.Answer = "Prints as it lies, with " + words.Count(p.Levels.Note, "note") + "."
	}
	if p.State == "fine" && slices.ContainsFunc(p.Accepted, func(f *finding.Finding) bool { return f.Level == finding.Error }) {
		p.Answer = "Would fail as it lies, and was accepted."
	}
	switch {
	case p.Reason != "":
		p.First = sentence(p.Reason)
	case p.Advice != nil && p.Advice.Words != "":
		p.First = sentence(p.Advice.Words)
	case len(p.Rules) > 0 && p.State != "fine":
		p.First = sentence(p.Rules[0].Groups[0].Advice)
	}
}

// todo lists what to do before this model is printed, and on which machine, where not on all.
func (p *model) todo() {
	if p.State == "unread" || p.State == "left" || !p.OfModel() {
		return
	}
	add := func(text string) {
		if !slices.Contains(p.Todo, text) {
			p.Todo = append(p.Todo, text)
		}
	}
	if a := p.Advice; a != nil {
		on := ""
		if all := words.AdviceOf(p.Model); len(all) > 0 {
			on = all[0].For()
		}
		if p.turned() {
			add(sentence("Lay it so" + on + ": " + a.Poses[0].Words))
		}
		if s := a.Support; s != nil && len(s.Sites) > 0 {
			add(fmt.Sprintf("Put support (%s)%s under %s, %s.", s.Kind, on, words.Count(len(s.Sites), "place"), catalog.About(s.Grams, s.Minutes)))
		}
	}
	for _, r := range p.Rules {
		do := r.Groups[0].Advice
		if do == "" || r.Cured || r.Held {
			continue
		}
		add(fmt.Sprintf("%s%s: %s", r.Title, r.On, sentence(do)))
	}
	add("Clean the bed, and stay until the first layer sticks all over.")
}

// asItLies is the rotation that turns nothing.
var asItLies = [9]float64{1, 0, 0, 0, 1, 0, 0, 0, 1}

// turned says that another way up is advised.
func (p *model) turned() bool {
	a := p.Advice
	return a != nil && len(a.Poses) > 0 && a.Poses[0].Matrix != asItLies
}

// left is what a rule still finds in the way up that is advised, if it does.
func (p *model) left(rule string) (left finding.RuleCount, stays bool) {
	if p.Advice == nil || len(p.Advice.Poses) == 0 {
		return left, false
	}
	for _, c := range p.Advice.Poses[0].Left {
		if c.Rule == rule {
			return c, true
		}
	}
	return left, false
}

// commands are what to type to go on with the model.
func (p *model) commands() {
	if !p.OfModel() || p.State == "left" {
		return
	}
	file := quoted(p.Path)
	p.Commands = append(p.Commands, "printlint check "+file)
	if p.Status != finding.Unreadable {
		draw := "printlint draw " + file + " --out " + quoted(strings.TrimSuffix(path.Base(p.Path), path.Ext(p.Path))+".png")
		if p.Part != "" {
			draw += " --part " + quoted(p.Part)
		}
		p.Commands = append(p.Commands, "printlint advise "+file, draw)
	}
	for _, r := range p.Rules[:min(3, len(p.Rules))] {
		if explain := "printlint explain " + quoted(r.Name); !slices.Contains(p.Commands, explain) {
			p.Commands = append(p.Commands, explain)
		}
	}
}

// quoted writes a word so that a POSIX shell takes it as one, and never for a flag.
func quoted(word string) string {
	if strings.HasPrefix(word, "-") {
		word = "./" + word
	}
	plain := func(r rune) bool {
		return r >= 'a' && r <= 'z' || r >= 'A' && r <= 'Z' || r >= '0' && r <= '9' || strings.ContainsRune("/._-", r)
	}
	if word != "" && strings.IndexFunc(word, func(r rune) bool { return !plain(r) }) < 0 {
		return word
	}
	return "'" + strings.ReplaceAll(word, "'", `'\''`) + "'"
}

// titled makes a title of a path: the name of the file in words.
func titled(m *finding.Model) string {
	name := path.Base(m.Path)
	if !m.OfModel() {
		return name
	}
	short := strings.TrimSuffix(name, path.Ext(name))
	if text := strings.Join(strings.Fields(spaced(short)), " "); text != "" {
		return words.Capital(text)
	}
	return name
}

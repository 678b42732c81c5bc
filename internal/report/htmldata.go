package report

import (
	"encoding/json"
	"html/template"
)

// listed is what the script of the page needs to know of a model to sort and filter.
type listed struct {
	ID       int      `json:"id"`
	Name     string   `json:"name"`
	State    string   `json:"state"`
	Worst    int      `json:"worst"`
	Errors   int      `json:"errors"`
	Warnings int      `json:"warnings"`
	Notes    int      `json:"notes"`
	Height   float64  `json:"height"`
	Rules    []string `json:"rules"`
}

// listData is the list as data.
func listData(models []*modelPage) (template.HTML, error) {
	list := struct {
		Models []listed `json:"models"`
	}{Models: []listed{}}
	for _, m := range models {
		l := listed{m.ID, m.Short, m.State, m.Worst, m.Levels.Error, m.Levels.Warning, m.Levels.Note, m.Height, []string{}}
		if m.Part != "" {
			l.Name += " " + m.Part
		}
		for _, g := range m.Groups {
			l.Rules = append(l.Rules, g.Rule)
		}
		list.Models = append(list.Models, l)
	}
	return dataBlock("list", list)
}

// dataBlock embeds a value as data, which no browser runs. The encoder writes <, > and &
// as escapes, so that no name can end the element.
func dataBlock(id string, v any) (template.HTML, error) {
	text, err := json.Marshal(v)
	if err != nil {
		return "", err
	}
	return element("script", ` type="application/json" id="`+id+`"`, string(text)), nil
}

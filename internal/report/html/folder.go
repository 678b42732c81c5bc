package html

import (
	"fmt"
	"io"
	"slices"

	"printlint/internal/draw"
	"printlint/internal/finding"
)

// maxRows is how many models one page of the list has: a browser shows and sorts as many
// without a wait, in a megabyte, and without its small pictures. Judgement.
const maxRows = 1000

// part is one page of a list that is too long for one.
type part struct {
	From, To, All int // models, from 1
	Pages         []step
}

// step leads to a page of the list.
type step struct {
	Number int
	Link   string // empty for the page itself
}

// listName is the name of a page of the list, from 0.
func listName(k int) string {
	if k == 0 {
		return "index.html"
	}
	return fmt.Sprintf("list-%d.html", k+1)
}

// WriteFolder writes the report as a list, index.html, with a page beside it for each model:
// what is too much for one page. A list of very many models goes on in further pages, and
// then a model of which nothing is to be said has its row in the list alone. Write writes a
// file of that name.
func WriteFolder(write func(name string, to func(io.Writer) error) error, r *finding.Report, o Options) error {
	p := newPage(r, &o)
	thumbs := p.thumbs()
	var last *model
	for i, m := range p.Models {
		m.Home, m.Prev, m.Next = listName(i/maxRows), nil, nil
		if len(p.Models) > maxRows && m.silent() {
			continue
		}
		m.Link, m.Prev = fmt.Sprintf("m%d.html", m.ID), last
		if last != nil {
			last.Next = m
		}
		last = m
	}
	for from := 0; from == 0 || from < len(p.Models); from += maxRows {
		list := p.listing(from, thumbs)
		if err := write(listName(from/maxRows), list.write); err != nil {
			return err
		}
	}
	for _, m := range p.Models {
		if m.Link == "" {
			continue
		}
		if err := write(m.Link, p.alone(m).write); err != nil {
			return err
		}
	}
	return nil
}

// listing is the page of the list that begins with that model.
func (p *page) listing(from int, thumbs bool) *page {
	list, to := *p, min(from+maxRows, len(p.Models))
	list.Listing, list.Pictures, list.Thumbs = true, false, thumbs && from < maxThumbs
	if len(p.Models) <= maxRows {
		return &list
	}
	list.Part = &part{From: from + 1, To: to, All: len(p.Models)}
	for k := 0; k*maxRows < len(p.Models); k++ {
		s := step{k + 1, listName(k)}
		if k*maxRows == from {
			s.Link = ""
		}
		list.Part.Pages = append(list.Part.Pages, s)
	}
	list.Models, list.List = p.Models[from:to], p.List[from:to]
	if len(p.Columns) > 0 {
		list.rows()
	}
	if from > 0 { // said on the first page
		list.Gone, list.Why = nil, nil
	}
	return &list
}

// alone is the page of one model. Where it has no picture there is nothing for the script to do.
func (p *page) alone(m *model) *page {
	one := *p
	one.Shown, one.Title, one.Why, one.Pictures = []*model{m}, m.Title+": "+m.Answer, nil, len(m.Views) > 0
	for _, why := range p.Why {
		if slices.ContainsFunc(m.Rules, func(r *rule) bool { return r.Name == why.ID }) {
			one.Why = append(one.Why, why)
		}
	}
	if !one.Pictures {
		one.Script = ""
	}
	return &one
}

// silent says that a page of the model would say no more than its row in the list.
func (m *model) silent() bool {
	return m.State == "fine" && len(m.Rules)+len(m.Accepted)+len(m.Notes)+len(m.On)+len(m.Views) == 0 && m.Was == nil
}

// maxThumbs is how many models of a folder have a picture in its list, the worst first: each
// adds some 10 kB. Judgement.
const maxThumbs = 400

// thumbWidth is how wide such a picture is at most, in pixels.
const thumbWidth = 160

// thumbs makes small pictures for the list of a folder, and says whether there are any. The
// words say the same where one cannot be made.
func (p *page) thumbs() (some bool) {
	for _, m := range p.Models[:min(maxThumbs, len(p.Models))] {
		if len(m.Views) == 0 {
			continue
		}
		if small, err := draw.Small(m.Views[0].PNG, thumbWidth); err == nil {
			m.Thumb, some = dataURL(small), true
		}
	}
	return some
}

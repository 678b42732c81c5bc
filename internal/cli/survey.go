package cli

import (
	"cmp"
	"context"
	"fmt"
	"math"
	"slices"
	"strings"

	"printlint/internal/collection"
	"printlint/internal/mesh"
	"printlint/internal/meshfile"
)

const (
	// surveyMost bounds the models that are looked at before a configuration is written: a
	// larger shelf is known well enough from these.
	surveyMost = 300
	// surveyBytes bounds one file: a larger one tells no more.
	surveyBytes = 256 << 20
)

// survey is what is seen of a folder before a configuration is written for it.
type survey struct {
	files      int // with models in them
	looked     int // of these
	kinds      map[string]int
	unreadable []string
	folders    map[string][]float64 // lengths in the file's own unit, by the first folder, of formats that carry none
	least      float64              // mm, the shortest and the longest model, as they would be read
	most       float64
	largest    mesh.Vec
}

// look reads models and notes their formats and sizes.
func look(ctx context.Context, files []collection.File) (*survey, error) {
	s := &survey{files: len(files), kinds: map[string]int{}, folders: map[string][]float64{}, least: math.Inf(1)}
	step := max(1, (len(files)+surveyMost-1)/surveyMost)
	var named, plain []measured
	for i := 0; i < len(files); i += step {
		if ctx.Err() != nil {
			return nil, ctx.Err()
		}
		parts, err := sizes(&files[i])
		if err != nil {
			s.unreadable = append(s.unreadable, files[i].Path)
			continue
		}
		s.looked++
		for _, p := range parts {
			s.kinds[p.kind]++
			if p.ownUnit {
				named = append(named, p)
				continue
			}
			plain = append(plain, p)
			s.folders[p.folder] = append(s.folders[p.folder], longest(p.size))
		}
	}
	for _, p := range named {
		s.extend(p.size, 1)
	}
	for _, p := range plain {
		s.extend(p.size, factors[guessUnit(s.folders[p.folder]).unit])
	}
	return s, nil
}

func (s *survey) extend(size mesh.Vec, factor float64) {
	l := longest(size) * factor
	s.least = min(s.least, l)
	if l > s.most {
		s.most, s.largest = l, mesh.Vec{X: size.X * factor, Y: size.Y * factor, Z: size.Z * factor}
	}
}

// measured is one model's size, in the unit of its file.
type measured struct {
	kind, folder string
	ownUnit      bool
	size         mesh.Vec
}

func longest(v mesh.Vec) float64 { return max(v.X, v.Y, v.Z) }

// sizes reads the models of a file.
func sizes(f *collection.File) (list []measured, err error) {
	if f.Skip != "" || f.Size > surveyBytes {
		return nil, nil
	}
	content, err := f.Open()
	if err != nil {
		return nil, err
	}
	defer content.Close()
	parts, err := meshfile.Read(f.Path, content, meshfile.Options{})
	if err != nil {
		return nil, err
	}
	folder, _, inside := strings.Cut(f.Rules, "/")
	if !inside {
		folder = ""
	}
	for i := range parts {
		p := &parts[i]
		if p.Skip != "" {
			continue
		}
		if err := p.Load(); err != nil {
			return nil, err
		}
		box := mesh.EmptyBox()
		for _, c := range p.Triangles.Corners {
			box.Include(mesh.Of64(c))
		}
		p.Triangles = nil
		kind := strings.TrimSuffix(p.Kind, "-ascii")
		list = append(list, measured{kind, folder, kind == "3mf" || kind == "amf", box.Size()})
	}
	return list, nil
}

// factors lead from a unit to mm.
var factors = map[string]float64{"mm": 1, "m": 1000}

// guess is the unit that models are read in, the one that they may have been drawn in, and
// the doubt between the two.
type guess struct{ unit, meant, doubt string }

var inMM = guess{unit: "mm", meant: "mm"}

// guessUnit guesses by the lengths of models. Those that would all be less than half a
// millimetre long are in metres, in which they come out 500 mm long at most; what would be
// as likely in two units is only told. Judgement.
func guessUnit(lengths []float64) guess {
	if len(lengths) == 0 {
		return inMM
	}
	sorted := slices.Sorted(slices.Values(lengths))
	least, most, middle := sorted[0], sorted[len(sorted)-1], sorted[len(sorted)/2]
	switch {
	case most < 0.5:
		return guess{unit: "m", meant: "m"}
	case most < 1:
		return guess{"mm", "in", fmt.Sprintf("no model there is longer than %.3g mm: write unit: in if they were drawn in inches, unit: m if in metres", most)}
	case most < 12 && middle < 6 && len(sorted) >= 3:
		return guess{"mm", "in", fmt.Sprintf("the longest model there is %.3g mm long: write unit: in if they were drawn in inches", most)}
	case least > 1000:
		return guess{"mm", "um", fmt.Sprintf("the shortest model there is %.4g mm long: write unit: um if they were drawn in micrometres", least)}
	}
	return inMM
}

// kindWords lists the formats that were seen, the most frequent first.
func (s *survey) kindWords() string {
	var kinds []string
	for k := range s.kinds {
		kinds = append(kinds, k)
	}
	slices.SortFunc(kinds, func(a, b string) int { return cmp.Or(s.kinds[b]-s.kinds[a], strings.Compare(a, b)) })
	for i, k := range kinds {
		kinds[i] = fmt.Sprintf("%d %s", s.kinds[k], k)
	}
	return strings.Join(kinds, ", ")
}

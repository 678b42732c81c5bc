package cli

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"maps"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"

	"printlint/internal/collection"
	"printlint/internal/lint"
	"printlint/internal/report/words"
	"printlint/internal/ruleset"
)

const initDetail = `
Looks at the models in FOLDER, or in the current one, and writes a small
.printlint.yml there: what you print with, the unit of files that carry none, and
places for folders in another unit. It says what it saw and what to do next. A file
that is there is never overwritten.

Exit code: 0, or 2 when nothing was written.`

func initCommand(in *invocation) action {
	return func(ctx context.Context, args []string) (int, error) {
		folder := "."
		if len(args) > 0 {
			folder = args[0]
		}
		return lint.ExitClean, initialize(ctx, in.env, folder)
	}
}

// initialize writes a configuration for a folder.
func initialize(ctx context.Context, env Env, folder string) error {
	if info, err := os.Stat(folder); err != nil || !info.IsDir() {
		return fmt.Errorf("%s is no folder", words.Safe(folder))
	}
	if err := noConfig(folder); err != nil {
		return err
	}
	files, err := collection.Find([]string{folder}, collection.Options{Base: folder, Include: ruleset.ModelGlobs})
	if err != nil && !errors.Is(err, collection.ErrNone) {
		return err
	}
	s, err := look(ctx, files)
	if err != nil {
		return interrupted(err)
	}
	file := filepath.Join(folder, configName)
	out, err := os.OpenFile(file, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o644)
	if err != nil {
		return fmt.Errorf("%s could not be written: %w", words.Safe(file), plainly(err))
	}
	_, err = out.WriteString(s.config())
	if err = errors.Join(err, out.Close()); err != nil {
		return fmt.Errorf("%s could not be written: %w", words.Safe(file), plainly(err))
	}
	_, err = fmt.Fprint(env.Stdout, s.says(folder, file))
	return err
}

// noConfig complains about a configuration that holds for the folder already, and about
// those further in, which would hold for nothing.
func noConfig(folder string) error {
	if _, err := os.Lstat(filepath.Join(folder, configName)); !errors.Is(err, fs.ErrNotExist) {
		return fmt.Errorf("%s is there already; nothing was written", words.Safe(filepath.Join(folder, configName)))
	}
	s, err := newSearch(onDisk())
	if err != nil {
		return err
	}
	at, _, err := s.folderOf(folder)
	if err != nil {
		return err
	}
	above, err := s.above(at)
	if err != nil {
		return err
	}
	if len(above) > 0 {
		return &hinted{fmt.Errorf("%s holds for this folder already; nothing was written", words.Safe(s.fileTree.shown(above[0]))), "add what you need there, under places:"}
	}
	below, err := s.below(at)
	if err == nil && len(below) > 0 {
		err = &hinted{fmt.Errorf("%s lies further in, and would hold for nothing below a new one; nothing was written", words.Safe(s.fileTree.shown(below[0]))), "run printlint init beside it, or move it up first"}
	}
	return err
}

// units guesses the unit of all files that carry none, and of folders that differ.
func (s *survey) units() (all guess, places map[string]guess) {
	places = map[string]guess{}
	guesses := map[guess]bool{}
	for folder, lengths := range s.folders {
		places[folder] = guessUnit(lengths)
		guesses[places[folder]] = true
	}
	all = inMM
	if len(guesses) == 1 {
		for all = range guesses {
			clear(places)
		}
	}
	maps.DeleteFunc(places, func(_ string, g guess) bool { return g == all })
	return all, places
}

// config is the text of the configuration.
func (s *survey) config() string {
	var b strings.Builder
	all, places := s.units()
	bed := ""
	if s.most > 0 {
		bed = fmt.Sprintf("; the largest model here is %s", sizeWords(s))
	}
	fmt.Fprintf(&b, `# What printlint goes by for the models in this folder and below, written by printlint init.
# printlint rules shows all that holds, and printlint explain what each rule means.
version: 1

# What you print with. Limits follow these figures: put in your own.
process:
  material: pla        # pla, petg, abs or tpu
  nozzle: 0.4 mm
  layer: 0.2 mm
  # Width, depth and height that fit your machine%s.
  # bed: [220 mm, 220 mm, 250 mm]

use: [standard]        # or strict, for what must look good and fit; or relaxed, for drafts

models:
  unit: %-15s # of stl, obj, ply and off files, which name none: mm, cm, m, in or um
`, bed, all.unit)
	if all.doubt != "" {
		fmt.Fprintf(&b, "  # Look at this: %s.\n", all.doubt)
	}
	b.WriteString("  # exclude: [archive]\n")
	b.WriteString(placesText(places))
	return b.String()
}

// placesText are the places for folders in another unit, and remarks on those in doubt.
func placesText(places map[string]guess) string {
	list, doubts := "", ""
	for _, folder := range slices.Sorted(maps.Keys(places)) {
		if folder == "" {
			continue // no glob means this folder without those below
		}
		g := places[folder]
		item := fmt.Sprintf("- {paths: [\"%s/**\"], unit: %s}", globFor(folder), g.meant)
		if g.doubt == "" {
			list += "  " + item + "\n"
			continue
		}
		doubts += fmt.Sprintf("\n# Look at the folder %s: %s.\n# Under places: that is  %s\n", words.Safe(folder), g.doubt, item)
	}
	if list != "" {
		list = "\nplaces:\n" + list
	}
	return list + doubts
}

// globFor is a glob that means the folder, and next to nothing else.
func globFor(folder string) string {
	return strings.Map(func(r rune) rune {
		if unicode.IsControl(r) || r == utf8.RuneError || strings.ContainsRune("*?[]{}\\\"", r) {
			return '?'
		}
		return r
	}, folder)
}

func sizeWords(s *survey) string {
	side := func(x float64) float64 { return math.Round(x*10) / 10 }
	return fmt.Sprintf("%v x %v x %v mm", side(s.largest.X), side(s.largest.Y), side(s.largest.Z))
}

// says tells what was seen and what to do next.
func (s *survey) says(folder, file string) string {
	var b strings.Builder
	switch {
	case s.looked == 0:
		b.WriteString("no model was found here yet\n")
	case s.most > 0:
		fmt.Fprintf(&b, "looked at %d of %d files: %s; the longest model is %.4g mm long, the shortest %.3g mm\n", s.looked, s.files, s.kindWords(), s.most, s.least)
	}
	if n := len(s.unreadable); n > 0 {
		fmt.Fprintf(&b, "%d of them cannot be read, such as %s; printlint check says why\n", n, words.Safe(s.unreadable[0]))
	}
	all, places := s.units()
	if all.unit != "mm" {
		fmt.Fprintf(&b, "files that name no unit are read in metres (unit: %s): in mm none would be longer than 0.5 mm\n", all.unit)
	}
	if all.doubt != "" {
		b.WriteString("look at the unit: " + all.doubt + "\n")
	}
	for _, name := range slices.Sorted(maps.Keys(places)) {
		g, shown := places[name], name
		if name == "" {
			shown = "this folder itself"
		}
		if g.doubt != "" {
			fmt.Fprintf(&b, "look at %s: %s\n", words.Safe(shown), g.doubt)
		} else {
			fmt.Fprintf(&b, "%s: its files are read in metres (unit: %s), since in mm none would be longer than 0.5 mm\n", words.Safe(shown), g.unit)
		}
	}
	check := "printlint check"
	if folder != "." {
		check += " " + words.Safe(folder)
	}
	fmt.Fprintf(&b, "wrote %s\nnext: write your own plastic, nozzle and bed into it, then run: %s\n", words.Safe(file), check)
	return b.String()
}

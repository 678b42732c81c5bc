package ruleset

import (
	"path"
	"strings"

	"gopkg.in/yaml.v3"

	"printlint/internal/finding"
)

// document is what one file says, before it is laid over what earlier files say.
type document struct {
	name    string // as `use` names it, or the file's path
	called  *text  // what reports call the machine that it describes; nil where it does not say
	file    string // as complaints name it
	start   Position
	use     []text
	useSaid bool
	useLost bool // something in use could not be read
	process settings
	rules   []*rulePatch
	terms   *waiverTerms // nil where it asks nothing of waivers
	// fresh says that another plastic begins here: the figures of the one before are gone.
	fresh bool
	main  *mainPart // of the configuration itself; nil in a set
	// printer says that it describes a machine.
	printer bool
}

// mainPart is what only the configuration may say.
type mainPart struct {
	include, exclude []text
	unit, lfs, root  string
	failAt           finding.Level
	failOn           finding.FailOn
	places           []*place
	waivers          []*Waiver
	accepted         []text
	intent           intent
	machines         []text // globs of the files that describe machines
	failWhere        *failWhere
}

// place is other limits for some paths.
type place struct {
	pos     Position
	paths   []text
	unit    string
	process settings
	rules   []*rulePatch
	intent  intent
	view    *View // what holds where no other place speaks; set on load
}

// setKeys is the table of a set, mainKeys that of the configuration, machineKeys that of a
// machine.
var setKeys, mainKeys, machineKeys = makeDocumentKeys()

func makeDocumentKeys() (set, main, machine []key[*document]) {
	shared := []key[*document]{
		{"$schema", "address of the schema, for editors; not read", aWord, func(d *decoder, n *yaml.Node, _ *document) { d.words(n, "$schema") }},
		{"version", "version of this language: 1", theNumberOne, readVersion},
		{"use", "sets laid under this file, later ones win: built-in names, or files beside this one", listOf(aSet), readUse},
		processKey("what the models will be printed with", func(l *document) *settings { return &l.process }),
		rulesKey("rules by name: new ones, or changes to those of the sets", func(l *document) *[]*rulePatch { return &l.rules }),
		{"waiver-terms", "what every waiver must have", mapOf(&termKeys), readTerms},
	}
	own := []key[*document]{
		{"root", "folder that paths and globs in this file start at, from this file's own folder on, as in ..", aWord, readRoot},
		{"models", "which files are models, and how they are read", mapOf(&modelKeys), func(d *decoder, n *yaml.Node, l *document) {
			mapping(d, n, "models", modelKeys, l.main)
		}},
		{"places", "other rules for some paths; later ones win", listOf(mapOf(&placeKeys, "paths")), readPlaces},
		{"waivers", "findings accepted in writing", listOf(mapOf(&waiverKeys, "path", "rule", "reason")), readWaivers},
		listKey("accepted", "files of findings accepted as they were, which check --accept writes", listOf(aWord), wordOf("a file of accepted findings"),
			func(l *document) *[]text { return &l.main.accepted }),
		listKey("machines", "files that describe printers: each model is judged for all of them", listOf(aWord), wordOf("a file that describes a machine"),
			func(l *document) *[]text { return &l.main.machines }),
		{"fail-at", "the level from which the gate closes; and, as {level: error, on: any}, on which machines a model must fail", failAtShape, readFailAt},
		choiceKey("fail-on", "which findings close the gate: all, or in a check with --changed only those that are new", failOnWords,
			func(l *document) *finding.FailOn { return &l.main.failOn }),
	}
	own = append(own, intentKeys("", func(l *document) *intent { return &l.main.intent })...)
	set = append(set, shared...)
	set = append(set, key[*document]{"name", "what reports call the machine that the file describes", aWord, readName})
	for _, k := range own {
		set = append(set, key[*document]{k.name, k.doc, k.shape, func(d *decoder, n *yaml.Node, _ *document) {
			d.add(d.pos(n), "%s belongs in the configuration itself, not in a set that it uses", k.name)
		}})
	}
	return set, append(shared, own...), machineKeysOf(set)
}

// modelKeys is the table of the models mapping.
var modelKeys = []key[*mainPart]{
	listKey("include", "globs of what is a model", listOf(aGlob), globOf("include"), func(m *mainPart) *[]text { return &m.include }),
	listKey("exclude", "globs of what is left out", listOf(aGlob), globOf("exclude"), func(m *mainPart) *[]text { return &m.exclude }),
	choiceKey("unit", "unit of formats that carry none: "+strings.Join(fileUnits, ", "), fileUnits, func(m *mainPart) *string { return &m.unit }),
	choiceKey("lfs", "what a model is whose content was not fetched: error or skip", lfsWords, func(m *mainPart) *string { return &m.lfs }),
}

// placeKeys is the table of one place.
var placeKeys = append([]key[*place]{
	listKey("paths", "globs of the paths that it speaks of", someOf(aGlob), globOf("paths"), func(p *place) *[]text { return &p.paths }),
	rulesKey("changes to rules there", func(p *place) *[]*rulePatch { return &p.rules }),
	processKey("what is printed otherwise there", func(p *place) *settings { return &p.process }),
	choiceKey("unit", "unit of formats that carry none, there", fileUnits, func(p *place) *string { return &p.unit }),
}, intentKeys(" there", func(p *place) *intent { return &p.intent })...)

var (
	levelWords  = []string{string(finding.Error), string(finding.Warning), string(finding.Note), string(finding.None)}
	failOnWords = []string{string(finding.FailOnAll), string(finding.FailOnNew)}
	fileUnits   = []string{"mm", "cm", "m", "in", "um"}
	lfsWords    = []string{"error", "skip"}
)

func readVersion(d *decoder, n *yaml.Node, _ *document) {
	if n.Kind != yaml.ScalarNode || n.Tag != "!!int" || n.Value != "1" {
		d.add(d.pos(n), "version must be 1, the only one this program reads")
	}
}

func readRoot(d *decoder, n *yaml.Node, l *document) {
	t, ok := d.words(n, "root")
	switch {
	case !ok:
	case path.IsAbs(t.value) || strings.ContainsAny(t.value, "\\:"):
		d.add(t.pos(), "root is named from the folder of this file on, with /, not %q", t.value)
	default:
		l.main.root = path.Clean(t.value)
	}
}

func readUse(d *decoder, n *yaml.Node, l *document) {
	l.useSaid = true
	before := len(d.list)
	l.use = d.texts(n, "use", wordOf("a set to use"))
	if t, ok := scalarText(n); ok && plainWord.MatchString(t) { // a list is complained about, and the set is used all the same
		l.use = append(l.use, text{t, d.source, n})
		return
	}
	l.useLost = len(d.list) > before
}

// scalarText is the text of a node that is one.
func scalarText(n *yaml.Node) (string, bool) {
	return n.Value, n.Kind == yaml.ScalarNode && n.Tag == "!!str"
}

// maxPlaces bounds places, since each holds rules of its own.
const maxPlaces = 200

func readPlaces(d *decoder, n *yaml.Node, l *document) {
	if len(n.Content) > maxPlaces {
		d.add(d.pos(n), "here are %d places, more than the %d that are read; let one glob speak for several", len(n.Content), maxPlaces)
		return
	}
	d.items(n, "places", func(item *yaml.Node) {
		p := &place{pos: d.pos(item)}
		before := len(d.list)
		mapping(d, item, "a place", placeKeys, p)
		if len(p.paths) == 0 && len(d.list) == before {
			d.add(p.pos, `a place needs paths, such as paths: ["statues/**"]`)
		}
		l.main.places = append(l.main.places, p)
	})
}

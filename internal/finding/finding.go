// Package finding holds what a run has to say as plain data: the report that every
// format renders, that shards are merged from and that a cache keeps.
package finding

// Format names the version of the JSON report.
const Format = "printlint/1"

// Level is how much a finding matters; the four levels of SARIF 2.1.0.
type Level string

// The levels, most severe first.
const (
	Error   Level = "error"
	Warning Level = "warning"
	Note    Level = "note"
	None    Level = "none"
)

// Rank orders levels: 0 for error up to 3 for none, and 4 for an unknown word.
func (l Level) Rank() int {
	for i, k := range []Level{Error, Warning, Note, None} {
		if l == k {
			return i
		}
	}
	return 4
}

// Rules of findings that no rule set writes.
const (
	RuleUndecided = "undecided"    // what reports call a model that could not be judged whole
	RuleStale     = "stale-waiver" // a waiver that should go
	RulePlace     = "stale-place"  // a place that speaks of no model
	RuleNested    = "nested-configuration"
	RuleResized   = "resized" // the same shape as before, larger or smaller as by a mistaken unit
)

// Status is what became of a model.
type Status string

// What can become of a model.
const (
	Checked    Status = "checked"
	Unreadable Status = "unreadable" // could not be judged at all: exit 2
	Skipped    Status = "skipped"    // left out on purpose, with a reason
	// Undecided is a model that was read, but of which something could not be judged:
	// what was found stays, and nobody may take it for clean: exit 2.
	Undecided Status = "undecided"
)

// Unjudged says that the model has no whole verdict, so that the run ends in exit code 2
// whatever was found: it could not be read, or not be decided.
func (m *Model) Unjudged() bool { return m.Status == Unreadable || m.Status == Undecided }

// Report is one run.
type Report struct {
	Format  string  `json:"format"`
	Tool    Tool    `json:"tool"`
	Rules   RuleSet `json:"rules"`
	Summary Summary `json:"summary"`
	FailAt  Level   `json:"fail_at"`         // the level that the run failed at, as flag or configuration said
	Shard   *Shard  `json:"shard,omitempty"` // of a run that was only a share of one
	// Compared is what the models were like before, where the run was asked.
	Compared *Comparison `json:"compared,omitempty"`
	// Machines are the printers that every model was judged for, in the order of the
	// configuration; empty where the run knew only one.
	Machines []Machine `json:"machines,omitzero"`
	// Where says how their verdicts make one; nil where the run knew only one.
	Where  *FailWhere `json:"fail_where,omitempty"`
	Models []Model    `json:"models"`
}

// Tool names the program that wrote the report.
type Tool struct {
	Name    string `json:"name"`
	Version string `json:"version"`
}

// RuleSet says which rules were in force.
type RuleSet struct {
	// Config is the configuration, from the working directory on; empty where there was none.
	Config string   `json:"config"`
	Digest string   `json:"digest"`         // SHA-256 of everything that decides a verdict
	From   string   `json:"from,omitempty"` // the commit they were taken from, where they are not those that lie here
	Sets   []string `json:"sets"`           // built-in names and files, in the order they were laid over each other
	Rules  []Rule   `json:"rules"`          // what each means, sorted by ID
}

// Rule is a rule in force in plain words, so that a report explains itself.
type Rule struct {
	ID      string   `json:"id"`
	Level   Level    `json:"level"`         // where no place says otherwise
	Measure string   `json:"measure"`       // what it judges; empty for what no rule set writes
	Per     string   `json:"per,omitempty"` // "model" where it judges the model as a whole, by all these measures; "folder" where it judges folders
	Because string   `json:"because"`       // why it matters
	Do      string   `json:"do"`
	Limits  []string `json:"limits"` // each with its name and unit
	Source  string   `json:"source"` // of the limits
	// Units are the units that the values and the limits of its findings are counted in,
	// by name, limits behind "limits."; what has none is left out.
	Units map[string]string `json:"units"`
}

// Shard says which share of a run a report is, with what only all shares together can
// decide.
type Shard struct {
	Index  int      `json:"index"` // from 1
	Count  int      `json:"count"`
	Files  int      `json:"files"` // in this share
	All    Listing  `json:"all"`   // of the run before it was shared
	Asked  Asked    `json:"asked"`
	Unused []Unused `json:"unused"` // in this share
}

// Listing stands for a list of files, so that two runs can tell whether they saw the same.
type Listing struct {
	Files  int    `json:"files"`
	Digest string `json:"digest"` // SHA-256 of every path, as rules see it, and size
}

// Asked is what a run was asked to check. All shares of one are asked the same.
type Asked struct {
	Paths     []string `json:"paths"` // from the configuration's folder on, sorted
	Config    string   `json:"config"`
	Changed   string   `json:"changed"`    // the revision that models must differ from, or empty
	Staged    bool     `json:"staged"`     // only what the next commit changes
	RulesFrom string   `json:"rules_from"` // the revision that rules were taken from, or empty
}

// Unused is a waiver or an accepted finding that accepted nothing.
type Unused struct {
	File   string `json:"file"`
	Line   int    `json:"line"`
	Column int    `json:"column"`
	Path   string `json:"path"` // the models it speaks of
	Part   string `json:"part"`
	Rule   string `json:"rule"`
	Why    string `json:"why"`
	// Written says that it is a waiver, and not a line of a file of accepted findings.
	Written bool `json:"written"`
	// Place says that it is a place whose paths match no model.
	Place bool `json:"place,omitempty"`
	// Met says that a model it speaks of was looked at, so that it should go unless
	// another share has a use for it.
	Met bool `json:"met"`
}

// Summary counts the run. Each model is counted once: it would fail, is to be looked at, is
// clean, or is undecided or unreadable.
type Summary struct {
	Models int `json:"models"`
	Fail   int `json:"would_fail"` // models judged whole, with an error
	Look   int `json:"look_at"`    // models judged whole, with a warning and no error
	// Clean are the models judged whole, with no error and no warning: what reports for
	// people call fine. Noted are those of them with a note.
	Clean      int     `json:"clean"`
	Noted      int     `json:"clean_with_notes"`
	Error      int     `json:"error"`
	Warning    int     `json:"warning"`
	Note       int     `json:"note"`
	Waived     int     `json:"waived"`
	Unreadable int     `json:"unreadable"`
	Undecided  int     `json:"undecided"` // models that were judged only in part
	Seconds    float64 `json:"seconds"`   // 0 unless timing was asked for: same input, same bytes
}

// Model is one printable thing and what was found on it.
type Model struct {
	Path   string `json:"path"`
	Part   string `json:"part"`
	Kind   string `json:"kind"` // stl, stl-ascii, obj, ...
	SHA256 string `json:"sha256"`
	// Unit is what the file counts in, where the configuration says so and it is not mm:
	// everything else in a report is in mm all the same.
	Unit      string    `json:"unit,omitempty"`
	Status    Status    `json:"status"`
	Reason    string    `json:"reason"` // why it is unreadable, undecided or skipped, with the cure
	Line      int       `json:"line"`   // where a text file stopped making sense; 0 elsewhere
	Notes     []string  `json:"notes"`  // what the reader passed over and says so
	Triangles int       `json:"triangles"`
	Measures  Measures  `json:"measures"`
	Findings  []Finding `json:"findings"`
	Advice    *Advice   `json:"advice,omitempty"`
	// Figures are what a comparison tells of; Was is what the model was before the change,
	// nil where it is new, or the run compared nothing.
	Figures Values  `json:"figures,omitzero"`
	Was     *Former `json:"was,omitempty"`
	// Machines are the verdicts by machine, in the order of the report's; empty where the
	// run knew only one.
	Machines []OnMachine `json:"by_machine,omitzero"`
}

// Finding is a rule that holds at a site.
type Finding struct {
	Rule        string        `json:"rule"`
	Level       Level         `json:"level"`
	Message     string        `json:"message"`
	Says        []string      `json:"says,omitzero"` // the values that the message tells, by name, in its order
	Advice      string        `json:"advice"`        // the rule's own words on what to do
	Line        int           `json:"line"`          // source line in text formats, else 0
	Triangle    int           `json:"triangle"`
	Bytes       *Bytes        `json:"bytes"` // of the triangle in a binary file
	At          [3]float64    `json:"at"`
	Box         [2][3]float64 `json:"box"`
	Values      Values        `json:"values"`
	Limits      Values        `json:"limits"`
	Fingerprint string        `json:"fingerprint"`
	Waived      *Waived       `json:"waived"`
	// Worse says in which value a finding is worse than what was accepted of it, or than it
	// was before, and is empty where it is not.
	Worse string `json:"worse,omitempty"`
	// Change says whether it was there before; empty where the run compared nothing.
	Change Change `json:"change,omitempty"`
	// On are the machines on which it holds, in the order of the report's; empty where it
	// holds on all of them, or the run knew only one.
	On []string `json:"on,omitzero"`
	// WorstOn is the machine whose words and figures these are, where machines differ in what
	// they say of it: the one where it is farthest past its limits.
	WorstOn string `json:"worst_on,omitempty"`

	// Location is where it lies within the model, to know it again. Reports do not carry
	// it: it is no place in the file's frame.
	Location Location `json:"-"`
}

// Location is a place that stays when a model is moved, or turned about z, with what the
// model is known by.
type Location struct {
	Height float64 // mm above the lowest point
	Top    float64 // mm below the highest point
	Radius float64 // mm from the axis through the middle of the surface
	Size   float64 // mm: half the diagonal of the whole site, seen from above

	Tall    float64 // mm: height of the model
	Surface float64 // mm2: area of its surface
	Whole   bool    // the finding is on the model as a whole, not on a place of it
}

// Bytes is a byte range in a file.
type Bytes struct {
	Offset int64 `json:"offset"`
	Length int64 `json:"length"`
}

// WaivedBy is the kind of writing that accepts a finding.
type WaivedBy string

// What a finding can be accepted by.
const (
	ByWaiver   WaivedBy = "waiver"   // a waiver in the configuration
	ByAccepted WaivedBy = "accepted" // a file of accepted findings, as it was found
)

// Waived says what accepts a finding, why, and until when.
type Waived struct {
	Kind   WaivedBy `json:"kind"`
	File   string   `json:"file"` // that it is written in
	Reason string   `json:"reason"`
	Until  string   `json:"until"` // last day it holds, as YYYY-MM-DD, or empty
}

// Advice is the ways up worth trying and the support for the best of them.
type Advice struct {
	Words   string   `json:"words"` // the upshot in one line
	Poses   []Pose   `json:"poses"` // the best first, the model as it lies among them
	Support *Support `json:"support"`
	Cut     *Cut     `json:"cut,omitempty"`    // where turning and support leave errors that a small cut ends
	Split   *Split   `json:"split,omitempty"`  // where all these leave errors that pieces do not have
	Edits   *Edits   `json:"edits,omitempty"`  // where small solids that are added end errors
	Choices []Choice `json:"choices,omitzero"` // all that can be done, the best first, where something is left
}

// Choice is one thing that can be done, with what it costs. All are counted by the formulas of
// the measure print, so that they can be held against each other.
type Choice struct {
	Kind     string   `json:"kind"`            // as-it-lies, turn, flat, pieces or edit
	Words    string   `json:"words,omitempty"` // of a turn: which way
	Support  bool     `json:"support"`
	Errors   int      `json:"errors_left"` // with the support
	Warnings int      `json:"warnings"`    // without it
	Grams    float64  `json:"grams"`       // with support
	Minutes  float64  `json:"minutes"`     // with support
	Rough    float64  `json:"rough_mm2"`   // that support touches or rules warn of
	Seams    int      `json:"seams"`       // cuts to glue
	Work     []string `json:"by_hand"`
}

// Cut is the least to cut off the bottom in one way up, so that the model stands: judged
// by all the rules as it is afterwards.
type Cut struct {
	Words   string  `json:"words"`
	Caution string  `json:"caution"`
	Height  float64 `json:"height_mm"`   // what is cut off, from the bed up
	Area    float64 `json:"area_mm2"`    // what lies flat then
	Volume  float64 `json:"removed_mm3"` // what is lost
	Pose    Pose    `json:"pose"`        // how it is turned before the cut, and what is left after it
}

// Edits are small solids to add or to take away in one way up. Each was tried on the layers of the model and
// ends findings without bringing any; the pose says what all of them together leave.
type Edits struct {
	Words   string `json:"words"`
	Caution string `json:"caution"`
	Pose    Pose   `json:"pose"`
	List    []Edit `json:"list"`
}

// Edit is one of them.
type Edit struct {
	Kind   string     `json:"kind"` // slope, arch, wall, plate, thicker-wall, thicker-pin or fillet, which are added, or drop, which is taken away
	Words  string     `json:"words"`
	Rules  []string   `json:"ends"`      // the rules that find less with it
	At     [3]float64 `json:"at"`        // in the file's own frame
	Volume float64    `json:"added_mm3"` // below zero where it is taken away
	Grams  float64    `json:"grams"`     // as solid plastic, below zero alike

	// Solid are the corners of its triangles, three each, in the way up it is for. It is for
	// pictures alone: reports do not carry it, and it is gone once they are drawn.
	Solid [][3]float32 `json:"-"`
	// Away are the planes that what is taken away lies within, each a normal and an offset, for
	// pictures too.
	Away [][4]float64 `json:"-"`
}

// Split is how to cut a model in pieces that leave fewer errors, each judged by all the rules.
type Split struct {
	Words   string  `json:"words"`
	Caution string  `json:"caution"`
	Planes  []Plane `json:"planes"` // to be cut along one after the other
	Pieces  []Piece `json:"pieces"`
	Pins    *Pins   `json:"pins,omitempty"` // where they were asked for
}

// Pins are round pins that hold the pieces together while the glue sets. Each has a hole in both
// faces of a cut; where there are none, the words say why.
type Pins struct {
	Words string    `json:"words"`
	Holes []PinHole `json:"holes"`
}

// PinHole is where one pin goes: its hole in both faces of the cut.
type PinHole struct {
	Plane  int        `json:"plane"`    // which of the planes, counted from 0
	At     [3]float64 `json:"at"`       // its middle in the cut, in the file's own frame
	Width  float64    `json:"width_mm"` // from flat to flat
	Depth  float64    `json:"depth_mm"` // in each piece
	Pin    float64    `json:"pin_mm"`   // how thick the pin is
	Length float64    `json:"length_mm"`
}

// Plane is where the sum of its normal times a place is the offset, in the file's own frame.
type Plane struct {
	Normal [3]float64 `json:"normal"` // unit vector
	Offset float64    `json:"offset_mm"`
	Area   float64    `json:"area_mm2"` // that both pieces have there, which is glued
}

// Piece is one piece of a model that is cut. Its pose is counted from the file's own frame.
type Piece struct {
	Volume float64    `json:"volume_mm3"`
	Size   [3]float64 `json:"size_mm"` // as it is laid
	OnCut  bool       `json:"on_cut"`  // it is laid on the cut
	Pose   Pose       `json:"pose"`
}

// Pose is one way up and what it would leave.
type Pose struct {
	Down     [3]float64    `json:"down"`   // unit vector of the file's frame that points at the bed
	Matrix   [9]float64    `json:"matrix"` // rotation, row by row
	Words    string        `json:"words"`
	Costs    []string      `json:"costs"` // what this way up gives away, in words
	Findings LevelCount    `json:"findings"`
	Left     []RuleCount   `json:"left"` // which rules still find something, by level, then by name
	Base     float64       `json:"base_mm2"`
	Height   float64       `json:"height_mm"`
	Tip      float64       `json:"tip_deg"`
	Overhang float64       `json:"overhang_mm2"`
	Grams    float64       `json:"grams"`
	Minutes  float64       `json:"minutes"`
	Support  *SupportTotal `json:"support"`
}

// LevelCount counts findings by level.
type LevelCount struct {
	Error   int `json:"error"`
	Warning int `json:"warning"`
	Note    int `json:"note"`
}

// RuleCount counts the findings of one rule.
type RuleCount struct {
	Rule  string `json:"rule"`
	Level Level  `json:"level"`
	Count int    `json:"count"`
	Cured bool   `json:"cured_by_support,omitempty"` // all of them, by the support that is planned
}

// SupportTotal is what support would cost in one pose. All of it is estimated.
type SupportTotal struct {
	Volume  float64 `json:"volume_mm3"`
	Contact float64 `json:"contact_mm2"`
	Grams   float64 `json:"grams"`
	Minutes float64 `json:"minutes"`
	Cost    float64 `json:"cost"` // 0 when the process does not say what plastic costs
}

// Support is the plan for one pose.
type Support struct {
	Down [3]float64 `json:"down"` // of the pose it is for, the first
	Kind string     `json:"kind"` // grid, tree or mixed
	SupportTotal
	Sites []SupportSite `json:"sites"`
}

// SupportSite is one place that support must carry.
type SupportSite struct {
	At      [3]float64 `json:"at"`       // in the file's own frame
	Area    float64    `json:"area_mm2"` // to be carried, seen from above
	Drop    float64    `json:"drop_mm"`  // mean free height below
	Kind    string     `json:"kind"`     // grid or tree
	Why     string     `json:"why"`
	Stands  string     `json:"stands"` // bed or model
	Volume  float64    `json:"volume_mm3"`
	Contact float64    `json:"contact_mm2"`
	Grams   float64    `json:"grams"`
	Minutes float64    `json:"minutes"`
	Risk    string     `json:"risk"`  // thin pieces that may break with it, or empty
	Reach   string     `json:"reach"` // whether a tool reaches it, in words
}

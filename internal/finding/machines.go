package finding

import "slices"

// Machine is one printer of the shelf that the models are judged for.
type Machine struct {
	Name     string     `json:"name"`
	File     string     `json:"file"` // that describes it
	Material string     `json:"material"`
	Nozzle   float64    `json:"nozzle_mm"`
	Line     float64    `json:"line_mm"`
	Layer    float64    `json:"layer_mm"`
	Bed      [3]float64 `json:"bed_mm"`
}

// FailWhere says on which machines a model must fail for the gate to close.
type FailWhere struct {
	// Policy is any, all or named.
	Policy Policy `json:"policy"`
	// Names are the machines that count, where they are named.
	Names []string `json:"names,omitzero"`
}

// Policy is how the verdicts of several machines make one.
type Policy string

// The policies of a shelf of machines.
const (
	FailOnAny   Policy = "any"   // the gate closes on a model that fails on one machine or more
	FailOnEvery Policy = "all"   // only on a model that fails on every machine
	FailOnNamed Policy = "named" // on a model that fails on one of those named
)

// OnMachine is what one machine makes of a model.
type OnMachine struct {
	Machine  string     `json:"machine"`
	Findings LevelCount `json:"findings"` // that count on it
	// Undecided is why the model could not be judged for it; empty where it was.
	Undecided string `json:"undecided,omitempty"`
	// Words say in one line what is worst there; empty where nothing is wrong.
	Words  string  `json:"words,omitempty"`
	Advice *Advice `json:"advice,omitempty"`
}

// HoldsOn says whether a finding holds on a machine.
func (f *Finding) HoldsOn(machine string) bool {
	return len(f.On) == 0 || slices.Contains(f.On, machine)
}

// Counts says whether the verdict of a machine counts for the gate.
func (w *FailWhere) Counts(machine string) bool {
	return w == nil || w.Policy != FailOnNamed || slices.Contains(w.Names, machine)
}

// CountMachines counts anew what counts on each machine: after findings were accepted.
func (m *Model) CountMachines() {
	for i := range m.Machines {
		on := &m.Machines[i]
		on.Findings = LevelCount{}
		for k := range m.Findings {
			if f := &m.Findings[k]; f.Counts() && f.HoldsOn(on.Machine) {
				on.Findings.Add(f.Level)
			}
		}
		if on.Findings.Error+on.Findings.Warning == 0 {
			on.Words = ""
		}
	}
}

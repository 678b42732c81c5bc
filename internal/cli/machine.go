package cli

import (
	"errors"
	"fmt"
	"slices"
	"strings"

	"github.com/spf13/pflag"

	"printlint/internal/ruleset"
)

// allMachines is the word that stands for all of them.
const allMachines = "all"

// errNoMachines is the complaint where a machine is asked for and none is named.
var errNoMachines = &hinted{errors.New("--machine chooses from the machines of the configuration, and it names none"),
	"write a file for each printer, and in .printlint.yml: machines: [machines/*.yml]"}

// machineFlag adds the flag that chooses machines of the configuration.
func machineFlag(flags *pflag.FlagSet) *[]string {
	return flags.StringArray("machine", nil, "go by the machine `NAME` of those in the configuration; may be repeated where several can be told of, and all is every one")
}

// chosenMachines are the machines with those names, in the order of the configuration; all
// of them where none is named.
func chosenMachines(config *ruleset.Config, names []string) ([]*ruleset.Machine, error) {
	if len(config.Machines) == 0 && len(names) > 0 {
		return nil, errNoMachines
	}
	if len(names) == 0 || slices.Contains(names, allMachines) {
		return config.Machines, nil
	}
	known := config.MachineNames()
	for _, name := range names {
		if !slices.Contains(known, name) {
			return nil, unknown("machine", name, known, "printlint rules")
		}
	}
	return slices.DeleteFunc(slices.Clone(config.Machines), func(m *ruleset.Machine) bool { return !slices.Contains(names, m.Name) }), nil
}

// machineHint says, under the limits of no machine in particular, how to see those of one.
func machineHint(command string, names []string) string {
	return fmt.Sprintf("\nprinters differ in their limits, and these are of none of them; for one:\n  printlint %s --machine NAME  (%s)\n", command, strings.Join(names, ", "))
}

// forMachine is the configuration as it holds for one machine; as it is where none is named.
func forMachine(config *ruleset.Config, names []string) (*ruleset.Config, error) {
	if len(names) == 0 {
		return config, nil
	}
	list, err := chosenMachines(config, names)
	if err != nil {
		return nil, err
	}
	if len(list) > 1 {
		return nil, &hinted{errors.New("--machine names several, and only one goes at a time"), "printlint rules lists them"}
	}
	return list[0].Config, nil
}

// oneMachine is forMachine for what can be done for one machine only: that which is named, or
// the only one that there is; why says what cannot be for several.
func oneMachine(config *ruleset.Config, names []string, why string) (*ruleset.Config, error) {
	if known := config.MachineNames(); len(names) == 0 {
		switch len(known) {
		case 0:
		case 1:
			names = known
		default:
			return nil, &hinted{errors.New(why), "name it, as in --machine " + known[0]}
		}
	}
	return forMachine(config, names)
}

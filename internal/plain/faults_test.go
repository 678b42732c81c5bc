package plain

// What the program is known to judge wrong, by solid. A line goes when the fault does: a
// solid of the list that is judged right fails the test.
const (
	laterEnd = "lines are held by an end that does not exist yet when they are laid"
	steps    = "the lean of a tread is taken, not run over rise across layers"
	ridge    = "a line laid in the air is spared for the slope of the sides above it"
	pastWall = "turned about the vertical, a lip beside the end of a wall is bridged past that wall, 72 mm instead of 44"
	running  = "a slope of 50 to 68 deg that runs more than 8 mm is a warning"
)

var knownFaults = map[string]string{
	"arm leaning 60 by 20":              running,
	"stairs 0.2 by 0.2":                 steps,
	"stairs 0.4 by 0.4":                 steps,
	"wall that steps out 0.1 every 0.6": steps,
	"vase of rings":                     steps,
	"vase of rings, 60 deg":             steps,
	"keel of 30 deg":                    ridge,
	"keel of 40 deg turned":             ridge,
	"keel of 45 deg":                    ridge,
	"brace rising 15 over 9":            laterEnd,
	"brace rising 20 over 60":           laterEnd,
	"brace rising 20 over 60 turned":    laterEnd,
	"two arms, one 0.4 higher":          laterEnd,
	"ceiling tilted 5 between walls":    laterEnd,
	"ceiling tilted 15 between walls":   laterEnd,
	"roof 2.8 past three walls turned":  pastWall,
	"brace 0":                           laterEnd,
	"brace 4":                           laterEnd,
	"vase 0":                            running,
}

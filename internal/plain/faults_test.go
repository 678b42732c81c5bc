package plain

// What the program is known to judge wrong, by solid. A line goes when the fault does: a
// solid of the list that is judged right fails the test.
const (
	laterEnd = "a brace is held by an end that does not exist yet when it is laid"
	steps    = "the lean of a tread is taken, not run over rise across layers"
)

var knownFaults = map[string]string{
	"stairs 0.2 by 0.2":                 steps,
	"stairs 0.4 by 0.4":                 steps,
	"wall that steps out 0.1 every 0.6": steps,
	"vase of rings":                     steps,
	"vase of rings, 60 deg":             steps,
	"brace 4":                           laterEnd,
}

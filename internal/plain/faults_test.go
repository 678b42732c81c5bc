package plain

// What the program is known to judge wrong, by solid. A line goes when the fault does: a
// solid of the list that is judged right fails the test.
const laterEnd = "a brace is held by an end that does not exist yet when it is laid"

var knownFaults = map[string]string{
	"brace 4": laterEnd,
}

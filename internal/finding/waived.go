package finding

import "strings"

// AcceptedIn begins the reason of a finding that was accepted as it was found, by a file
// of accepted findings; the name of the file follows. Waivers have reasons of their own.
const AcceptedIn = "accepted as it was found, in "

// AsFound says that the finding was accepted as it was found, and not by a waiver.
func (w *Waived) AsFound() bool { return w != nil && strings.HasPrefix(w.Reason, AcceptedIn) }

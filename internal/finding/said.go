package finding

import "strings"

// KindConfig is the kind of an entry that stands for a configuration file: what is wrong
// with its waivers is found there, and notes say which rules hold. It is no model and
// not counted as one.
const KindConfig = "configuration"

// AcceptedIn begins the reason of a finding that was accepted as it was found, by a file
// of accepted findings; the name of the file follows. Waivers have reasons of their own.
const AcceptedIn = "accepted as it was found, in "

// AsFound says that the finding was accepted as it was found, and not by a waiver.
func (w *Waived) AsFound() bool { return w != nil && strings.HasPrefix(w.Reason, AcceptedIn) }

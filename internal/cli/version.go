package cli

import (
	"runtime/debug"
	"sync"
)

// release is the version that people write; a build of a revision says which one.
const release = "0.1.0"

// Version is the version of the program, as reports carry it: the release, and behind a
// plus sign the revision it was built from, as Semantic Versioning 2.0.0 (section 10)
// writes it. A build from a work tree with changes says so.
var Version = sync.OnceValue(func() string {
	info, _ := debug.ReadBuildInfo()
	return versionOf(info)
})

func versionOf(info *debug.BuildInfo) string {
	revision, changed := "", ""
	if info != nil {
		for _, s := range info.Settings {
			switch {
			case s.Key == "vcs.revision":
				revision = s.Value
			case s.Key == "vcs.modified" && s.Value == "true":
				changed = ".changed"
			}
		}
	}
	if revision == "" {
		return release // built without its repository
	}
	return release + "+" + revision[:min(len(revision), 12)] + changed
}

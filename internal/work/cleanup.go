package work

import (
	"slices"
	"sync"
)

var leftovers struct {
	mutex sync.Mutex
	list  []*func()
}

// AtExit registers what must be done before the process ends, even where a signal ends
// it: to remove what was made for a while. The function returned does it at once and
// takes it off the list; either way it is done once. Whoever makes temporary files defers
// that function.
func AtExit(undo func()) (now func()) {
	undo = sync.OnceFunc(undo)
	entry := &undo
	leftovers.mutex.Lock()
	defer leftovers.mutex.Unlock()
	leftovers.list = append(leftovers.list, entry)
	return func() {
		undo()
		leftovers.mutex.Lock()
		defer leftovers.mutex.Unlock()
		leftovers.list = slices.DeleteFunc(leftovers.list, func(e *func()) bool { return e == entry })
	}
}

// CleanUp does everything that is registered, the newest first, before the process ends.
func CleanUp() {
	leftovers.mutex.Lock()
	list := slices.Clone(leftovers.list)
	leftovers.list = nil
	leftovers.mutex.Unlock()
	for _, undo := range slices.Backward(list) {
		(*undo)()
	}
}

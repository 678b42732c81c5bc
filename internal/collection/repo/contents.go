package repo

import (
	"runtime"
	"slices"
	"sync"
)

// How much is read by one command ahead of being asked for, and how much waits in all. A
// command takes some milliseconds to start, which is far longer than reading a small file.
const (
	aheadFiles = 64
	aheadBytes = 1 << 20
	mostAhead  = 8 << 20
)

// Contents reads what many entries of one repository hold, as Blob does, but small ones many at
// a time, in the order of the list. It may be asked from several workers at once.
type Contents struct {
	repo *Repo
	lock sync.Mutex
	list []IndexEntry
	at   map[string]int    // where in the list a path is
	read map[string][]byte // by path: read ahead and not asked for yet
	held int               // bytes in read
}

// Contents of entries that are likely to be asked for in their order.
func (r *Repo) Contents(list []IndexEntry) *Contents {
	c := &Contents{repo: r, list: list, at: make(map[string]int, len(list)), read: map[string][]byte{}}
	for i := range list {
		c.at[list[i].Path] = i
	}
	return c
}

// Of returns the content of an entry as a checkout would write it.
func (c *Contents) Of(e IndexEntry) ([]byte, error) {
	if text, ok := c.ahead(e); ok {
		return text, nil
	}
	return c.repo.Blob(e)
}

// ahead takes what was read ahead, or reads on from the entry. What Blob must look at closer is
// not read.
func (c *Contents) ahead(e IndexEntry) ([]byte, bool) {
	c.lock.Lock()
	defer c.lock.Unlock()
	i, listed := c.at[e.Path]
	if !listed || c.list[i].Hash != e.Hash {
		return nil, false
	}
	if _, there := c.read[e.Path]; !there {
		if next := c.next(i); len(next) > 1 {
			c.fetch(next)
		}
	}
	text, there := c.read[e.Path]
	delete(c.read, e.Path)
	c.held -= len(text)
	return text, there
}

// next lists the small entries from one on that were not read ahead.
func (c *Contents) next(from int) (next []IndexEntry) {
	sum := int64(0)
	for i := from; i < len(c.list) && i < from+aheadFiles; i++ {
		e := c.list[i]
		if _, there := c.read[e.Path]; there || e.Kind != Plain {
			continue
		}
		if sum += e.Size; sum > aheadBytes || int64(c.held)+sum > mostAhead {
			break
		}
		next = append(next, e)
	}
	return next
}

// fetch reads entries; what cannot be read this way is left to Blob, which says why.
func (c *Contents) fetch(list []IndexEntry) {
	s, err := c.repo.open(short)
	if err != nil {
		return
	}
	defer s.close()
	if list = s.untouched(list); len(list) == 0 {
		return
	}
	hashes := make([]string, len(list))
	for i := range list {
		hashes[i] = list[i].Hash
	}
	i := 0
	// An error has its cause in one of the files, and is told of when that one is asked for.
	_ = s.texts(hashes, func(text []byte, there bool) {
		e := list[i]
		i++
		if _, large := pointerOf(text); there && !large {
			c.read[e.Path] = slices.Clone(text)
			c.held += len(text)
		}
	})
}

// untouched keeps the entries that a checkout writes as the repository keeps them. Line ends
// change where eol is said, and by the settings.
func (s *session) untouched(list []IndexEntry) (plain []IndexEntry) {
	if s.settings.lineEnds || runtime.GOOS == "windows" {
		return nil
	}
	paths := make([]string, len(list))
	for i := range list {
		paths[i] = list[i].Path
	}
	values, err := s.attributes(ended(paths), false)
	if err != nil || len(values) != len(list) {
		return nil
	}
	for i, e := range list {
		same := true
		for k, name := range changing {
			v := values[i][k]
			switch name {
			case "text":
			case "filter":
				same = same && !slices.Contains(s.settings.filters, v)
			default:
				same = same && (v == "unspecified" || v == "unset")
			}
		}
		if same {
			plain = append(plain, e)
		}
	}
	return plain
}

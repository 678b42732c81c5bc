package collection

import (
	"bytes"
	"fmt"
	"io"
	"os"
	"path"
	"slices"
	"strings"
	"sync"

	"printlint/internal/meshfile"
	"printlint/internal/pack"
)

// Inside marks where a path enters a container: pack.zip!/models/clip.stl.
const Inside = "!/"

// Origins finds files again by the paths of the models in them.
type Origins map[string]string

// OriginsOf notes the files of a run.
func OriginsOf(files []File) Origins {
	o := make(Origins, len(files))
	for i := range files {
		o[files[i].Path] = files[i].Rules
	}
	return o
}

// Of returns the path of the file that a model is or lies in, and the path that rules for
// the model are written against. A file's own path may hold the mark too: it may be an
// entry of a pack.
func (o Origins) Of(model string) (file, rules string) {
	for at := len(model); at >= 0; at = strings.LastIndex(model[:at], Inside) {
		if r, ok := o[model[:at]]; ok {
			return model[:at], r + model[at:]
		}
	}
	return model, model
}

// Unpack puts the models inside zip packs in the place of the packs, sorted by path. What
// Include says of a pack holds for all models in it; exclude is asked about each of them.
// A pack that cannot be opened stays, as a file that says why.
func Unpack(files []File, exclude []string) []File {
	u := &unpacker{globs: globs{exclude: exclude}, inner: maxInner}
	var out []File
	for i := range files {
		f := &files[i]
		if f.Skip != "" || !isPack(f.Path) {
			out = append(out, *f)
			continue
		}
		u.left = pack.Standard
		out = append(out, u.unpack(f, 1)...)
	}
	slices.SortStableFunc(out, func(a, b File) int { return strings.Compare(a.Path, b.Path) })
	// A name that a pack holds twice is wrong twice, and one that was named twice the same.
	return slices.CompactFunc(out, func(a, b File) bool { return a.Path == b.Path })
}

// maxInner is the largest pack inside a pack. It is unpacked into memory to be listed,
// before anything plans what may be in memory at once.
const maxInner = 256 << 20

// enters splits a path as reports write it where it enters a file that is there.
func enters(arg string) (outer, inner string, ok bool) {
	for from := 0; ; {
		at := strings.Index(arg[from:], Inside)
		if at < 0 {
			return "", "", false
		}
		from += at
		if info, err := os.Stat(arg[:from]); err == nil && !info.IsDir() {
			return arg[:from], arg[from+len(Inside):], true
		}
		from += len(Inside)
	}
}

// addInside takes what was named inside a pack: a model, or a folder. What is named inside
// another container means all of that.
func (f *finder) addInside(outer, inner string) error {
	if !isPack(outer) {
		return f.add(outer)
	}
	whole := finder{globs: f.globs, cwd: f.cwd, base: f.base}
	if err := whole.add(outer); err != nil {
		return err
	}
	wanted := whole.files[0].Path + Inside + strings.TrimSuffix(inner, "/")
	found := false
	for _, file := range Unpack(whole.files, f.exclude) {
		rest, ok := strings.CutPrefix(file.Path, wanted)
		above := strings.HasPrefix(wanted, file.Path+Inside) // a container in the pack, or a pack that says why not
		if above || ok && (rest == "" || rest[0] == '/' || strings.HasPrefix(rest, Inside)) {
			file.real = whole.files[0].real
			f.files = append(f.files, file)
			found = true
		}
	}
	if !found {
		return fmt.Errorf("%s has no model %s", outer, inner)
	}
	return nil
}

func isPack(name string) bool { return strings.EqualFold(path.Ext(name), ".zip") }

// unpacker lists what is in packs.
type unpacker struct {
	globs
	left  pack.Limits // what the outermost pack may still ask for
	inner int64       // the most bytes of a pack inside a pack
}

// unpack lists the models in one pack.
func (u *unpacker) unpack(f *File, depth int) []File {
	s := &shared{open: f.open}
	done, err := s.acquire()
	if err != nil {
		return []File{broken(f.Path, f.Rules, err)}
	}
	defer done()
	// What is no archive is read like any other file, which then says what it is.
	head := make([]byte, 4)
	if _, err := s.ReadAt(head, 0); err != nil || !pack.IsZip(head) {
		return []File{*f}
	}
	if depth > u.left.Depth {
		return []File{broken(f.Path, f.Rules, &pack.Error{
			Problem: fmt.Sprintf("packs inside one another, more than %d deep", u.left.Depth), Cure: "unpack the inner one"})}
	}
	archive, err := pack.Open(s, s.content.Size(), u.left)
	if err != nil {
		return []File{broken(f.Path, f.Rules, err)}
	}
	u.left.Entries -= len(archive.Entries)
	for i := range archive.Entries {
		u.left.Total -= archive.Entries[i].Size
	}
	var out []File
	for i := range archive.Entries {
		out = append(out, u.entry(f, s, &archive.Entries[i], depth)...)
	}
	if len(out) == 0 {
		none := *f
		none.Skip = "there is no model in this pack"
		return []File{none}
	}
	return out
}

// entry lists one entry of a pack: a model, or a pack of its own.
func (u *unpacker) entry(f *File, s *shared, e *pack.Entry, depth int) []File {
	in := New(f.Path+Inside+e.Name, f.Rules+Inside+e.Name, e.Size, nil)
	model := meshfile.Known(e.Name) || isPack(e.Name)
	switch {
	case e.Unsafe:
		return []File{broken(in.Path, in.Rules, e.Err)}
	case !model || u.excluded(in.Rules):
		return nil
	case strings.HasPrefix(path.Base(e.Name), "._"):
		in.Skip = "a file beside a model with what one system knows about it, no model"
		return []File{in}
	case e.Err != nil:
		return []File{broken(in.Path, in.Rules, e.Err)}
	}
	in.open = func() (Content, error) { return s.entry(e) }
	if isPack(e.Name) {
		if e.Size > u.inner {
			return []File{broken(in.Path, in.Rules, &pack.Error{
				Problem: fmt.Sprintf("a pack of more than %d MB inside a pack", u.inner>>20), Cure: "unpack the outer one"})}
		}
		return u.unpack(&in, depth+1)
	}
	return []File{in}
}

// shared is a pack that is open while someone reads from it, so that hundreds of packs
// do not all stay open and a pack is not opened for each of its models.
type shared struct {
	open    func() (Content, error)
	mutex   sync.Mutex
	users   int
	content Content
}

// acquire opens the pack if need be; done must be called at the end.
func (s *shared) acquire() (done func(), err error) {
	s.mutex.Lock()
	defer s.mutex.Unlock()
	if s.users == 0 {
		if s.content, err = s.open(); err != nil {
			return nil, err
		}
	}
	s.users++
	return func() {
		s.mutex.Lock()
		defer s.mutex.Unlock()
		if s.users--; s.users == 0 {
			s.content.Close()
			s.content = nil
		}
	}, nil
}

// ReadAt reads from the pack, which must have been acquired.
func (s *shared) ReadAt(p []byte, offset int64) (int, error) { return s.content.ReadAt(p, offset) }

// entry returns the content of an entry: where it lies, or unpacked into memory.
func (s *shared) entry(e *pack.Entry) (Content, error) {
	done, err := s.acquire()
	if err != nil {
		return nil, err
	}
	if r, ok := e.Stored(s); ok {
		return &inner{r, done}, nil
	}
	defer done()
	data, err := e.Bytes()
	if err != nil {
		return nil, err
	}
	return &inner{bytes.NewReader(data), func() {}}, nil
}

// inner is the content of an entry.
type inner struct {
	sized
	done func()
}

type sized interface {
	io.ReaderAt
	Size() int64
}

// Close lets the pack go.
func (i *inner) Close() error {
	i.done()
	return nil
}

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
	"printlint/internal/pathname"
)

// Inside marks where a path enters a container: pack.zip!/models/clip.stl.
const Inside = pathname.Inside

// Origins finds files again by the paths of the models in them.
type Origins map[string]string

// OriginsOf notes the files of a run, and their folders.
func OriginsOf(files []File) Origins {
	o := make(Origins, len(files))
	for i := range files {
		if own := FolderOf(files[i].Path); o[own] == "" {
			o[own] = FolderOf(files[i].Rules)
		}
	}
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

// Unpack puts the models inside packs in the place of the packs, sorted by path. What
// Include says of a pack holds for all models in it; exclude is asked about each of them.
// A pack that cannot be opened stays, as a file that says why.
func Unpack(files []File, exclude []string) []File { return newUnpacker(exclude).all(files) }

// maxInner is how many bytes of packs may be unpacked into memory: packs inside packs and
// tar archives packed with gzip. They stay there while the run lasts, since unpacking one
// anew for each of its models would take a hostile one for ever; and it happens before
// anything plans what may be in memory at once.
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
	whole := finder{globs: f.globs, cwd: f.cwd, base: f.base, realBase: f.realBase}
	if err := whole.add(outer); err != nil {
		return err
	}
	wanted := whole.files[0].Path + Inside + strings.TrimSuffix(inner, "/")
	found := false
	for _, file := range Unpack(whole.files, f.exclude) {
		rest, ok := strings.CutPrefix(file.Path, wanted)
		above := strings.HasPrefix(wanted, file.Path+Inside) // a container in the pack, or a pack that says why not
		if above || ok && (rest == "" || rest[0] == '/' || strings.HasPrefix(rest, Inside)) {
			file.real, file.through = whole.files[0].real, whole.files[0].through
			file.inner, file.named = strings.TrimPrefix(file.Path, whole.files[0].Path), true
			f.files = append(f.files, file)
			found = true
		}
	}
	if !found {
		return fmt.Errorf("%s has no model %s", outer, inner)
	}
	return nil
}

// isPack tells a pack by its name: zip and tar archives, those packed with gzip, and a
// model packed with gzip.
func isPack(name string) bool {
	ext := path.Ext(name)
	switch strings.ToLower(ext) {
	case ".zip", ".tar", ".tgz":
		return true
	case ".gz":
		name = name[:len(name)-len(ext)]
		return strings.EqualFold(path.Ext(name), ".tar") || meshfile.Known(name)
	}
	return false
}

// unpacker lists what is in packs.
type unpacker struct {
	globs
	left  pack.Limits // what the outermost pack may still ask for
	inner int64       // how many more bytes may be unpacked into memory, of room
	room  int64
	count extensionCount // of what looks like a model and is not read
}

func newUnpacker(exclude []string) *unpacker {
	return &unpacker{globs: globs{exclude: exclude}, inner: maxInner, room: maxInner, count: extensionCount{}}
}

// all lists the models of files and packs.
func (u *unpacker) all(files []File) []File {
	var out []File
	for i := range files {
		f := files[i]
		switch {
		case f.Skip != "":
			out = append(out, f)
		case isPack(f.Path):
			u.left = pack.Standard
			for _, in := range u.unpack(&f, 1) {
				in.outer, in.named, in.native = f.Path, f.named, f.native
				in.Notes = append(slices.Clone(f.Notes), in.Notes...)
				out = append(out, in)
			}
		default:
			out = append(out, aside(f))
		}
	}
	sortByPath(out)
	// One that was named twice is listed twice.
	return slices.CompactFunc(out, func(a, b File) bool { return a.Path == b.Path })
}

// unpack lists the models in one pack.
func (u *unpacker) unpack(f *File, depth int) []File {
	s := &shared{open: f.open}
	done, err := s.acquire()
	if err != nil {
		return []File{broken(f.Path, f.Rules, err)}
	}
	defer done()
	head := make([]byte, min(pack.TarHead, s.content.Size()))
	if _, err := s.ReadAt(head, 0); err != nil && err != io.EOF {
		return []File{broken(f.Path, f.Rules, err)}
	}
	ext := strings.ToLower(path.Ext(f.Path))
	switch {
	case ext == ".zip" && pack.IsZip(head):
		return u.list(f, s, pack.Open, depth)
	case ext == ".tar" && pack.IsTar(head):
		return u.list(f, s, pack.OpenTar, depth)
	case (ext == ".gz" || ext == ".tgz") && pack.IsGzip(head):
		return u.gunzip(f, s, depth)
	}
	// What is no archive is read like any other file, which then says what it is.
	return []File{*f}
}

// list lists the models in one archive.
func (u *unpacker) list(f *File, s *shared, open func(io.ReaderAt, int64, pack.Limits) (*pack.Archive, error), depth int) []File {
	if depth > u.left.Depth {
		return []File{broken(f.Path, f.Rules, &pack.Error{
			Problem: fmt.Sprintf("packs inside one another, more than %d deep", u.left.Depth), Cure: "unpack the inner one"})}
	}
	archive, err := open(s, s.content.Size(), u.left)
	if err != nil {
		return []File{broken(f.Path, f.Rules, err)}
	}
	u.left.Entries -= len(archive.Entries)
	for i := range archive.Entries {
		u.left.Total -= archive.Entries[i].Size
	}
	folders := map[string][]string{}
	for i := range archive.Entries {
		dir, name := path.Split(archive.Entries[i].Name)
		folders[dir] = append(folders[dir], name)
	}
	var out []File
	for i := range archive.Entries {
		e := &archive.Entries[i]
		dir, _ := path.Split(e.Name)
		out = append(out, u.entry(f, s, e, folders[dir], depth)...)
	}
	if len(out) == 0 {
		const none = "there is no model in this pack"
		if f.named {
			return []File{broken(f.Path, f.Rules, &pack.Error{Problem: none, Cure: "name one that holds models, or leave it out"})}
		}
		empty := *f
		empty.Skip = none
		return []File{empty}
	}
	return out
}

// gunzip lists the model that is packed with gzip, or those in the tar archive that is.
func (u *unpacker) gunzip(f *File, s *shared, depth int) []File {
	limits := u.left
	limits.Size = min(limits.Size, limits.Total)
	size, err := pack.GzipSize(s, s.content.Size(), limits)
	if err != nil {
		return []File{broken(f.Path, f.Rules, err)}
	}
	open := func() (Content, error) {
		done, err := s.acquire()
		if err != nil {
			return nil, err
		}
		defer done()
		data, err := pack.Gunzip(s, s.content.Size(), size)
		if err != nil {
			return nil, err
		}
		return inMemory{bytes.NewReader(data)}, nil
	}
	name := path.Base(f.Path)
	name = name[:len(name)-len(path.Ext(name))]
	if strings.EqualFold(path.Ext(f.Path), ".gz") && meshfile.Known(name) {
		u.left.Total -= size
		return []File{aside(New(f.Path+Inside+name, f.Rules+Inside+name, size, open))}
	}
	tar := *f
	if tar.open, err = u.keep(size, open); err != nil {
		return []File{broken(f.Path, f.Rules, err)}
	}
	inside := &shared{open: tar.open}
	release, err := inside.acquire()
	if err != nil {
		return []File{broken(f.Path, f.Rules, err)}
	}
	defer release()
	return u.list(&tar, inside, pack.OpenTar, depth)
}

// keep makes content that is unpacked once and stays in memory, as long as there is room
// for it.
func (u *unpacker) keep(size int64, open func() (Content, error)) (func() (Content, error), error) {
	if size > u.inner {
		return nil, &pack.Error{Cure: "unpack it and check what is in it",
			Problem: fmt.Sprintf("the packs inside packs and the packed tar archives of this run unpack to more than %d MB", u.room>>20)}
	}
	u.inner -= size
	return sync.OnceValues(open), nil
}

// entry lists one entry of a pack, with the names in its folder: a model, or a pack of its own.
func (u *unpacker) entry(f *File, s *shared, e *pack.Entry, folder []string, depth int) []File {
	in := New(f.Path+Inside+e.Name, f.Rules+Inside+e.Name, e.Size, nil)
	in.folder = func() []string { return folder }
	model := meshfile.Known(e.Name) || isPack(e.Name)
	switch {
	case e.Unsafe:
		return []File{broken(in.Path, in.Rules, e.Err)}
	case u.excluded(in.Rules):
		return nil
	case !model:
		if looksUnread(e.Name) != "" {
			u.count.add(e.Name)
		}
		return nil
	case e.Err != nil:
		return []File{broken(in.Path, in.Rules, e.Err)}
	}
	in.open = func() (Content, error) { return s.entry(e) }
	if !isPack(e.Name) {
		return []File{aside(in)}
	}
	if _, stored := e.Stored(s); !stored {
		open, err := u.keep(e.Size, in.open)
		if err != nil {
			return []File{broken(in.Path, in.Rules, err)}
		}
		in.open = open
	}
	return u.unpack(&in, depth+1)
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

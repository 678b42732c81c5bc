package cli

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"os"
	"slices"
	"strings"

	"printlint/internal/collection"
)

const (
	// stdinMark stands for standard input in place of a name.
	stdinMark = "-"
	// stdinName is what a model from there is called, by reports and by the globs of places.
	stdinName = "stdin"
	// stdinMost is more than any model that a desk machine can judge, in bytes.
	stdinMost = 1 << 30
)

// modelOnStdin is the model on standard input, where paths ask for it; nil where they do not.
func modelOnStdin(env Env, paths []string) (*collection.File, error) {
	switch {
	case !slices.Contains(paths, stdinMark):
		return nil, nil
	case len(paths) > 1:
		return nil, errors.New("- is a model on standard input; name nothing beside it")
	}
	data, err := env.readAll(stdinMost)
	if err == nil && len(data) == 0 {
		err = errors.New("it is empty")
	}
	if err != nil {
		return nil, fmt.Errorf("no model can be read from standard input: %w", err)
	}
	file := fileInMemory(stdinName, stdinName, data)
	return &file, nil
}

// readAll reads standard input.
func (e Env) readAll(most int64) ([]byte, error) {
	return readMost(e.Stdin, most, fmt.Sprintf("it holds more than %d MiB; save it as a file", most>>20))
}

// readMost reads at most so many bytes; more are an error.
func readMost(r io.Reader, most int64, tooMany string) ([]byte, error) {
	data, err := io.ReadAll(io.LimitReader(r, most+1))
	if err == nil && int64(len(data)) > most {
		err = errors.New(tooMany)
	}
	return data, err
}

// namesFrom reads names of files and folders, one a line, or each ended by a zero byte.
func namesFrom(env Env, list string) (names []string, err error) {
	var data []byte
	if list == stdinMark {
		data, err = env.readAll(textMost)
	} else {
		data, err = os.ReadFile(list)
	}
	if err != nil {
		return nil, fmt.Errorf("--files-from %s: %w", list, plainly(err))
	}
	data = bytes.TrimPrefix(data, []byte("\ufeff")) // some editors write a mark of the encoding first
	end := "\n"
	if bytes.IndexByte(data, 0) >= 0 {
		end = "\x00"
	}
	for _, name := range strings.Split(string(data), end) {
		if end == "\n" {
			name = strings.TrimSuffix(name, "\r")
		}
		if name != "" {
			names = append(names, name)
		}
	}
	if len(names) == 0 {
		return nil, fmt.Errorf("--files-from %s: no name stands there, so there is nothing to check", list)
	}
	return names, nil
}

// sources are the paths that a check is about, and the model on standard input, if that is
// what it is about.
func (f *checkFlags) sources(env Env, args []string) (paths []string, piped *collection.File, err error) {
	switch {
	case *f.filesFrom != "" && len(args) > 0:
		return nil, nil, errors.New("--files-from names what to check; name nothing beside it")
	case *f.filesFrom != "":
		paths, err = namesFrom(env, *f.filesFrom)
		return paths, nil, err
	case len(args) == 0:
		return []string{"."}, nil, nil
	}
	if slices.Contains(args, stdinMark) && (*f.accept != "" || *f.gate.staged || *f.gate.changed != "" || *f.shard != "") {
		return nil, nil, errors.New("- is a model on standard input; it goes with none of --accept, --staged, --changed and --shard")
	}
	if piped, err = modelOnStdin(env, args); piped == nil || err != nil {
		return args, nil, err
	}
	return []string{"."}, piped, nil
}

package cli

import (
	"errors"
	"fmt"
	"io"
	"strings"

	"github.com/spf13/pflag"

	"printlint/internal/collection"
	"printlint/internal/report/words"
)

// listFlags ask for the models of a check in place of their findings.
type listFlags struct{ list, null *bool }

func newListFlags(flags *pflag.FlagSet) *listFlags {
	return &listFlags{
		list: flags.Bool("list", false, "print the models that the check would look at, one a line, and judge nothing"),
		null: flags.Bool("null", false, "with --list: names as they are, each ended by a zero byte, for programs"),
	}
}

// refuse complains of what a list cannot go with.
func (f *checkFlags) refuse() error {
	switch {
	case *f.names.null && !*f.names.list:
		return errors.New("--null says how --list ends names; give both")
	case *f.names.list && (*f.accept != "" || *f.pictures != "" || len(*f.also) > 0):
		return errors.New("--list judges nothing; it goes with none of --accept, --also and --pictures")
	}
	return nil
}

// print writes the names. For people they are escaped, as in every report.
func (f *listFlags) print(env Env, files []collection.File) error {
	var b strings.Builder
	for i := range files {
		switch {
		case files[i].Skip != "":
		case *f.null:
			b.WriteString(files[i].Path + "\x00")
		default:
			fmt.Fprintln(&b, words.Safe(files[i].Path))
		}
	}
	_, err := io.WriteString(env.Stdout, b.String())
	return err
}

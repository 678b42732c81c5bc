//go:build unix

package cache

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"syscall"
)

// trusted says why a folder that is there is not to be trusted: whoever can write to it
// decides what is found in it.
func trusted(dir string) error {
	info, err := os.Stat(dir)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return nil // it is about to be made
	case err != nil:
		return err
	}
	return owned(info, os.Geteuid())
}

// owned holds that a folder is the user's, and that no one else may write to it.
func owned(info fs.FileInfo, user int) error {
	if owner, ok := info.Sys().(*syscall.Stat_t); ok && int(owner.Uid) != user {
		return &Untrusted{fmt.Sprintf("it belongs to another user (%d, and this is %d)", owner.Uid, user)}
	}
	if open := info.Mode().Perm() & 0o022; open != 0 {
		return &Untrusted{fmt.Sprintf("others may write to it (its mode is %#o; chmod go-w cures that)", info.Mode().Perm())}
	}
	return nil
}

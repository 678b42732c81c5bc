//go:build !unix

package cache

// trusted trusts every folder: who may write to it is not told by a mode here.
func trusted(string) error { return nil }

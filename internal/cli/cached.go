package cli

import (
	"fmt"
	"os"
	"path/filepath"

	"github.com/spf13/pflag"

	"printlint/internal/cache"
	"printlint/internal/lint"
)

// cacheOff is the word that keeps no results.
const cacheOff = "off"

func cacheFlag(flags *pflag.FlagSet) *string {
	return flags.String("cache", "", "keep results in the folder `DIR` and take them from there while model, rules and program stay the same; off keeps none (a folder in your own cache)")
}

// cacheFolder is where results are kept unless told otherwise: in the user's own cache,
// if that is there.
func cacheFolder() string {
	folder, err := os.UserCacheDir()
	if err != nil {
		return ""
	}
	if info, err := os.Stat(filepath.Dir(folder)); err != nil || !info.IsDir() {
		return ""
	}
	return filepath.Join(folder, "printlint")
}

// openCache opens the folder of results: the one that is named, which must work, or the usual
// one if it does.
func openCache(named, usual string) (lint.Kept, error) {
	folder := named
	if folder == "" {
		folder = usual
	}
	if folder == cacheOff || folder == "" {
		return lint.Kept{}, nil
	}
	c, err := cache.Open(folder, cache.Standard)
	if err == nil {
		var program string
		if program, err = cache.Program(); err == nil {
			return lint.Kept{Cache: c, Program: program}, nil
		}
	}
	if named == "" {
		return lint.Kept{}, nil
	}
	return lint.Kept{}, fmt.Errorf("--cache %s: %w", named, plainly(err))
}

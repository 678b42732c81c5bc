package cli

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"

	"github.com/spf13/pflag"

	"printlint/internal/cache"
	"printlint/internal/collection/repo"
	"printlint/internal/lint"
	"printlint/internal/pathname"
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
// one if it does. One that the models may have come with, or that others may write to, is not
// used, and warn is told why.
func openCache(named, usual string, paths []string, warn func(string)) (lint.ResultCache, error) {
	folder := named
	if folder == "" {
		folder = usual
	}
	if folder == cacheOff || folder == "" {
		return lint.ResultCache{}, nil
	}
	if inside := broughtBy(folder, paths); inside != "" {
		warn(fmt.Sprintf("no results are kept: the cache %s lies in %s, which is checked, so that whoever made that could have filled it; name a folder elsewhere", folder, inside))
		return lint.ResultCache{}, nil
	}
	c, err := cache.Open(folder, cache.Standard)
	if err == nil {
		var program string
		if program, err = cache.Program(); err == nil {
			return lint.ResultCache{Cache: c, Program: program}, nil
		}
	}
	var untrusted *cache.Untrusted
	switch {
	case errors.As(err, &untrusted):
		warn(fmt.Sprintf("no results are kept in the cache %s: %s", folder, untrusted.Why))
		return lint.ResultCache{}, nil
	case named == "":
		return lint.ResultCache{}, nil
	}
	return lint.ResultCache{}, fmt.Errorf("--cache %s: %w", named, plainly(err))
}

// broughtBy returns the folder among those that are checked, or the work tree they lie in,
// that holds the cache; empty where none does.
func broughtBy(cache string, paths []string) string {
	cache = existing(cache)
	for _, p := range paths {
		real := existing(p)
		for info, err := os.Stat(real); err != nil || !info.IsDir(); info, err = os.Stat(real) {
			real = filepath.Dir(real)
		}
		if own := repo.At(real); own != nil {
			if _, ok := own.Below(cache); ok {
				return "the work tree " + own.Top
			}
		}
		if info, err := os.Stat(p); err != nil || !info.IsDir() {
			continue
		}
		if pathname.Within(real, cache) {
			return p
		}
	}
	return ""
}

// existing is the absolute path with no symbolic link in it, as far as it is there.
func existing(path string) string {
	abs, err := filepath.Abs(path)
	if err != nil {
		return path
	}
	for up, rest := abs, ""; ; up, rest = filepath.Dir(up), filepath.Join(filepath.Base(up), rest) {
		if real, err := filepath.EvalSymlinks(up); err == nil {
			return filepath.Join(real, rest)
		}
		if up == filepath.Dir(up) {
			return abs
		}
	}
}

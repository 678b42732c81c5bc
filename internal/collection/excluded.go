package collection

// Excluded says whether a path, or a folder above it, is left out by the globs.
func Excluded(path string, opt Options) bool {
	return globs{exclude: opt.Exclude}.excluded(Relative(opt.Base, path))
}

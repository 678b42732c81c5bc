package cli

import (
	"context"
	"crypto/sha256"
	"fmt"
	"os"
	"path"
	"path/filepath"
	"strings"

	"printlint/internal/draw"
	"printlint/internal/finding"
	"printlint/internal/lint"
	"printlint/internal/report/words"
	"printlint/internal/work"
)

// save writes the picture of a model as a file of its own, numbers included, for reports
// that show pictures by their address. Nth counts the models of the same path and part.
func (g *gallery) save(ctx context.Context, s *lint.Judged, marks []draw.Mark, nth int, p *draw.Pictures) error {
	picture, err := draw.Model(s.Mesh, draw.Options{Width: g.size.width, Height: g.size.height, Marks: marks, Badges: true, Opaque: true, Meter: work.Of(ctx)})
	if err != nil {
		return nil // the report does without, as it does for the other pictures
	}
	data, err := picture.PNG()
	if err != nil {
		return err
	}
	if err := os.MkdirAll(g.dir, 0o755); err != nil {
		return fmt.Errorf("%s could not be made: %w", words.Safe(g.dir), plainly(err))
	}
	name := pictureName(s.Model, nth)
	target := filepath.Join(g.dir, name)
	if err := g.keep.allow("--pictures", target); err != nil {
		return err
	}
	if err := writeFile(target, text(data)); err != nil {
		return err
	}
	p.File = path.Join(filepath.ToSlash(g.dir), name)
	return nil
}

// pictureName is a name that every file system and address takes: the model's own as far
// as its letters go, and a hash that tells apart what then looks alike.
func pictureName(m *finding.Model, nth int) string {
	sum := sha256.Sum256(fmt.Appendf(nil, "%s\x00%d", pictureKey(m), nth))
	plain := strings.Map(func(r rune) rune {
		switch {
		case r >= 'a' && r <= 'z', r >= 'A' && r <= 'Z', r >= '0' && r <= '9', r == '.', r == '_':
			return r
		}
		return '-'
	}, strings.TrimLeft(m.Path, "./"))
	const longest = 80
	return fmt.Sprintf("%s-%x.png", plain[:min(len(plain), longest)], sum[:4])
}

package lint

import (
	"printlint/internal/advise"
	"testing"

	"printlint/internal/shapes"
)

// adviceOn looks for ways up with the given depth, on one processor.
func adviceOn(b *testing.B, depth advise.Depth, levels int) {
	benchmark(b, Options{Jobs: 1, Advice: advise.Options{Depth: depth}}, model(b, "ball.stl", ballOf(levels)))
}

// BenchmarkFullAdvice is a bumpy ball of 60 mm and about 5,000 triangles, of which no
// way up is clean: the worst that a small part can ask for.
func BenchmarkFullAdvice(b *testing.B) { adviceOn(b, advise.Full, 4) }

// BenchmarkShortAdvice is the same for the one line that check prints.
func BenchmarkShortAdvice(b *testing.B) { adviceOn(b, advise.Short, 4) }

// BenchmarkLargeAdvice is the same ball with about 330,000 triangles.
func BenchmarkLargeAdvice(b *testing.B) { adviceOn(b, advise.Full, 7) }

// BenchmarkPartAdvice is a bracket-sized part of about 10,000 triangles.
func BenchmarkPartAdvice(b *testing.B) {
	part := shapes.HoleBlock(20, 2500)
	benchmark(b, Options{Jobs: 1, Advice: advise.Options{Depth: advise.Full}}, model(b, "block.stl", shapes.Turn(part, shapes.X, 20)))
}

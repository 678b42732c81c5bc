package lint

import (
	"context"
	"testing"

	"printlint/internal/collection"
	"printlint/internal/mesh"
	"printlint/internal/shapes"
)

// standard is a configuration that says nothing: every built-in rule.
const standard = "version: 1\n"

// benchmark runs the engine over files and consumes the report.
func benchmark(b *testing.B, opt Options, files ...collection.File) {
	config := load(b, standard)
	models := 0
	b.ResetTimer()
	for b.Loop() {
		r, err := Run(context.Background(), "bench", files, config, opt)
		if err != nil || r.Summary.Unreadable > 0 {
			b.Fatal(err, r)
		}
		models += r.Summary.Models
	}
	b.ReportMetric(float64(models)/b.Elapsed().Seconds(), "models/s")
}

// ballOf is a bumpy ball of about 20 * 4^levels triangles, 60 mm across.
func ballOf(levels int) *mesh.Triangles { return shapes.NoisyBall(30, 1, levels, 1) }

// BenchmarkTypical is a part of 60 mm and about 20,000 triangles, by every rule.
func BenchmarkTypical(b *testing.B) {
	benchmark(b, Options{Jobs: 1}, model(b, "ball.stl", ballOf(5)))
}

// BenchmarkLarge is a body of about 330,000 triangles, by every rule, with all
// processors.
func BenchmarkLarge(b *testing.B) {
	benchmark(b, Options{Jobs: 8}, model(b, "ball.stl", ballOf(7)))
}

// BenchmarkShelf is a hundred small models.
func BenchmarkShelf(b *testing.B) {
	var files []collection.File
	for range 25 {
		for _, s := range []*mesh.Triangles{shapes.T(), shapes.Table(), shapes.Hook(), shapes.Figure()} {
			files = append(files, model(b, "m.stl", s))
		}
	}
	benchmark(b, Options{Jobs: 8}, files...)
}

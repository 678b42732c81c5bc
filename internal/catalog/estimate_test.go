package catalog

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

func TestAbout(t *testing.T) {
	for _, c := range []struct {
		grams, minutes float64
		words          string
	}{
		{8.14, 28.3, "about 8.1 g and 28 min"},
		{0.04, 0.2, "less than 0.1 g and less than 1 min"},
		{120, 245, "about 120 g and 4 h 5 min"},
		{12, 99.6, "about 12 g and 1 h 40 min"},
	} {
		assert.Equal(t, c.words, About(c.grams, c.minutes))
	}
}

package words

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

// TestOrder holds how a line of what to do begins.
func TestOrder(t *testing.T) {
	for do, want := range map[string]string{
		"":                         "",
		"turn it over":             "Turn it over",
		"ändere es":                "Ändere es",
		".printlint.yml must move": ".printlint.yml must move",
		"--config names one":       "--config names one",
		"PETG needs more":          "PETG needs more",
		"\x1bturn":                 `\u001bturn`,
		"::error ::a":              "do: ::error ::a",
		" ##[error]":               "do:  ##[error]",
		"\xffturn":                 `\xffturn`,
	} {
		assert.Equal(t, want, Order(do), do)
	}
}

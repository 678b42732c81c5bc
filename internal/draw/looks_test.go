package draw

import (
	"image"
	"image/color"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"printlint/internal/finding"
)

// luminance is the relative luminance of a colour as the Web Content Accessibility
// Guidelines 2.2 define it.
func luminance(c color.NRGBA) float64 {
	lin := func(v uint8) float64 {
		x := float64(v) / 255
		if x <= 0.04045 {
			return x / 12.92
		}
		return math.Pow((x+0.055)/1.055, 2.4)
	}
	return 0.2126*lin(c.R) + 0.7152*lin(c.G) + 0.0722*lin(c.B)
}

func ratio(a, b color.NRGBA) float64 {
	x, y := luminance(a), luminance(b)
	return (max(x, y) + 0.05) / (min(x, y) + 0.05)
}

// TestColoursDifferInLightness holds that the colours which carry meaning stay apart for
// readers who see no hue at all, so for every kind of colour vision.
func TestColoursDifferInLightness(t *testing.T) {
	e, w, n := styleOf(finding.Error).fill, styleOf(finding.Warning).fill, styleOf(finding.Note).fill
	assert.Greater(t, ratio(e, w), 2.5)
	assert.Greater(t, ratio(e, n), 2.5)
	// Signs stand out from the page behind the pictures by 3 to 1, as the Web Content
	// Accessibility Guidelines 2.2 ask under 1.4.11.
	sheet := color.NRGBA{0xF4, 0xF1, 0xEA, 0xFF}
	for _, c := range []color.NRGBA{e, w, n} {
		assert.Greater(t, ratio(c, sheet), 3.0)
	}
	assert.Greater(t, ratio(e, bodyLight), 4.5)
	assert.Greater(t, ratio(e, bodyDark), 1.8)
	// Warning and note are about as light as each other: hatching and shape part them.
	assert.NotEqual(t, styleOf(finding.Warning).pattern, styleOf(finding.Note).pattern)
	assert.Greater(t, ratio(hangFill, carryFill), 1.5)
	assert.Greater(t, ratio(carryFill, solidFill), 1.5)
	for _, l := range []finding.Level{finding.Error, finding.Warning, finding.Note} {
		s := styleOf(l)
		assert.Greater(t, ratio(s.fill, s.number), 4.5, "the number on a badge of level %s", l)
		assert.Greater(t, ratio(s.fill, s.stroke), 1.5, "the hatching of level %s", l)
	}
}

// TestEveryLevelHasItsOwnHatchingAndShape holds that no level is told by colour alone.
func TestEveryLevelHasItsOwnHatchingAndShape(t *testing.T) {
	levels := []finding.Level{finding.Error, finding.Warning, finding.Note}
	for i, a := range levels {
		share := 0
		for y := range 48 {
			for x := range 48 {
				if styleOf(a).pattern.covers(x, y) {
					share++
				}
			}
		}
		assert.Greater(t, share, 48*48/8, a)
		assert.Less(t, share, 48*48/2, a)
		for _, b := range levels[:i] {
			assert.NotEqual(t, styleOf(a).pattern, styleOf(b).pattern)
			assert.NotEqual(t, styleOf(a).shape, styleOf(b).shape)
		}
	}
	assert.Equal(t, styleOf(finding.Note), styleOf("of a later version"))
	for _, l := range levels {
		assert.NotEqual(t, styleOf(l).pattern, styleOf(downLevel).pattern, "what goes down is no finding")
	}
}

func TestMix(t *testing.T) {
	a, b := color.NRGBA{0, 10, 20, 255}, color.NRGBA{100, 110, 120, 255}
	assert.Equal(t, a, mix(a, b, 0, 10))
	assert.Equal(t, b, mix(a, b, 10, 10))
	assert.Equal(t, color.NRGBA{50, 60, 70, 255}, mix(a, b, 5, 10))
}

// TestIndexedKeepsFewColours holds that a picture of few colours loses nothing, and that
// one of many comes close.
func TestIndexedKeepsFewColours(t *testing.T) {
	img := image.NewNRGBA(image.Rect(0, 0, 64, 64))
	for i := range 64 * 64 {
		v := uint8(i % 16 * 16)
		img.SetNRGBA(i%64, i/64, color.NRGBA{v, 255 - v, v / 2, 255})
	}
	p := indexed(img)
	for y := range 64 {
		for x := range 64 {
			require.Equal(t, img.NRGBAAt(x, y), color.NRGBAModel.Convert(p.At(x, y)))
		}
	}
	r := random(t)
	for i := range img.Pix {
		img.Pix[i] = uint8(r.IntN(256))
	}
	p = indexed(img)
	assert.LessOrEqual(t, len(p.Palette), 256)
	off := 0
	for y := range 64 {
		for x := range 64 {
			a, b := img.NRGBAAt(x, y), color.NRGBAModel.Convert(p.At(x, y)).(color.NRGBA)
			off += int(math.Abs(float64(a.R)-float64(b.R))) + int(math.Abs(float64(a.A)-float64(b.A)))
		}
	}
	assert.Less(t, off/(64*64), 110, "noise is the worst there can be")
}

// TestBadgesStandFree places numbers for random places and holds that none covers another
// one or leaves the picture, and that the first are placed first.
func TestBadgesStandFree(t *testing.T) {
	r := random(t)
	for range 100 {
		spots := make([][2]float64, 1+r.IntN(60))
		for i := range spots {
			spots[i] = [2]float64{r.Float64() * 640, r.Float64() * 480}
		}
		list := placeBadges(spots, 640, 480)
		require.NotEmpty(t, list)
		assert.LessOrEqual(t, len(list), maxBadges)
		for i, b := range list {
			assert.True(t, b.X >= BadgeRadius && b.X <= 640-BadgeRadius && b.Y >= BadgeRadius && b.Y <= 480-BadgeRadius)
			assert.Equal(t, spots[b.mark], [2]float64{b.AtX, b.AtY})
			for _, c := range list[:i] {
				assert.Less(t, c.mark, b.mark)
				assert.GreaterOrEqual(t, length(b.X-c.X, b.Y-c.Y), 2*BadgeRadius)
			}
		}
	}
	same := make([][2]float64, 200)
	for i := range same {
		same[i] = [2]float64{320, 240}
	}
	assert.NotEmpty(t, placeBadges(same, 640, 480), "even where all speak of one place")
}

// TestBadgesAreDrawn holds that each shape and each digit leaves its own trace.
func TestBadgesAreDrawn(t *testing.T) {
	seen := map[string]int{}
	for i, l := range []finding.Level{finding.Error, finding.Warning, finding.Note} {
		for n := range 10 {
			img := image.NewNRGBA(image.Rect(0, 0, 60, 60))
			overlay{img}.badge(&Badge{Number: n, X: 40, Y: 40, AtX: 10, AtY: 10}, styleOf(l))
			text := string(img.Pix)
			assert.NotContains(t, seen, text)
			seen[text] = 10*i + n
			assert.Equal(t, uint8(255), img.NRGBAAt(10, 10).A, "the place is marked")
		}
	}
	img := image.NewNRGBA(image.Rect(0, 0, 60, 60))
	overlay{img}.badge(&Badge{Number: 1234, X: -5, Y: 59, AtX: 300, AtY: -300}, styleOf(finding.Error))
}

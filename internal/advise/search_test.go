package advise

import (
	"context"
	"errors"
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"printlint/internal/dice"
	"printlint/internal/mesh"
	"printlint/internal/pose"
	"printlint/internal/shapes"
)

// candidates are those of a solid whose undersides hang past 45 degrees.
func candidates(t *testing.T, solid *mesh.Triangles) []pose.Candidate {
	t.Helper()
	list, err := pose.Candidates(context.Background(), mesh.Weld(solid), 45)
	require.NoError(t, err)
	return list
}

// table judges by a table of down directions.
func table(of map[mesh.Vec]figures, coarse, full *int) judge {
	return func(_ context.Context, down mesh.Vec, rough bool) (*outcome, error) {
		if rough {
			*coarse++
		} else {
			*full++
		}
		if v, ok := of[down]; ok {
			return &outcome{figures: v}, nil
		}
		return &outcome{figures: figures{Errors: 9, Uncured: 9}}, nil
	}
}

// bestOf searches a solid by such a table.
func bestOf(t *testing.T, solid *mesh.Triangles, of map[mesh.Vec]figures) []wayUp {
	t.Helper()
	var coarse, full int
	list, err := best(context.Background(), candidates(t, solid), table(of, &coarse, &full), effort{12, 4})
	require.NoError(t, err)
	assert.LessOrEqual(t, coarse, 12)
	assert.LessOrEqual(t, full, 5)
	assert.Len(t, list, full)
	return list
}

func TestBestRanks(t *testing.T) {
	x, y, z := mesh.Vec{X: 1}, mesh.Vec{Y: 1}, mesh.Vec{Z: 1}
	minus := mesh.Vec{X: -1}
	for name, c := range map[string]struct {
		of   map[mesh.Vec]figures
		want mesh.Vec
	}{
		"fewest rules that support does not cure": {map[mesh.Vec]figures{pose.Down: {Errors: 2, Uncured: 2}, x: {Errors: 3, Uncured: 1, Warned: 5}, y: {Errors: 2, Uncured: 2}}, x},
		"what fits comes first":                   {map[mesh.Vec]figures{pose.Down: {Errors: 1, Unfit: true, Uncured: 1}, x: {Errors: 2, Uncured: 2}}, x},
		"then rules warned of":                    {map[mesh.Vec]figures{pose.Down: {Errors: 1, Carried: 1, Warned: 2}, x: {Errors: 1, Carried: 1, Warned: 1}, y: {Errors: 1, Carried: 1, Warned: 2}}, x},
		"support before":                          {map[mesh.Vec]figures{pose.Down: {Errors: 1, Carried: 1, Minutes: 4.5}, x: {Errors: 9, Carried: 1, Minutes: 2.5}, y: {Errors: 4, Carried: 1, Minutes: 0.75, Warned: 1}}, y},
		"four small ledges":                       {map[mesh.Vec]figures{pose.Down: {Errors: 4, Carried: 1, Minutes: 0.6, Scars: 50}, x: {Errors: 3, Carried: 1, Minutes: 9, Scars: 400}}, pose.Down},
		"a little is no reason":                   {map[mesh.Vec]figures{pose.Down: {Errors: 1, Carried: 1, Minutes: 0.45}, x: {Errors: 1, Carried: 1}}, pose.Down},
		"then it stays":                           {map[mesh.Vec]figures{pose.Down: {Errors: 1, Carried: 1, Minutes: 2.005}, x: {Errors: 1, Carried: 1, Minutes: 2}}, pose.Down},
		"then contact":                            {map[mesh.Vec]figures{pose.Down: {Errors: 1, Carried: 1}, x: {Base: 10}, z: {Base: 500}, y: {Base: 100}}, z},
		"scars weigh as support":                  {map[mesh.Vec]figures{pose.Down: {Errors: 1, Carried: 1, Scars: 500}, x: {Errors: 1, Carried: 1, Minutes: 1, Scars: 50}}, x},
		"what stands firmly":                      {map[mesh.Vec]figures{pose.Down: {Errors: 1, Carried: 1, Minutes: 7}, x: {Errors: 1, Carried: 1, Minutes: 2, Warnings: 1, Risk: 6}}, pose.Down},
		"of equals the firmer one":                {map[mesh.Vec]figures{pose.Down: {Errors: 9, Uncured: 2}, x: {Errors: 3, Carried: 2, Minutes: 30}, y: {Errors: 3, Carried: 1, Minutes: 5, Risk: 25}}, x},
		"what passes is not told to fail":         {map[mesh.Vec]figures{pose.Down: {Warnings: 1, Warned: 1, Risk: 90}, x: {Errors: 1, Carried: 1, Minutes: 1}}, pose.Down},
		"rough undersides too":                    {map[mesh.Vec]figures{pose.Down: {Warnings: 1, Warned: 1, Rough: 900}, x: {Warnings: 1, Warned: 1, Rough: 200}}, x},
		"then the fixed order":                    {map[mesh.Vec]figures{pose.Down: {Errors: 1, Carried: 1}, x: {Base: 10}, minus: {Base: 10}}, minus},
		"clean as it lies stays":                  {map[mesh.Vec]figures{pose.Down: {Base: 1, Notes: 3}, x: {Base: 1000}}, pose.Down},
		"a clean one comes first":                 {map[mesh.Vec]figures{pose.Down: {Warnings: 1, Warned: 1}, x: {}}, x},
	} {
		assert.Equal(t, c.want, bestOf(t, shapes.Cube(20), c.of)[0].Down, name)
	}
}

func TestNobodyIsToldToBalanceAModel(t *testing.T) {
	judge := func(_ context.Context, down mesh.Vec, _ bool) (*outcome, error) {
		if max(math.Abs(down.X), math.Abs(down.Y), math.Abs(down.Z)) > 0.996 { // within 5 degrees of an axis
			return &outcome{figures: figures{Errors: 3, Uncured: 2}}, nil
		}
		return &outcome{figures: figures{Errors: 1, Uncured: 1}}, nil // standing on an edge
	}
	list, err := best(context.Background(), candidates(t, shapes.Cube(20)), judge, effort{12, 4})
	require.NoError(t, err)
	assert.Equal(t, pose.Down, list[0].Down)
}

// TestWhatFallsComesAfterWhatStands, however much support that takes.
func TestWhatFallsComesAfterWhatStands(t *testing.T) {
	falls := wayUp{pose.Candidate{Down: mesh.Vec{X: 1}, Origin: pose.Rest, Contact: 20}, &outcome{figures: figures{Errors: 1, Uncured: 1}}}
	stands := wayUp{pose.Candidate{Down: mesh.Vec{Y: 1}, Origin: pose.Rest, Contact: 20, Tip: 9}, &outcome{figures: figures{Errors: 9, Uncured: 2, Carried: 2, Minutes: 45}}}
	list := []wayUp{falls, stands}
	sortWays(list, false)
	assert.Equal(t, stands.Down, list[0].Down)
}

// TestNobodyIsToldToBalanceWhatIsTooLarge: a way up that fits the bed, has nothing to lie on and
// falls over is as little of a print as what is too large for the bed.
func TestNobodyIsToldToBalanceWhatIsTooLarge(t *testing.T) {
	large := wayUp{pose.Candidate{Down: pose.Down, Origin: pose.AsItLies, Contact: 4500, Tip: 80}, &outcome{figures: figures{Errors: 1, Uncured: 1, Unfit: true}}}
	balanced := wayUp{pose.Candidate{Down: mesh.Vec{X: 1}, Origin: pose.Rest}, &outcome{figures: figures{Errors: 2, Uncured: 2, Falls: true}}}
	stands := wayUp{pose.Candidate{Down: mesh.Vec{Y: 1}, Origin: pose.Rest, Contact: 20, Tip: 9}, &outcome{figures: figures{Errors: 3, Uncured: 3}}}
	list := []wayUp{balanced, large, stands}
	sortWays(list, false)
	assert.Equal(t, []mesh.Vec{stands.Down, large.Down, balanced.Down}, []mesh.Vec{list[0].Down, list[1].Down, list[2].Down})
}

func TestBestStopsWhenToldTo(t *testing.T) {
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	var n int
	list := candidates(t, shapes.T())
	_, err := best(ctx, list, table(nil, &n, &n), effort{4, 2})
	assert.ErrorIs(t, err, context.Canceled)
	assert.Zero(t, n)
	broken := errors.New("broken")
	fail := func(context.Context, mesh.Vec, bool) (*outcome, error) { return nil, broken }
	_, err = best(context.Background(), list, fail, effort{4, 2})
	assert.ErrorIs(t, err, broken)
}

// TestWhatIsJudgedBeforeAnErrorStays: the model as it lies, and what came before.
func TestWhatIsJudgedBeforeAnErrorStays(t *testing.T) {
	broken := errors.New("broken")
	for most := 1; most < 8; most++ {
		n := 0
		list, err := best(context.Background(), candidates(t, shapes.T()), func(context.Context, mesh.Vec, bool) (*outcome, error) {
			if n++; n > most {
				return nil, broken
			}
			return &outcome{figures: figures{Errors: 1}}, nil
		}, effort{4, 4})
		require.ErrorIs(t, err, broken)
		require.Len(t, list, 1+max(0, most-5), "one as it lies, four coarse looks, then those in full")
	}
}

// TestOrderIsTotal: ranking any three ways up in any order comes to the same.
func TestOrderIsTotal(t *testing.T) {
	seed := dice.Seed(t)
	rng := rand.New(rand.NewPCG(seed, 1))
	var downs []mesh.Vec
	for range 30 {
		downs = append(downs, mesh.Vec{X: rng.NormFloat64(), Y: rng.NormFloat64(), Z: rng.NormFloat64()}.Unit())
	}
	for range 3000 {
		list := make([]wayUp, 6)
		for i := range list {
			list[i] = wayUp{
				pose.Candidate{Down: downs[rng.IntN(len(downs))], Origin: pose.Origin(rng.IntN(6)), Contact: float64(rng.IntN(3)) * 4, Height: 40 * rng.Float64()},
				&outcome{figures: figures{Errors: rng.IntN(2), Uncured: rng.IntN(2), Carried: rng.IntN(2), Warned: rng.IntN(2), Falls: rng.IntN(2) > 0, Unfit: rng.IntN(2) > 0, Minutes: 1.5 * rng.Float64(), Base: 30 * rng.Float64(), Scars: 9 * rng.Float64()}},
			}
		}
		want := slices.Clone(list)
		sortWays(want, false)
		rng.Shuffle(len(list), func(i, k int) { list[i], list[k] = list[k], list[i] })
		sortWays(list, false)
		for i := range list { // what only the direction's last digits tell apart may change places
			require.Equal(t, key(&want[i]), key(&list[i]))
		}
	}
}

// key is what the ranking sees of a way up.
func key(w *wayUp) string {
	return fmt.Sprintf("%d %d %g %g %d %d %v %g %g %.3f", w.fails(), w.Uncured, worth(w.weight()), worth(w.Risk), w.Carried, w.Warned, w.Origin == pose.AsItLies, step(w.Base), step(w.Height), w.Down)
}

func TestAlike(t *testing.T) {
	a := wayUp{pose.Candidate{Contact: 100, Height: 20, Hang: 50}, &outcome{figures: figures{Errors: 1}}}
	b := a
	b.Down, b.Contact = mesh.Vec{X: 1}, 101
	assert.True(t, alike(&a, &b), "mirrored sides differ by the mesh's rounding")
	for name, change := range map[string]func(*wayUp){
		"errors": func(w *wayUp) { w.Errors++ }, "warnings": func(w *wayUp) { w.Warnings++ }, "notes": func(w *wayUp) { w.Notes++ },
		"contact": func(w *wayUp) { w.Contact = 120 }, "height": func(w *wayUp) { w.Height = 25 }, "hang": func(w *wayUp) { w.Hang = 70 },
	} {
		c := wayUp{a.Candidate, &outcome{figures: a.figures}}
		change(&c)
		assert.False(t, alike(&a, &c), name)
		assert.Len(t, unlike([]wayUp{a, b, c}, 5), 2, name)
	}
	assert.Len(t, unlike([]wayUp{a, b}, 5), 1)
	assert.Empty(t, unlike([]wayUp{a}, 0))
}

package daylight

import (
	"context"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"

	"barrow/tin"
)

// spots are five by five, two apart, level but for those given.
func spots(t *testing.T, level float64, others map[[2]float64]float64) *tin.Surface {
	var points []tin.Point
	for e := 0.0; e <= 8; e += 2 {
		for n := 0.0; n <= 8; n += 2 {
			z, ok := others[[2]float64{e, n}]
			if !ok {
				z = level
			}
			points = append(points, tin.Point{E: e, N: n, Level: z})
		}
	}
	s, err := tin.Build(context.Background(), []tin.Source{{Points: points}}, tin.Options{})
	require.NoError(t, err)
	return s
}

// corners makes a pad of one ring with levels and batters of its own.
func corners(s *tin.Surface, ring []orb.Point, levels []float64, cut, fill []Profile) Pad {
	p := pad(s, [][]orb.Point{ring}, flat(0), Profile{}, Profile{})
	for i, z := range levels {
		p.Rings[0][i].Level = z
	}
	p.Cut[0], p.Fill[0] = cut, fill
	return p
}

func all(n int, p Profile) (out []Profile) {
	for range n {
		out = append(out, p)
	}
	return out
}

// matches fails unless Find finds what the raster does.
func matches(t *testing.T, in Input) (cut, fill float64) {
	in.Bound = 1e-4
	w, err := Find(context.Background(), in)
	require.NoError(t, err)
	checkPieces(t, in, w)
	cut, fill = volumes(in.Ground, w)
	c, f, _ := newOracle(in).raster(0.02).volumes()
	require.InDelta(t, c, cut, 0.01*c+0.03)
	require.InDelta(t, f, fill, 0.01*f+0.03)
	require.Positive(t, c+f)
	return cut, fill
}

// Where levels differ by more than the batter takes, a fan from ray to ray shares only
// those rays with its strips: it was linked to neither.
func TestASteepPadsFanHangsOnItsStrips(t *testing.T) {
	s := spots(t, 0, nil)
	ring := []orb.Point{{3, 3}, {2, 6}, {1, 2}}
	p := corners(s, ring, []float64{0.5, 2, 1.5}, all(3, Profile{Along: 1}), all(3, Profile{Along: 2}))
	matches(t, Input{Ground: s, Pads: []Pad{p}})
}

// A side that falls just as its batter does has no strip: the fans at its two ends meet
// along the side's line, and were not linked there.
func TestFansMeetAcrossASideWithoutAStrip(t *testing.T) {
	s := spots(t, 1.5, map[[2]float64]float64{{4, 8}: 2, {4, 6}: 1.2})
	ring := []orb.Point{{4, 8}, {4, 9}, {-2, 8}}
	p := corners(s, ring, []float64{1, 0, 2}, all(3, Profile{Along: 1}), all(3, Profile{Along: 0.5}))
	matches(t, Input{Ground: s, Pads: []Pad{p}})
}

// Beside an upright side a fan ends where its own side no longer faces, if that is
// before the upright side's normal.
func TestANeedleBetweenABatterAndAnUprightSide(t *testing.T) {
	s := spots(t, 0, nil)
	ring := []orb.Point{{0, 0}, {5, 4}, {6, 6}}
	batters := []Profile{{Along: 1}, {Along: 1}, {}}
	p := corners(s, ring, []float64{2, 1.5, 1.5}, batters, batters)
	matches(t, Input{Ground: s, Pads: []Pad{p}})
}

// Works may reach the outline at an upright side alone, from a side round an inward
// corner; the part of it that lies deep enough need not hold its middle.
func TestWorksThatReachAnUprightSide(t *testing.T) {
	s := spots(t, 0, nil)
	ring := []orb.Point{{6, 2}, {8, 6}, {0, 9}, {-2, -2}, {0, 7}}
	fill := []Profile{{}, {}, {Along: 0.5}, {Along: 0.5}, {}}
	p := corners(s, ring, []float64{1.5, 2, 1, 1, 1.5}, all(5, Profile{}), fill)
	_, f := matches(t, Input{Ground: s, Pads: []Pad{p}})
	require.Positive(t, f)
}

// A side of a formation outline through a corner of the ground leaves a leaf with a
// corner twice; the next side did not cut that leaf, and works lay inside the outline.
func TestALeafWithACornerTwiceIsCutAgain(t *testing.T) {
	s := spots(t, 2, nil)
	first := corners(s, []orb.Point{{1, 8}, {-1, 0}, {3, 3}}, []float64{1, 1, 1},
		[]Profile{{Along: 2}, {Along: 2}, {Along: 0.5}}, all(3, Profile{Along: 1}))
	second := corners(s, []orb.Point{{5, 7}, {-2, 6}, {-2, -1}}, []float64{1, 1, 1},
		[]Profile{{Along: 2}, {Along: 0.5}, {Along: 1}}, all(3, Profile{Along: 2}))
	matches(t, Input{Ground: s, Pads: []Pad{first, second}})
}

// Where no strip is, the flood began only if the ground with its topsoil on lay above
// the face.
func TestTopsoilIsOffWhereTheFloodBegins(t *testing.T) {
	s := spots(t, 1.6, nil)
	ring := []orb.Point{{2, 2}, {4, 2}, {4, 6}, {2, 6}}
	fill := []Profile{{}, {Along: 4}, {}, {Along: 4}}
	p := corners(s, ring, []float64{0, 0, 1.5, 1.5}, all(4, Profile{}), fill)
	matches(t, Input{Ground: s, Pads: []Pad{p}, Topsoil: 0.5})
}

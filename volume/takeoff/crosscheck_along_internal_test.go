package takeoff

import (
	"context"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"barrow/tin"
)

// The stretches of a bent alignment part the prisms: nothing is lost between them and
// nothing counted twice, with and without a reach.
func TestAlongSpansPartsPrisms(t *testing.T) {
	for _, a := range []Alignment{
		{Name: "bent", Line: orb.LineString{{-10, 20}, {30, 28}, {70, 18}}},
		{Name: "reach", Line: orb.LineString{{-10, 20}, {30, 28}, {70, 18}}, Reach: 60},
		{Name: "straight", Line: orb.LineString{{-10, 21}, {70, 19}}},
	} {
		job := &Job{Units: tin.Metre, Surveys: []Survey{{Points: []tin.Point{
			{E: -50, N: -50, Level: 8}, {E: 120, N: -50, Level: 13}, {E: 120, N: 90, Level: 9}, {E: -50, N: 90, Level: 12}, {E: 31, N: 17, Level: 14},
		}}}, Pads: []Pad{{Name: "pad", Outline: orb.Polygon{{{0, 5}, {60, 5}, {60, 40}, {0, 40}, {0, 5}}}, Finished: 10.5}}, Alignments: []Alignment{a}}
		r, err := takeOff(context.Background(), job, Options{})
		require.NoError(t, err)
		x := &crossing{run: r, opts: &CrosscheckOptions{Interval: 3, Spacing: 1}}
		require.NoError(t, x.layOut(x.digWorks))
		require.Empty(t, x.notes, a.Name)
		w := &x.works[0]
		methods, err := x.bySections(w)
		require.NoError(t, err)
		require.NoError(t, x.alongSpans(w, methods[0].parts))
		var sum crossVolumes
		for _, p := range methods[0].parts {
			for q, v := range p.prisms {
				sum[q] += v
			}
			assert.InDelta(t, p.prisms[inNet], p.by[inNet], 8, "%s, chainage %v", a.Name, p.from)
		}
		for q := range sum {
			assert.InDelta(t, w.prism[q], sum[q], 1e-8, a.Name)
		}
	}
}

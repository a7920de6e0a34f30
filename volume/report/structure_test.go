package report_test

import (
	"encoding/json"
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"barrow/tin"
	"barrow/tin/formation"
	"barrow/volume/takeoff"
)

func box(e1, n1, e2, n2 float64) orb.Polygon {
	return orb.Polygon{{{e1, n1}, {e2, n1}, {e2, n2}, {e1, n2}}}
}

// structure measures two pads with thickenings of every kind, backfill and layers.
func structure(t *testing.T, unit tin.Unit) *takeoff.Result {
	t.Helper()
	under := 8.75
	slab := []takeoff.Layer{{Name: "slab", Thickness: 0.15}, {Name: "sub-base", Thickness: 0.2, To: takeoff.LayersToMargin}}
	job := &takeoff.Job{
		Name: "store", Units: unit,
		Surveys: []takeoff.Survey{{
			Points:    []tin.Point{{E: 0, N: 0, Level: 11}, {E: 60, N: 0, Level: 11}, {E: 60, N: 40, Level: 11}, {E: 0, N: 40, Level: 11}},
			Benchmark: &takeoff.Mark{Name: "BM1", Plan: 8, Measured: 8},
		}},
		Pads: []takeoff.Pad{{
			Name: "store", Outline: box(10, 10, 30, 30), Finished: 9.65, Layers: slab, Margin: 1,
			Thickenings: []takeoff.Thickening{
				{Name: "edge beam", Lines: []orb.LineString{{{10.25, 10.25}, {29.75, 10.25}, {29.75, 29.75}, {10.25, 29.75}, {10.25, 10.25}}}, Width: 0.5, Depth: 0.75, From: formation.FromFinished},
				{Name: "cross wall", Lines: []orb.LineString{{{20, 10}, {20, 30}}}, Width: 0.5, Depth: 0.5, From: formation.FromSlab, Layers: []takeoff.Layer{{Name: "blinding", Thickness: 0.05}}},
				{Name: "pit", Areas: orb.MultiPolygon{box(28, 12, 32, 14)}, Underside: &under},
			},
			Backfill: &takeoff.Backfill{UpTo: takeoff.BackfillFinished, Around: orb.MultiPolygon{box(10, 10, 30, 29.5)}},
		}, {
			Name: "yard", Outline: box(40, 10, 50, 20), Finished: 10, Fall: &takeoff.Fall{Slope: 0.01, Bearing: 90, At: orb.Point{40, 10}},
			Margin:      0.5,
			Thickenings: []takeoff.Thickening{{Name: "sump", Areas: orb.MultiPolygon{box(44, 14, 46, 16)}, Depth: 1, From: formation.FromFormation}},
			Backfill:    &takeoff.Backfill{UpTo: takeoff.BackfillLevel, Level: 10.5},
		}, {
			Name: "apron", Outline: box(52, 10, 56, 14), Levels: &takeoff.Levels{Outline: [][]float64{{10, 10, 10, 10}}},
			Thickenings: []takeoff.Thickening{{Name: "kerb", Lines: []orb.LineString{{{52.5, 11}, {52.5, 13}}}, Width: 0.5, Depth: 0.25, From: formation.FromFormation}},
		}},
	}
	r, err := takeoff.Run(t.Context(), job, takeoff.Options{})
	require.NoError(t, err)
	return r
}

// between returns the text from one title to another.
func between(t *testing.T, s, from, to string) string {
	t.Helper()
	i := strings.Index(s, from)
	require.GreaterOrEqual(t, i, 0, from)
	j := strings.Index(s[i:], to)
	require.GreaterOrEqual(t, j, 0, to)
	return s[i : i+j]
}

func TestStructureGolden(t *testing.T) {
	for name, unit := range map[string]tin.Unit{"structure": tin.Metre, "structure_feet": tin.Foot} {
		r := structure(t, unit)
		s := text(t, r)
		golden(t, name+".txt", []byte(between(t, s, "LEVEL TO DIG TO", "PAD store")+between(t, s, "THICKENINGS AND TRENCHES", "\nWARNINGS")))
		for line := range strings.SplitSeq(s, "\n") {
			assert.LessOrEqual(t, utf8.RuneCountInString(line), 80, line)
		}
		assert.Empty(t, notWords.FindAllString(s, -1))
		var parts []any
		for _, p := range r.Pads {
			parts = append(parts, p.Layers, p.Thickenings, p.ThickeningVolume, p.Backfill)
		}
		b, err := json.MarshalIndent(append(parts, r.Total.Layers, r.Total.ThickeningVolume, r.Total.BackfillNetVoid, r.Total.BackfillAsDug), "", "  ")
		require.NoError(t, err)
		golden(t, name+".json", append(b, '\n'))
	}
}

// A job without them has none of these blocks, and ground that ends makes them a least.
func TestStructureBlocksOnlyWhereAsked(t *testing.T) {
	for _, title := range []string{"THICKENINGS", "BACKFILL", "LAYERS\n"} {
		assert.NotContains(t, text(t, metric()), title)
		assert.Contains(t, text(t, structure(t, tin.Metre)), title)
	}
	r := structure(t, tin.Metre)
	sump := &r.Pads[1].Thickenings[0]
	sump.Along, sump.BatterVolume, sump.BatterArea, sump.BatterOutside = 0.5, 2.25, 5.5, 0.5
	s := between(t, text(t, r), "THICKENINGS", "BACKFILL")
	assert.Contains(t, strings.Join(strings.Fields(s), " "), "sides 1V:0.5H (1 up, 0.5 along, 63 deg): 2.2 m3 in them")
	assert.Contains(t, s, "9.5 ")
	assert.Contains(t, s, "0.5 m2 outside")
	r.Pads[0].UncoveredArea = 1
	assert.Contains(t, between(t, text(t, r), "BACKFILL", "LAYERS"), "at least")
}

package takeoff_test

import (
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"barrow/tin"
	"barrow/volume/takeoff"
)

// layersThrough returns the layers that the section at a chainage of an alignment from west
// to east meets, at N 20 of the slope.
func layersThrough(t *testing.T, job *takeoff.Job, line orb.LineString) []takeoff.SectionLayer {
	t.Helper()
	job.Alignments = []takeoff.Alignment{{Name: "axis", Line: line}}
	for _, s := range sections(t, job, takeoff.SectionsOptions{}).Alignments[0].Sections {
		if s.Chainage > 19.5 && s.Chainage < 20.5 {
			return s.Layers
		}
	}
	t.Fatal("no section at chainage 20")
	return nil
}

// Across the slope, at E 20: offsets are to the south.
func across() orb.LineString { return orb.LineString{{0, 20}, {40, 20}} }

// slabAndSand is 0.25 m of build-up.
func slabAndSand() []takeoff.Layer {
	return []takeoff.Layer{{Name: "slab", Thickness: 0.2}, {Name: "sand", Thickness: 0.05}}
}

// The layers of a level pad lie on its formation within the outline; one that goes to the
// margin, below it too.
func TestSectionLayersOfALevelPad(t *testing.T) {
	job := slopeJob()
	p := &job.Pads[0]
	p.Layers, p.Margin, p.Cut, p.Fill = slabAndSand(), 1, takeoff.Batter{Along: 1}, takeoff.Batter{Along: 1}
	p.Layers[1].To = takeoff.LayersToMargin
	assert.Equal(t, []takeoff.SectionLayer{
		{Pad: "a", Name: "slab", Points: []takeoff.LayerPoint{{Offset: -10, Top: 12, Underside: 11.8}, {Offset: 10, Top: 12, Underside: 11.8}}},
		{Pad: "a", Name: "sand", Points: []takeoff.LayerPoint{{Offset: -11, Top: 11.8, Underside: 11.75}, {Offset: 11, Top: 11.8, Underside: 11.75}}},
	}, layersThrough(t, job, across()))
}

// Those of a falling pad, and of one with levels of its own, fall with it.
func TestSectionLayersFall(t *testing.T) {
	falling := slopeJob()
	falling.Pads[0].Layers = slabAndSand()
	falling.Pads[0].Fall = &takeoff.Fall{Slope: 0.02, Bearing: 180, At: orb.Point{20, 20}}
	own := slopeJob()
	own.Pads[0].Layers, own.Pads[0].Finished = slabAndSand(), 0
	own.Pads[0].Levels = &takeoff.Levels{Outline: [][]float64{{11.8, 11.8, 12.2, 12.2}}}
	for _, job := range []*takeoff.Job{falling, own} {
		layers := layersThrough(t, job, across())
		require.Len(t, layers, 2)
		for i, want := range [][]takeoff.LayerPoint{
			{{Offset: -10, Top: 12.2, Underside: 12}, {Offset: 10, Top: 11.8, Underside: 11.6}},
			{{Offset: -10, Top: 12, Underside: 11.95}, {Offset: 10, Top: 11.6, Underside: 11.55}},
		} {
			require.Len(t, layers[i].Points, 2, "%v", layers[i])
			for k, p := range layers[i].Points {
				assert.InDelta(t, want[k].Offset, p.Offset, 1e-9)
				assert.InDelta(t, want[k].Top, p.Top, 1e-9)
				assert.InDelta(t, want[k].Underside, p.Underside, 1e-9)
			}
		}
	}
}

// A hole parts a layer, and where another pad rules there are its own.
func TestSectionLayersArePartedByHolesAndPads(t *testing.T) {
	job := slopeJob()
	job.Pads[0].Outline = append(job.Pads[0].Outline, orb.Ring{{15, 18}, {25, 18}, {25, 22}, {15, 22}})
	job.Pads[0].Layers = []takeoff.Layer{{Name: "slab", Thickness: 0.2}}
	job.Pads = append(job.Pads, takeoff.Pad{Name: "pit", Outline: square(18, 24, 3), Finished: 11, Layers: []takeoff.Layer{{Name: "sand", Thickness: 0.3}}})
	var met [][3]any
	for _, l := range layersThrough(t, job, across()) {
		require.Len(t, l.Points, 2)
		met = append(met, [3]any{l.Pad, l.Points[0].Offset, l.Points[1].Offset})
		if l.Pad == "pit" {
			assert.Equal(t, 11.0, l.Points[0].Top)
			assert.Equal(t, 10.7, l.Points[0].Underside)
		}
	}
	assert.Equal(t, [][3]any{{"a", -10.0, -7.0}, {"a", -4.0, -2.0}, {"a", 2.0, 10.0}, {"pit", -7.0, -4.0}}, met)
}

// In feet on a scaled grid thicknesses are as given, and offsets on the ground.
func TestSectionLayersInFeet(t *testing.T) {
	job := slopeJob()
	job.Units, job.Scale = tin.Foot, 0.9996
	job.Pads[0].Layers = slabAndSand()
	layers := layersThrough(t, job, across())
	require.Len(t, layers, 2)
	assert.InDelta(t, -10/0.9996, layers[0].Points[0].Offset, 1e-9)
	assert.Equal(t, 12.0, layers[0].Points[0].Top)
	assert.Equal(t, 11.75, layers[1].Points[1].Underside)
}

func TestSectionWithoutLayers(t *testing.T) {
	assert.Nil(t, layersThrough(t, slopeJob(), across()))
}

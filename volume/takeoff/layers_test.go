package takeoff_test

import (
	"math"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"barrow/tin"
	"barrow/tin/formation"
	"barrow/volume/takeoff"
)

func TestLayersFromAbove(t *testing.T) {
	job := slopeJob()
	a := &job.Pads[0]
	a.Margin = 1
	a.Layers = []takeoff.Layer{{Name: "slab", Thickness: 0.15}, {Name: "sand", Thickness: 0.05, To: takeoff.LayersToMargin}, {Name: "stone", Thickness: 0.2, To: takeoff.LayersToOutline}}
	a.Outline = append(a.Outline, square(14, 14, 4)[0]) // a hole, whose margin makes it smaller
	// The later pad takes a corner of the first.
	job.Pads = append(job.Pads, takeoff.Pad{Name: "b", Outline: square(28, 28, 4), Finished: 12, LayersTo: takeoff.LayersToMargin,
		Layers: []takeoff.Layer{{Name: "sand", Thickness: 0.1}}})
	r := run(t, job)
	l := r.Pads[0].Layers
	outline := 400.0 - 16 - 4
	assert.InEpsilon(t, outline, l[0].Area, 1e-12)
	assert.InEpsilon(t, outline*0.15, l[0].Volume, 1e-12)
	margin := 22*22 - 2*2 - 9.0
	assert.InEpsilon(t, margin, l[1].Area, 1e-12)
	assert.InEpsilon(t, margin*0.05, l[1].Volume, 1e-12)
	assert.InEpsilon(t, outline*0.2, l[2].Volume, 1e-12)
	assert.Equal(t, []takeoff.LayersTo{"outline", "margin", "outline"}, []takeoff.LayersTo{l[0].To, l[1].To, l[2].To})
	assert.InEpsilon(t, 1.6, r.Pads[1].Layers[0].Volume, 1e-12)

	require.Len(t, r.Total.Layers, 3)
	assert.Equal(t, []string{"slab", "sand", "stone"}, []string{r.Total.Layers[0].Name, r.Total.Layers[1].Name, r.Total.Layers[2].Name})
	assert.InEpsilon(t, margin*0.05+1.6, r.Total.Layers[1].Volume, 1e-12)
	assert.InEpsilon(t, margin+16, r.Total.Layers[1].Area, 1e-12)

	a = &job.Pads[0]
	a.LayersTo = takeoff.LayersToMargin
	assert.InEpsilon(t, margin, run(t, job).Pads[0].Layers[0].Area, 1e-12)
	a.LayersTo = "eaves"
	_, err := takeoff.Run(t.Context(), job, takeoff.Options{})
	assert.Equal(t, "pad[0].layers[0].to", inputError(t, err).Key)
}

// In feet: 20 by 20 ft of 6 in are 200 cubic feet; on a grid drawn out by 1.01 they are
// still that of the ground. A trench 10 ft long, 2 ft wide and 1.35 ft deep is a cubic yard.
func TestLayersAndThickeningsInFeet(t *testing.T) {
	job := slopeJob()
	job.Units, job.Scale = tin.Foot, 1.01
	p := &job.Pads[0]
	p.Outline = square(10, 10, 20.2)
	p.Layers = []takeoff.Layer{{Name: "slab", Thickness: 0.5}}
	p.Thickenings = []takeoff.Thickening{{
		Name: "footing", Lines: []orb.LineString{{{15, 15}, {25.1, 15}}}, Width: 2, Depth: 1.6, From: formation.FromFinished,
		Layers: []takeoff.Layer{{Name: "blinding", Thickness: 0.25}},
	}}
	r := run(t, job)
	assert.InEpsilon(t, 200.0/27, r.Pads[0].Layers[0].Volume, 1e-12)
	assert.InEpsilon(t, 400, r.Pads[0].Layers[0].Area, 1e-12)
	th := r.Pads[0].Thickenings[0]
	assert.InEpsilon(t, 10, th.Length, 1e-12)
	assert.InEpsilon(t, 20, th.Area, 1e-12)
	assert.InEpsilon(t, 1, th.Volume, 1e-12)
	assert.InEpsilon(t, 5.0/27, th.Layers[0].Volume, 1e-12)
	assert.InEpsilon(t, 22.0/27, th.Body, 1e-12)
	assert.Equal(t, 1.35, *th.Below)
	assert.Equal(t, 10.15, *th.Level)
	assert.InEpsilon(t, 1, r.Total.ThickeningVolume, 1e-12)
	assert.Equal(t, "blinding", r.Total.Layers[1].Name)
}

// What is dug below formation is in no cut.
func TestThickeningsAreBesideTheCut(t *testing.T) {
	job := slopeJob()
	before := run(t, job)
	job.Pads[0].Thickenings = []takeoff.Thickening{
		{Name: "a", Lines: []orb.LineString{{{12, 20}, {28, 20}}}, Width: 1, Depth: 0.5, From: formation.FromFormation},
		{Name: "pit", Areas: orb.MultiPolygon{square(19, 17, 4)}, Depth: 1, From: formation.FromFormation},
		{Name: "off", Areas: orb.MultiPolygon{square(29, 29, 2)}, Depth: 1, From: formation.FromFormation},
	}
	r := run(t, job)
	p := r.Pads[0]
	assert.Equal(t, before.Pads[0].Cut, p.Cut)
	assert.Equal(t, before.Pads[0].Fill, p.Fill)
	assert.InEpsilon(t, 6, p.Thickenings[0].Volume, 1e-12)
	assert.InEpsilon(t, 16, p.Thickenings[1].Volume, 1e-12)
	assert.InEpsilon(t, 1, p.Thickenings[2].Volume, 1e-12)
	assert.InEpsilon(t, 3, p.Thickenings[2].Outside, 1e-12)
	assert.InEpsilon(t, 23, p.ThickeningVolume, 1e-12)
	assert.Equal(t, []string{"thickening_outside"}, codes(r.Warnings))

	job.Pads[0].Thickenings[0].Depth = -1
	_, err := takeoff.Run(t.Context(), job, takeoff.Options{})
	assert.Equal(t, "pad[0].thickenings[0].depth", inputError(t, err).Key)
}

// On a grid drawn out by 1.01 the sides of a pit rise as they do on the ground.
func TestBatteredThickeningOnAGrid(t *testing.T) {
	job := slopeJob()
	job.Scale = 1.01
	job.Pads[0].Thickenings = []takeoff.Thickening{{
		Name: "pit", Areas: orb.MultiPolygon{square(18, 18, 4.04)}, Depth: 0.8, From: formation.FromFormation, Along: 0.5,
		Layers: []takeoff.Layer{{Name: "blinding", Thickness: 0.2}},
	}}
	th := run(t, job).Pads[0].Thickenings[0]
	sides := 16*0.5/2 + math.Pi*0.25/3
	assert.InDelta(t, sides, th.BatterVolume, 2e-5*sides)
	assert.InDelta(t, 16+sides, th.Volume, 2e-5*sides)
	assert.InEpsilon(t, 12.8, th.Body, 1e-12)
	assert.InEpsilon(t, 3.2, th.Layers[0].Volume, 1e-12)
	assert.InDelta(t, 16*0.5+math.Pi*0.25, th.BatterArea, 1e-4)
	assert.Positive(t, th.Bound)
	assert.Equal(t, 0.5, th.Along)
}

package takeoff

import (
	"slices"

	"github.com/paulmach/orb"

	"barrow/tin"
	"barrow/tin/formation"
	"barrow/tin/setout"
)

// target is the surface of a pad that finished work is held against.
type target struct {
	layer  int         // whose top it is; the number of layers: the formation
	facets []tin.Facet // where it is, in metres on the grid

	on, margin *formation.FacetFinder // of facets; of the pad's margin, where it is not
	formation  func(at orb.Point) (level float64, ok bool)
}

// layer is the name of the layer whose top is looked at; empty: formation or finished.
func (c *conforming) layer() string {
	if c.opts.Layer != "" {
		return c.opts.Layer
	}
	if c.opts.Of != OfFormation && c.opts.Of != OfFinished {
		return c.opts.Of
	}
	return ""
}

// targetOf returns what to look at of a pad; false where it has no such layer.
func (c *conforming) targetOf(i int) (t target, ok bool) {
	job, laid := &c.job.Pads[i], &c.layout.Pads[i]
	name := c.layer()
	switch {
	case name != "":
		t.layer = slices.IndexFunc(job.Layers, func(l Layer) bool { return l.Name == name })
	case c.opts.Of != OfFinished:
		t.layer = len(job.Layers)
	}
	if t.layer < 0 {
		return t, false
	}
	var margin []tin.Facet
	// The finished level of a pad without layers is its formation.
	if t.layer == len(job.Layers) || job.layerTo(t.layer) == LayersToMargin {
		t.facets = slices.Concat(laid.Facets, laid.Margin)
	} else {
		t.facets, margin = laid.Facets, laid.Margin
	}
	t.on, t.margin, t.formation = formation.NewFacetFinder(t.facets), formation.NewFacetFinder(margin), laid.LevelFinder()
	return t, true
}

// formation reports whether a pad's formation is looked at.
func (c *conforming) formation(p *conformPad) bool {
	return p.target.layer == len(c.job.Pads[p.index].Layers)
}

// above is how far the target is above the formation, in the job's unit.
func (c *conforming) above(p *conformPad) float64 {
	return c.job.Pads[p.index].layers()[p.target.layer:].Thickness()
}

// level is the level of a target on a level pad, as the decimal it is; false of another.
func (c *conforming) level(p *conformPad) (level float64, ok bool) {
	job := &c.job.Pads[p.index]
	if job.Levels != nil || job.Fall != nil {
		return 0, false
	}
	level = job.Finished
	for _, rung := range job.layers()[:p.target.layer].Ladder(job.Finished) {
		level = rung.Underside
	}
	return level, true
}

// asked returns the level asked for at a place in metres, in the job's unit.
func (c *conforming) asked(p *conformPad, at orb.Point) (float64, bool) {
	if level, ok := c.level(p); ok {
		return level, true
	}
	level, ok := p.target.formation(at)
	return level/c.unit + c.above(p), ok
}

// cover is what the shots of a pad must cover, on the grid.
func (c *conforming) cover(p *conformPad) setout.Cover {
	cover := setout.Cover{PerShot: areaPerShot * c.scale * c.scale, Reach: shotReach * c.scale}
	for _, f := range p.target.facets {
		cover.Area = append(cover.Area, f.Cell.Corner)
	}
	return cover
}

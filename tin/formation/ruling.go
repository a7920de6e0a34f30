package formation

import (
	"fmt"

	"github.com/paulmach/orb"

	"barrow/tin"
)

// ruling gives each piece of plan inside formation outlines to one pad.
type ruling struct {
	ground *tin.Surface
	layout *Layout
	pads   []*drawn
	own    []*ownPad // nil for a pad with a plane
	wide   []*widened
	group  []int // of each pad, the index in wide

	topsoil                  Topsoil
	pieces                   []groupPiece
	outlines, under, margins overlaps
	rims                     []rimEdge // of what is ruled inside outlines
}

// groupPiece is a piece of the margin of a group.
type groupPiece struct {
	piece
	group int
}

// ownPad is the formation of a pad with its own levels.
type ownPad struct {
	source *ownSource
	levels *levelledRim
	inside *ownTriangles
	margin *ownTriangles // nil without a margin
}

// levelTie is how near levels of two margins count as equal, metres.
const levelTie = 1e-9

// widen finds the formation outlines.
func (r *ruling) widen() error {
	for g, members := range groups(r.pads) {
		w, err := widen(r.ground, r.pads, members)
		if err != nil {
			return err
		}
		r.wide = append(r.wide, w)
		for _, p := range w.pieces {
			r.pieces = append(r.pieces, groupPiece{p, g})
		}
		outline := w.outline(r.rimLevel)
		r.layout.Outlines = append(r.layout.Outlines, outline)
		for _, i := range members {
			r.group[i] = g
		}
		first := members[0]
		if own := r.own[first]; own != nil && len(w.pieces) > 0 {
			if own.margin, err = own.source.marginTriangles(outline.Rings); err != nil {
				return indexError(err, first)
			}
		}
		if len(members) == 1 && len(w.pieces) == 0 {
			r.layout.Pads[first].FormationArea = r.layout.Pads[first].Geometry.Area
		}
	}
	return nil
}

// rimLevel returns the level of a pad's formation at a corner of its formation
// outline.
func (r *ruling) rimLevel(pad int, p orb.Point) float64 {
	if own := r.own[pad]; own != nil {
		return own.levels.levelNear(p)
	}
	return r.layout.Pads[pad].Plane.LevelAt(p[0], p[1])
}

// cells cuts the plan by the outlines, the pieces of margins, the edges of pads
// with their own levels, and the lines where the planes of two margins meet.
func (r *ruling) cells() ([]tin.Cell, error) {
	var polygons []orb.Polygon
	var lines []orb.LineString
	for i, d := range r.pads {
		polygons = append(polygons, d.pad.Outline)
		if own := r.own[i]; own != nil {
			lines = append(lines, own.inside.lines...)
			if own.margin != nil {
				lines = append(lines, own.margin.lines...)
			}
		}
	}
	for _, p := range r.pieces {
		polygons = append(polygons, orb.Polygon{p.ring})
	}
	for _, a := range r.topsoil.Areas {
		polygons = append(polygons, a.Area)
	}
	near := fine * rounding(polygons)
	cells, err := partition(r.ground, polygons, lines, near)
	if err == nil {
		if creases := r.creases(cells); len(creases) > 0 {
			cells, err = partition(r.ground, polygons, append(lines, creases...), near)
		}
	}
	if err != nil {
		return nil, fmt.Errorf("formation: pads cannot be laid out: %w", err)
	}
	return cells, nil
}

// claims are the pads that want a cell.
type claims struct {
	outlines []int // ascending
	margins  []int // one of each group, in the order of groups
}

func (r *ruling) claims(c tin.Cell) (w claims) {
	inside := make(map[int]bool) // groups with an outline here
	middle := cellCentroid(c)
	group, nearest := -1, 0.0
	for _, k := range c.In {
		if k < len(r.pads) {
			w.outlines = append(w.outlines, k)
			inside[r.group[k]] = true
			continue
		}
		if k -= len(r.pads); k >= len(r.pieces) {
			break // areas of topsoil
		}
		p := &r.pieces[k]
		if inside[p.group] {
			continue
		}
		away, _ := side{a: p.from.a, b: p.from.b}.distance(middle)
		switch {
		case p.group != group:
			group, nearest = p.group, away
			w.margins = append(w.margins, p.pad)
		case away < nearest:
			nearest = away
			w.margins[len(w.margins)-1] = p.pad
		}
	}
	return w
}

// stripped returns how much topsoil is taken off in a cell: of the last area that
// holds it, or outside all.
func (r *ruling) stripped(c tin.Cell) float64 {
	first := len(r.pads) + len(r.pieces)
	if n := len(c.In); n > 0 && c.In[n-1] >= first {
		return r.topsoil.Areas[c.In[n-1]-first].Depth
	}
	return r.topsoil.Depth
}

// marginPlane returns the plane of a pad's margin in a cell.
func (r *ruling) marginPlane(pad int, c tin.Cell) tin.Plane {
	own := r.own[pad]
	if own == nil {
		return r.layout.Pads[pad].Plane
	}
	plane, ok := own.margin.planeIn(c)
	if !ok { // all of it is no wider than rounding
		plane, _ = own.inside.planeIn(c)
	}
	return plane
}

// lay gives the cells to pads.
func (r *ruling) lay(cells []tin.Cell) error {
	areas := make([]tin.Sum, len(r.pads))
	var rims rimEdges
	for _, c := range cells {
		w := r.claims(c)
		r.share(areas, w, c)
		if len(w.outlines)+len(w.margins) == 0 {
			continue // an area of topsoil
		}
		if len(w.outlines) == 0 {
			r.layMargin(w.margins, c)
			continue
		}
		ruler := w.outlines[len(w.outlines)-1]
		plane := r.layout.Pads[ruler].Plane
		if own := r.own[ruler]; own != nil {
			var ok bool
			if plane, ok = own.inside.planeIn(c); !ok {
				return indexError(inputError(codeOutlineFlat, "outline", "give an outline with an area",
					"the outline of %s is a line but for rounding", named(r.pads[ruler].pad, ruler).label()), ruler)
			}
		}
		for _, i := range w.outlines[:len(w.outlines)-1] {
			r.outlines.add(i, ruler, c)
		}
		for _, i := range w.margins {
			r.under.add(i, ruler, c)
		}
		facet := tin.Facet{Cell: c, Plane: plane, Topsoil: r.stripped(c)}
		rims.add(ruler, facet)
		r.layout.Pads[ruler].Facets = append(r.layout.Pads[ruler].Facets, facet)
	}
	for i := range areas {
		if w := r.wide[r.group[i]]; len(w.pads) > 1 || len(w.pieces) > 0 {
			r.layout.Pads[i].FormationArea = areas[i].Value()
		}
	}
	r.rims = rims.left()
	return nil
}

// share adds a cell to the formation area of the pads it belongs to as drawn, one
// of each group.
func (r *ruling) share(areas []tin.Sum, w claims, c tin.Cell) {
	for k, i := range w.outlines {
		last := true
		for _, j := range w.outlines[k+1:] {
			last = last && r.group[j] != r.group[i]
		}
		if last {
			areas[i].Add(c.Area)
		}
	}
	for _, i := range w.margins {
		areas[i].Add(c.Area)
	}
}

// layMargin gives a cell outside all outlines to the lowest margin, the later of
// those that are level.
func (r *ruling) layMargin(margins []int, c tin.Cell) {
	ruler, plane, lowest := -1, tin.Plane{}, 0.0
	for _, i := range margins {
		p := r.marginPlane(i, c)
		level := 0.0
		for _, v := range c.Corner {
			level += p.LevelAt(v[0], v[1]) / 3
		}
		if ruler < 0 || level <= lowest+levelTie {
			ruler, plane, lowest = i, p, level
		}
	}
	for _, i := range margins {
		if i != ruler {
			r.margins.add(i, ruler, c)
		}
	}
	pad := &r.layout.Pads[ruler]
	pad.Margin = append(pad.Margin, tin.Facet{Cell: c, Plane: plane, Topsoil: r.stripped(c)})
}

// notes returns the notes of what gave way to what, and of steps.
func (r *ruling) notes(pads []Pad, opts Options) []tin.Problem {
	notes := r.outlines.asNotes(CodePadsOverlap, "%s and %s overlap by %s; the later, %[2]s, rules there", pads, opts)
	notes = append(notes, r.under.asNotes(CodeMarginsOverlap, "the margin of %s overlaps %s by %s; %[2]s rules there", pads, opts)...)
	notes = append(notes, r.margins.asNotes(CodeMarginsOverlap, "the margins of %s and %s overlap by %s; that of %[2]s rules there", pads, opts)...)
	return append(notes, stepNotes(r.rims, pads, opts)...)
}

package takeoff

import (
	"math"

	"github.com/paulmach/orb"
	"github.com/paulmach/orb/planar"

	"barrow/tin"
)

// facesAt finds the face that is dug or filled to at a place: what a grid asks at its
// corners.
type facesAt struct {
	faces         []dugFace
	box           orb.Bound
	side          [2]float64 // of a bin, metres
	columns, rows int
	bins          [][]int32 // the faces that may be met in each
}

// dugFace is a convex polygon, anticlockwise, of one plane.
type dugFace struct {
	corner  []orb.Point
	box     orb.Bound // round all that is on its rim
	plane   tin.Plane
	topsoil float64
}

// onRim is how far outside of a face a place may be, in metres, that counts as on its
// rim: more than the rounding of coordinates, less than anyone can peg.
const onRim = 1e-7

// newFacesAt gathers facets and faces, but those that are no wider than a rim: what
// they cover is on the rim of those beside them.
func newFacesAt(frame tin.Frame, facets []tin.Facet, pieces []tin.FacePiece) *facesAt {
	d := &facesAt{}
	for _, f := range facets {
		d.add(dugFace{corner: f.Cell.Corner[:], plane: f.Plane, topsoil: f.Topsoil})
	}
	for _, p := range pieces {
		f := dugFace{topsoil: p.Topsoil}
		for _, c := range p.Corner {
			f.corner = append(f.corner, frame.Metres(c.X, c.Y))
		}
		f.plane = planeOf(f.corner, p.Corner)
		d.add(f)
	}
	d.sort()
	return d
}

func (d *facesAt) add(f dugFace) {
	f.box = orb.MultiPoint(f.corner).Bound().Pad(onRim)
	longest := max(f.box.Max[0]-f.box.Min[0], f.box.Max[1]-f.box.Min[1])
	if planar.Area(orb.Ring(f.corner)) > float64(onRim*longest) {
		d.faces = append(d.faces, f)
	}
}

// planeOf returns the plane of a face, from the largest of its triangles.
func planeOf(at []orb.Point, corner []tin.FaceCorner) tin.Plane {
	plane, most := tin.Plane{At: at[0], Level: corner[0].Face}, 0.0
	for i := 2; i < len(at); i++ {
		ux, uy, u := at[i-1][0]-at[0][0], at[i-1][1]-at[0][1], corner[i-1].Face-corner[0].Face
		vx, vy, v := at[i][0]-at[0][0], at[i][1]-at[0][1], corner[i].Face-corner[0].Face
		twice := float64(ux*vy) - float64(uy*vx)
		if twice <= most {
			continue
		}
		most = twice
		plane.Gradient = [2]float64{(float64(u*vy) - float64(v*uy)) / twice, (float64(v*ux) - float64(u*vx)) / twice}
	}
	return plane
}

// sort puts the faces into bins, about as many as there are faces.
func (d *facesAt) sort() {
	for i, f := range d.faces {
		if i == 0 {
			d.box = f.box
		}
		d.box = d.box.Union(f.box)
	}
	each := int(math.Sqrt(float64(len(d.faces)))) + 1
	d.columns, d.rows = each, each
	d.side = [2]float64{(d.box.Max[0] - d.box.Min[0]) / float64(each), (d.box.Max[1] - d.box.Min[1]) / float64(each)}
	d.bins = make([][]int32, each*each)
	for i, f := range d.faces {
		from, to := d.bin(f.box.Min), d.bin(f.box.Max)
		for row := from[1]; row <= to[1]; row++ {
			for column := from[0]; column <= to[0]; column++ {
				k := row*d.columns + column
				d.bins[k] = append(d.bins[k], int32(i))
			}
		}
	}
}

// bin returns column and row of a place, of one outside the box those nearest to it.
func (d *facesAt) bin(p orb.Point) [2]int {
	of := func(axis, bins int) int {
		return min(max(int((p[axis]-d.box.Min[axis])/d.side[axis]), 0), bins-1)
	}
	return [2]int{of(0, d.columns), of(1, d.rows)}
}

// holds reports whether a place lies in a face.
func (d *facesAt) holds(e, n float64) bool {
	_, ok := d.at(orb.Point{e, n})
	return ok
}

// at returns the face at a place. Of several, beside an upright step, it is the lowest.
func (d *facesAt) at(p orb.Point) (face *dugFace, ok bool) {
	if !d.box.Contains(p) {
		return nil, false
	}
	level := math.Inf(1)
	b := d.bin(p)
	for _, i := range d.bins[b[1]*d.columns+b[0]] {
		f := &d.faces[i]
		if !f.holds(p) {
			continue
		}
		if l := f.plane.LevelAt(p[0], p[1]); l < level {
			face, level = f, l
		}
	}
	return face, face != nil
}

// near returns the face at a place or, outside of all faces, the nearest one within
// reach metres; of several as near the lowest there.
func (d *facesAt) near(p orb.Point, reach float64) (face *dugFace, ok bool) {
	if face, ok := d.at(p); ok {
		return face, true
	}
	box := orb.Bound{Min: p, Max: p}.Pad(reach)
	if !box.Intersects(d.box) {
		return nil, false
	}
	least, level := reach, math.Inf(1)
	from, to := d.bin(box.Min), d.bin(box.Max)
	for row := from[1]; row <= to[1]; row++ {
		for column := from[0]; column <= to[0]; column++ {
			for _, i := range d.bins[row*d.columns+column] {
				f := &d.faces[i]
				away, l := f.away(p), f.plane.LevelAt(p[0], p[1])
				if away < least || away == least && l < level {
					face, least, level = f, away, l
				}
			}
		}
	}
	return face, face != nil
}

// holds reports whether a place lies in the face or on its rim. It counts the sides
// that a line from there to the east meets: sides too short to have a direction do not
// count for more than they are.
func (f *dugFace) holds(p orb.Point) bool {
	if !f.box.Contains(p) {
		return false
	}
	in := false
	last := f.corner[len(f.corner)-1]
	for _, c := range f.corner {
		if up := c[1] > p[1]; up != (last[1] > p[1]) {
			left := float64((c[0]-last[0])*(p[1]-last[1])) - float64((c[1]-last[1])*(p[0]-last[0]))
			if left > 0 == up {
				in = !in
			}
		}
		last = c
	}
	return in || f.away(p) <= onRim
}

// away returns how far a place outside of the face is from it.
func (f *dugFace) away(p orb.Point) float64 {
	least := math.Inf(1)
	last := f.corner[len(f.corner)-1]
	for _, c := range f.corner {
		ux, uy, vx, vy := c[0]-last[0], c[1]-last[1], p[0]-last[0], p[1]-last[1]
		if long := float64(ux*ux) + float64(uy*uy); long > 0 {
			t := min(max((float64(ux*vx)+float64(uy*vy))/long, 0), 1)
			least = min(least, math.Hypot(vx-float64(t*ux), vy-float64(t*uy)))
		}
		last = c
	}
	return least
}

package takeoff

import (
	"slices"

	"github.com/paulmach/orb"

	"barrow/section"
	"barrow/tin"
	"barrow/volume"
	"barrow/volume/grid"
)

// crossWorks is works that every method measures, in metres on the grid.
type crossWorks struct {
	basis     string
	topsoilIn bool
	prism     crossVolumes
	area      float64 // square metres with ground
	atLeast   bool    // there are works beyond the ground
	formation section.Profiler
	depths    grid.Depths
	inside    func(e, n float64) bool
	pieces    func(visit func(depthPiece)) error // the prisms, one by one; each is valid until the next
}

// digWorks returns the works of a job: as dug and, where that is not all, as net void;
// and as a claim has them, where that is neither.
func (x *crossing) digWorks() (list []crossWorks, err error) {
	for _, b := range x.bases() {
		w, err := x.dug(b)
		if err != nil {
			return nil, err
		}
		list = append(list, w)
	}
	return list, nil
}

// crossBasis is what is measured, and from which ground.
type crossBasis struct {
	basis     string
	topsoilIn bool
}

func (x *crossing) bases() []crossBasis {
	list := []crossBasis{{basis: BasisAsDug}}
	if x.run.wider() {
		list = append(list, crossBasis{basis: BasisNetVoid})
	}
	if c := x.opts.Claim; c != nil {
		if b := x.claimedBasis(c); !slices.Contains(list, b) {
			list = append(list, b)
		}
	}
	return list
}

// wider reports whether a pad has works outside its outline.
func (r *run) wider() bool {
	for i := range r.layout.Pads {
		if len(r.layout.Pads[i].Margin)+len(r.dig.Pads[i].Faces) > 0 {
			return true
		}
	}
	return false
}

// dug returns the works of a job on a basis.
func (x *crossing) dug(b crossBasis) (w crossWorks, err error) {
	r := x.run
	works := r.allWorks()
	facets, faces := works.Facets, works.Faces
	if b.basis == BasisNetVoid {
		facets, faces = r.inOutlines(), nil
	}
	if b.topsoilIn {
		facets, faces = unstripped(facets), unstrippedFaces(faces)
	}
	within, err := volume.AgainstFacets(r.ctx, r.ground, facets)
	if err != nil {
		return w, err
	}
	all := together(within, volume.Faces(r.ground.Frame(), faces))
	w = crossWorks{
		basis: b.basis, topsoilIn: b.topsoilIn, prism: crossVolumes{all.Cut, all.Fill, all.CutLessFill},
		area:   all.CutArea + all.FillArea + all.LevelArea,
		pieces: r.dugPieces(facets, faces),
	}
	for i := range r.layout.Pads {
		open := b.basis == BasisAsDug && r.dig.Pads[i].OpenLength > 0
		w.atLeast = w.atLeast || open || all.UncoveredArea > areaRounding*w.area
	}
	var sides []section.Face
	for _, f := range facets {
		sides = append(sides, section.FacetFace(f))
	}
	for _, f := range faces {
		sides = append(sides, section.PieceFace(r.ground.Frame(), f))
	}
	if w.formation, err = section.NewFaces(r.ctx, sides); err != nil {
		return w, err
	}
	places := newFacesAt(r.ground.Frame(), facets, faces)
	w.inside = places.holds
	if all.UncoveredArea > 0 { // as far as there is ground, like the prisms
		w.inside = func(e, n float64) bool {
			_, ok := r.ground.LevelAt(e, n)
			return ok && places.holds(e, n)
		}
	}
	w.depths = func(e, n float64) (float64, bool) {
		// A cell at the rim has corners outside, where the faces go on.
		face, ok := places.near(orb.Point{e, n}, 1.5*x.grid.Along)
		if !ok {
			return 0, false
		}
		ground, ok := r.ground.LevelAt(e, n)
		return ground - face.topsoil - face.plane.LevelAt(e, n), ok
	}
	return w, nil
}

// inOutlines returns the formation of all pads without their margins.
func (r *run) inOutlines() (facets []tin.Facet) {
	for i := range r.layout.Pads {
		facets = append(facets, r.layout.Pads[i].Facets...)
	}
	return facets
}

// unstripped returns facets under the ground as it was before the strip.
func unstripped(facets []tin.Facet) []tin.Facet {
	out := slices.Clone(facets)
	for i := range out {
		out[i].Topsoil = 0
	}
	return out
}

// unstrippedFaces does the same to faces; where that turns fill into cut, they are
// parted.
func unstrippedFaces(faces []tin.FacePiece) []tin.FacePiece {
	var out []tin.FacePiece
	for _, f := range faces {
		for _, sign := range [...]float64{1, -1} {
			part := tin.FacePiece{Triangle: f.Triangle}
			last := f.Corner[len(f.Corner)-1]
			was := sign * (last.Ground + f.Topsoil - last.Face)
			for _, c := range f.Corner {
				is := sign * (c.Ground + f.Topsoil - c.Face)
				if was*is < 0 {
					t := was / (was - is)
					mix := func(a, b float64) float64 { return a + float64(t*(b-a)) }
					level := mix(last.Face, c.Face)
					part.Corner = append(part.Corner, tin.FaceCorner{X: mix(last.X, c.X), Y: mix(last.Y, c.Y), Ground: level, Face: level})
				}
				if is > 0 || is == 0 && sign > 0 {
					part.Corner = append(part.Corner, tin.FaceCorner{X: c.X, Y: c.Y, Ground: c.Ground + f.Topsoil, Face: c.Face})
				}
				last, was = c, is
			}
			if len(part.Corner) > 2 {
				out = append(out, part)
			}
		}
	}
	return out
}

// dugPieces returns what visits the prisms over facets and faces.
func (r *run) dugPieces(facets []tin.Facet, faces []tin.FacePiece) func(func(depthPiece)) error {
	return func(visit func(depthPiece)) error {
		cells := make([]tin.Cell, len(facets))
		for i, f := range facets {
			cells[i] = f.Cell
		}
		frame, n := r.ground.Frame(), 0
		var piece depthPiece
		for i, p := range r.ground.Pieces(cells) {
			if n++; n%4096 == 0 && r.ctx.Err() != nil {
				return r.ctx.Err()
			}
			if !p.Ground || !facets[i].Cell.Ground {
				continue
			}
			piece = piece[:0]
			for _, c := range p.Corner {
				at := frame.Metres(c.X, c.Y)
				piece = append(piece, depthCorner{at, c.Level - facets[i].Topsoil - facets[i].Plane.LevelAt(at[0], at[1])})
			}
			visit(piece)
		}
		for _, f := range faces {
			piece = piece[:0]
			for _, c := range f.Corner {
				piece = append(piece, depthCorner{frame.Metres(c.X, c.Y), c.Ground - c.Face})
			}
			visit(piece)
		}
		return nil
	}
}

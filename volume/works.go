package volume

import (
	"cmp"
	"context"
	"fmt"
	"slices"

	"barrow/tin"
)

// check refuses planes that are none.
func (w *Works) check() error {
	for i, f := range w.Facets {
		if !f.Plane.IsFinite() {
			return &tin.InputError{
				Code: "bad_plane", Message: fmt.Sprintf("the plane of facet %d has no finite level, place or gradient", i+1),
				Hint: "give finite numbers",
			}
		}
	}
	return nil
}

// contextEvery is how many pieces go by between two looks at the context: split into
// hundreds of parts, one takes a tenth of a second.
const contextEvery = 16

// each calls piece with every piece of the works, in the ground's frame and in an order
// that depends on coordinates only: top 0 and bottom at the formation, which is above
// the ground where it is less than 0. A piece is valid until the next.
func (w *Works) each(ctx context.Context, piece func(p []column, topsoil float64) error) error {
	n := 0
	next := func(p []column, topsoil float64) error {
		if n++; n%contextEvery == 0 && ctx.Err() != nil {
			return ctx.Err()
		}
		if !(planArea2(p) > 0) {
			return nil
		}
		return piece(p, topsoil)
	}
	var list []column
	facets, cells := w.grounded()
	planes := make([]localPlane, len(facets))
	for i, f := range facets {
		planes[i] = newLocalPlane(w.Ground.Frame(), f.Plane, f.Topsoil)
	}
	for i, p := range w.Ground.Pieces(cells) {
		if !p.Ground {
			continue
		}
		list = list[:0]
		for _, c := range p.Corner {
			depth := planes[i].depth(c)
			list = append(list, column{x: c.X, y: c.Y, level: c.Level - planes[i].topsoil, bottom: depth, total: depth})
		}
		if err := next(list, planes[i].topsoil); err != nil {
			return err
		}
	}
	for _, f := range slices.SortedFunc(slices.Values(w.Faces), compareFaces) {
		list = list[:0]
		for _, c := range f.Corner {
			depth := c.Ground - c.Face
			list = append(list, column{x: c.X, y: c.Y, level: c.Ground, bottom: depth, total: depth})
		}
		if err := next(list, f.Topsoil); err != nil {
			return err
		}
	}
	return ctx.Err()
}

// grounded returns the facets with ground, by the places of their cells, and these.
func (w *Works) grounded() (facets []tin.Facet, cells []tin.Cell) {
	for _, f := range w.Facets {
		if f.Cell.Ground {
			facets = append(facets, f)
		}
	}
	slices.SortStableFunc(facets, func(f, g tin.Facet) int {
		return slices.CompareFunc(f.Cell.Corner[:], g.Cell.Corner[:], comparePoints)
	})
	for _, f := range facets {
		cells = append(cells, f.Cell)
	}
	return facets, cells
}

func compareFaces(f, g tin.FacePiece) int {
	return cmp.Or(cmp.Compare(f.Triangle, g.Triangle), slices.CompareFunc(f.Corner, g.Corner, func(c, d tin.FaceCorner) int {
		return cmp.Or(cmp.Compare(c.X, d.X), cmp.Compare(c.Y, d.Y), cmp.Compare(c.Face, d.Face), cmp.Compare(c.Ground, d.Ground))
	}))
}

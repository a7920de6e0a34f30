package tin

import (
	"context"
	"runtime"
	"sync"
	"sync/atomic"

	"github.com/paulmach/orb"

	"barrow/tin/internal/mesh"
)

// Overlay is the common refinement of two surfaces: convex pieces, each within
// one triangle of either.
type Overlay struct {
	a, b  *Surface
	frame Frame
	// The meshes of both in the common frame.
	ma, mb *mesh.Mesh
	cells  []Cell // nil: the whole of a
	work   []overlayWork
	outer  float64 // area of the cells beyond a, square metres
}

// overlayWork is a triangle of a, or the part of it in one cell.
type overlayWork struct{ triangle, cell int32 }

// CommonPiece is a piece of an [Overlay].
type CommonPiece struct {
	A, B   int            // triangles of the two surfaces
	Corner []CommonCorner // anticlockwise; valid until the next piece
}

// CommonCorner is a corner of a common piece in local units of the overlay's
// frame, with both levels in metres.
type CommonCorner struct{ X, Y, A, B float64 }

// NewOverlay prepares the overlay of two surfaces within a polygon in metres,
// or over the whole of both where within is empty. Boundary, voids and MaxEdge
// of both count: where either has no ground there is no piece.
func NewOverlay(a, b *Surface, within orb.Polygon) (*Overlay, error) {
	o := &Overlay{a: a, b: b, frame: a.frame, ma: a.mesh, mb: b.mesh}
	if b.frame.per > a.frame.per {
		o.frame = b.frame
	}
	if a.frame != o.frame {
		o.ma = a.meshIn(o.frame)
	}
	if b.frame != o.frame {
		o.mb = b.meshIn(o.frame)
	}
	if len(within) == 0 && !a.limits.any() && !b.limits.any() {
		o.work = make([]overlayWork, 0, a.mesh.Triangles())
		for t := range int32(a.mesh.Triangles()) {
			if !a.isPeeled(t) {
				o.work = append(o.work, overlayWork{t, -1})
			}
		}
		return o, nil
	}
	return o, o.within(within)
}

// meshIn returns the surface's mesh with its coordinates in another frame.
func (s *Surface) meshIn(f Frame) *mesh.Mesh {
	at := make([]mesh.XY, len(s.level))
	for v, p := range s.mesh.P {
		at[v].X, at[v].Y = f.from(s.frame, p.X, p.Y)
	}
	return s.mesh.Placed(at)
}

// from returns the local point of this frame that is a local point of another.
// Between whole frames of one unit, into the finer, it is exact; between units it
// is rounded to a double of metres. In a whole frame a decimal is a whole number,
// whatever frame it comes from (see [Frame.Local]).
func (f Frame) from(g Frame, x, y float64) (float64, float64) {
	switch {
	case f.unit != g.unit, g.whole && !f.whole: // in the latter case too, the doubles as read
		return f.Local(g.Metres(x, y))
	case f.whole && !g.whole: // the doubles as read
		return f.in(g.e0+x, f.e0), f.in(g.n0+y, f.n0)
	}
	r := f.per / g.per
	return float64(x*r) + float64((g.e0-f.e0)*f.per), float64(y*r) + float64((g.n0-f.n0)*f.per)
}

// within cuts the work to a polygon, or to wherever the first surface has ground
// if it is empty, and to the limits of both surfaces.
func (o *Overlay) within(polygon orb.Polygon) error {
	whole := len(polygon) == 0
	if whole {
		polygon = o.a.Bound().Pad(1).ToPolygon()
	}
	if err := CheckOutline(polygon); err != nil {
		return err
	}
	p := newPartition(o.frame)
	p.polygon(o.frame.polygon(polygon, o.frame.Local))
	cells, err := p.cells(o.a.limits.in(o.frame, o.a.frame), o.b.limits.in(o.frame, o.b.frame))
	if err != nil {
		return err
	}
	var outer Sum
	cut := newCutter(o.a, o.ma, o.frame)
	for _, c := range cells {
		if !c.Ground && (!whole || !c.first) {
			if !whole {
				outer.Add(c.Area)
			}
			continue
		}
		var ground, peeled Sum
		missing := cut.cell(&c, func(p Piece) bool {
			switch {
			case !p.Ground:
				peeled.Add(p.Area())
			case !c.Ground: // the second surface has none
				ground.Add(p.Area())
			default:
				o.work = append(o.work, overlayWork{int32(p.Triangle), int32(len(o.cells))})
			}
			return true
		})
		outer.Add(float64(ground.Value() * o.frame.Area()))
		if !whole {
			outer.Add(float64((missing/2 + peeled.Value()) * o.frame.Area()))
		}
		o.cells = append(o.cells, c)
	}
	o.outer = outer.Value()
	return nil
}

// Frame returns the local system of the overlay's pieces.
func (o *Overlay) Frame() Frame { return o.frame }

// Beyond returns the area, in square metres, of the polygon where the first
// surface has no ground or either is outside its boundary or in a void; without
// a polygon, that of the first surface's ground outside the second's boundary or
// in its voids.
func (o *Overlay) Beyond() float64 { return o.outer }

// overlayPart is how many triangles of the first surface make a part.
const overlayPart = 2048

// Parts returns the number of parts the overlay is visited in. It depends on
// the surfaces and the polygon only.
func (o *Overlay) Parts() int { return (len(o.work) + overlayPart - 1) / overlayPart }

// Visit calls piece for each common piece: parts side by side, the pieces of
// one part one after the other in an order that depends on coordinates only.
// gap is told of the area, in square metres, that the second surface does not
// cover of each triangle of the first (of the part of it within the polygon).
// Visit returns early, with the context's error, when the context ends.
func (o *Overlay) Visit(ctx context.Context, piece func(part int, p *CommonPiece), gap func(part int, area float64)) error {
	var next atomic.Int64
	var wg sync.WaitGroup
	for range min(runtime.GOMAXPROCS(0), o.Parts()) {
		wg.Go(func() {
			v := newOverlayVisit(o)
			for ctx.Err() == nil {
				part := int(next.Add(1)) - 1
				if part >= o.Parts() {
					return
				}
				v.part(ctx, part, func(p *CommonPiece) { piece(part, p) }, func(area float64) { gap(part, area) })
			}
		})
	}
	wg.Wait()
	return ctx.Err()
}

// VisitInOrder calls piece for each common piece, one after the other in an order that
// depends on coordinates only: the parts of [Overlay.Visit] in a row, so that nothing need
// be kept of them. It returns early, with the context's error, when the context ends.
func (o *Overlay) VisitInOrder(ctx context.Context, piece func(p *CommonPiece)) error {
	v := newOverlayVisit(o)
	for part := range o.Parts() {
		if ctx.Err() != nil {
			break
		}
		v.part(ctx, part, piece, func(float64) {})
	}
	return ctx.Err()
}

// part visits one part. It starts afresh, whoever takes it.
func (v *overlayVisit) part(ctx context.Context, part int, piece func(p *CommonPiece), gap func(area float64)) {
	v.hint, v.piece = -1, piece
	for _, w := range v.o.work[part*overlayPart : min(len(v.o.work), (part+1)*overlayPart)] {
		if ctx.Err() != nil {
			return
		}
		if area := v.visit(w); area > 0 {
			gap(area / 2 * v.o.frame.Area())
		}
	}
}

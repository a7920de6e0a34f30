package takeoff

import (
	"context"
	"fmt"
	"math"
	"slices"

	"github.com/paulmach/orb"

	"barrow/tin"
	"barrow/tin/formation"
	"barrow/volume"
)

// farApart is how far the ground may be from every formation before two datums
// are suspected, metres. Common practice, no source.
const farApart = 10

// thinFactor is how much longer than the median edge a triangle's side must be
// to tell of ground that was hardly surveyed there.
const thinFactor = 5

// assess looks for what a person must know before using the figures.
func (r *run) assess() error {
	r.tell("checking", 0, 1)
	if err := r.assessCover(); err != nil {
		return err
	}
	if err := r.assessSpots(); err != nil {
		return err
	}
	for _, step := range []func() error{r.assessLevels, r.findFaces, r.findOutlets} {
		if err := step(); err != nil {
			return err
		}
	}
	for i := range r.surveys {
		s := &r.surveys[i].result
		if s.Stripped {
			r.notes = append(r.notes, tin.Problem{Code: NoteSurveyStrip,
				Message: fmt.Sprintf("%s was taken after stripping: its ground is the stripped ground", orSurvey(s.Name))})
		}
	}
	r.noteStates()
	if r.scale != 1 {
		r.notes = append(r.notes, tin.Problem{Code: NoteScale, Message: fmt.Sprintf(
			"scale %s: lengths are grid lengths / scale, areas and volumes grid figures / scale^2; levels are not scaled", formatNumber(r.scale))})
	}
	r.tell("checking", 1, 1)
	return nil
}

func orSurvey(name string) string {
	if name == "" {
		return "the survey"
	}
	return name
}

// assessCover warns of works without ground, and refuses a job that has no
// ground under any pad.
func (r *run) assessCover() error {
	var covered bool
	var ruled int
	for i, p := range r.layout.Pads {
		c := r.measured[i].formed()
		if len(p.Facets) > 0 {
			ruled++
		}
		covered = covered || c.CutArea > 0 || c.FillArea > 0 || c.LevelArea > 0
	}
	swap, file, swapped := r.swapped()
	if !covered && ruled > 0 {
		e := &tin.InputError{Code: codeOffGround, Key: "pad[0].outline",
			Message: "no pad touches the surveyed ground: " + r.extents(),
			Hint:    "check the coordinates of both, their units, and that easting comes first"}
		if g := r.job.Ground; len(g.Boundary)+len(g.Voids) > 0 && r.ground.Bound().Intersects(r.layoutBound()) {
			e.Hint = "the boundary or the voids may take the ground away there: check their coordinates"
		}
		if swapped {
			e.Code, e.File, e.Key, e.Message, e.Hint = swap.Code, file, "", swap.Message, "state the order with columns, or put it right in the header"
			if file != "" {
				e.Message = e.Message[len(file)+2:]
			}
		}
		return e
	}
	if swapped {
		r.warnings = append(r.warnings, swap)
	}
	for i, p := range r.layout.Pads {
		c := r.measured[i].formed()
		missing := uncovered(&p, &c)
		if missing == 0 {
			continue
		}
		w := tin.Problem{Code: WarnUncovered, Message: fmt.Sprintf(
			"pad %s: %s of its %s lie outside the surveyed ground and are not measured: its volumes are at least those given",
			p.Pad.Name, r.area(missing), r.area(facetArea(p.Facets, p.Margin)))}
		for _, f := range slices.Concat(p.Facets, p.Margin) {
			at := centroid(f.Cell)
			if _, ok := r.ground.LevelAt(at[0], at[1]); !ok {
				w.At = &at
				break
			}
		}
		r.warnings = append(r.warnings, w)
	}
	return nil
}

// layoutBound is the box round all outlines, metres.
func (r *run) layoutBound() orb.Bound {
	box, u := r.job.outlineBound(), r.unit
	return orb.Bound{
		Min: orb.Point{box.Min[0] * u, box.Min[1] * u},
		Max: orb.Point{box.Max[0] * u, box.Max[1] * u},
	}
}

func (r *run) extents() string {
	box, ground := r.job.outlineBound(), r.ground.Bound()
	u := r.unit
	return fmt.Sprintf("outlines lie within E %.0f to %.0f, N %.0f to %.0f, the ground within E %.0f to %.0f, N %.0f to %.0f",
		box.Min[0], box.Max[0], box.Min[1], box.Max[1],
		ground.Min[0]/u, ground.Max[0]/u, ground.Min[1]/u, ground.Max[1]/u)
}

// area writes a grid area in square metres as one on the ground in the job's
// unit.
func (r *run) area(m2 float64) string {
	return fmt.Sprintf("%.1f %s", m2/(r.unit*r.unit*r.scale*r.scale), r.job.units().Area)
}

// length writes a level or a ground length in metres in the job's unit.
func (r *run) length(m float64) string {
	return fmt.Sprintf("%.1f %s", m/r.unit, r.job.units().Length)
}

// uncovered returns a pad's plan area without ground, m2 on the grid. What is
// less than a thousand millionth of the pad is the rounding of areas.
func uncovered(p *formation.LaidPad, c *volume.CutFill) float64 {
	if c.UncoveredArea <= 1e-9*facetArea(p.Facets, p.Margin) {
		return 0
	}
	return c.UncoveredArea
}

func facetArea(lists ...[]tin.Facet) float64 {
	sum := 0.0
	for _, facets := range lists {
		for _, f := range facets {
			sum += f.Cell.Area
		}
	}
	return sum
}

func centroid(c tin.Cell) orb.Point {
	a := c.Corner[0]
	return orb.Point{
		a[0] + ((c.Corner[1][0]-a[0])+(c.Corner[2][0]-a[0]))/3,
		a[1] + ((c.Corner[1][1]-a[1])+(c.Corner[2][1]-a[1]))/3,
	}
}

// assessSpots looks how closely the spots cover the works: it warns of works on
// triangles much longer than usual.
func (r *run) assessSpots() error {
	var works []tin.Cell
	for _, p := range r.layout.Pads {
		for _, f := range slices.Concat(p.Facets, p.Margin) {
			works = append(works, f.Cell)
		}
	}
	c, err := r.ground.Coverage(r.ctx, works, thinFactor*r.stats.EdgeMedian)
	if err != nil {
		return err
	}
	r.maxGap, r.thinArea = c.Gap, c.ThinArea
	if c.ThinArea > leastThin && r.job.Ground.MaxEdge == 0 {
		r.warnings = append(r.warnings, tin.Problem{Code: WarnThinGround, At: &c.ThinAt, Message: fmt.Sprintf(
			"%s of the works lie on triangles with a side over %d times the usual %s: there the ground is hardly surveyed; take more spots, or set max_edge",
			r.area(c.ThinArea), thinFactor, r.length(r.stats.EdgeMedian/r.scale))})
	}
	return nil
}

// leastThin is a sliver not worth a warning, m2.
const leastThin = 1e-3

// assessLevels warns of ground that is far from the formation of every pad.
func (r *run) assessLevels() error {
	n := nearest{depth: math.Inf(1)}
	for i := range r.layout.Pads {
		err := n.pad(r.ctx, r.ground, r.layout.Pads[i].Facets)
		if err != nil || math.Abs(n.depth) <= farApart {
			return err
		}
	}
	if math.IsInf(n.depth, 1) {
		return nil
	}
	side := "above"
	if n.depth < 0 {
		side = "below"
	}
	r.warnings = append(r.warnings, tin.Problem{Code: WarnFarLevels, At: &n.at, Message: fmt.Sprintf(
		"the ground is over %s from the formation everywhere in the works, at the nearest %s %s it: two datums, or a benchmark left out?",
		r.length(farApart), r.length(math.Abs(n.depth)), side)})
	return nil
}

// nearest is where ground and formation are nearest to each other in what was
// looked at.
type nearest struct {
	depth float64 // cut positive, metres; 0 where cut turns to fill
	at    orb.Point
}

// pad looks at the ground within the facets of one pad, until it is not far
// apart from the formation.
func (n *nearest) pad(ctx context.Context, ground *tin.Surface, facets []tin.Facet) error {
	var cells []tin.Cell
	var planes []tin.Plane
	for _, f := range facets {
		if f.Cell.Ground {
			cells, planes = append(cells, f.Cell), append(planes, f.Plane)
		}
	}
	looked := 0
	for i, p := range ground.Pieces(cells) {
		if looked++; looked%4096 == 0 && ctx.Err() != nil {
			return ctx.Err()
		}
		if !p.Ground {
			continue
		}
		n.piece(ground.Frame(), p.Corner, planes[i])
		if math.Abs(n.depth) <= farApart {
			return nil
		}
	}
	return nil
}

// piece looks at a piece of ground.
func (n *nearest) piece(frame tin.Frame, ground []tin.PieceCorner, formation tin.Plane) {
	low, high := math.Inf(1), math.Inf(-1)
	for _, c := range ground {
		at := frame.Metres(c.X, c.Y)
		d := c.Level - formation.LevelAt(at[0], at[1])
		low, high = min(low, d), max(high, d)
		if math.Abs(d) < math.Abs(n.depth) {
			n.depth, n.at = d, at
		}
	}
	if low <= 0 && high >= 0 {
		n.depth = 0
	}
}

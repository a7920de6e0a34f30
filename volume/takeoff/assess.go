package takeoff

import (
	"fmt"
	"math"

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
	w := newWorks(r.layout)
	r.assessLevels(w)
	if err := r.assessThin(w); err != nil {
		return err
	}
	r.maxGap = w.maxGap(r.ctx, r.ground)
	if err := r.ctx.Err(); err != nil {
		return err
	}
	for i := range r.surveys {
		s := &r.surveys[i].result
		if s.Stripped {
			r.notes = append(r.notes, tin.Problem{Code: NoteSurveyStrip,
				Message: fmt.Sprintf("%s was taken after stripping: its ground is the stripped ground", orSurvey(s.Name))})
		}
	}
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
		c := &r.cutFills[i]
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
		c := &r.cutFills[i]
		missing := uncovered(&p, c)
		if missing == 0 {
			continue
		}
		w := tin.Problem{Code: WarnUncovered, Message: fmt.Sprintf(
			"pad %s: %s of its %s lie outside the surveyed ground and are not measured: its volumes are at least those given",
			p.Pad.Name, r.area(missing), r.area(facetArea(p.Facets)))}
		for _, f := range p.Facets {
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
	if c.UncoveredArea <= 1e-9*facetArea(p.Facets) {
		return 0
	}
	return c.UncoveredArea
}

func facetArea(facets []tin.Facet) float64 {
	sum := 0.0
	for _, f := range facets {
		sum += f.Cell.Area
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

// assessLevels warns where the ground under the works is far from the
// formation of every pad: looked at are the corners of the formation's pieces,
// and if all of those are far, the ground's vertices in the works.
func (r *run) assessLevels(w *works) {
	nearest, at := math.Inf(1), orb.Point{}
	look := func(p orb.Point, ground float64, plane tin.Plane) {
		if d := ground - plane.LevelAt(p[0], p[1]); math.Abs(d) < math.Abs(nearest) {
			nearest, at = d, p
		}
	}
	for _, f := range w.facets {
		for _, p := range f.Cell.Corner {
			if z, ok := r.ground.LevelAt(p[0], p[1]); ok {
				look(p, z, f.Plane)
			}
		}
	}
	if math.IsInf(nearest, 1) || math.Abs(nearest) <= farApart {
		return
	}
	for _, v := range r.ground.Vertices() {
		p := orb.Point{v.E, v.N}
		for _, f := range w.at(p) {
			look(p, v.Level, f.Plane)
		}
	}
	if math.Abs(nearest) <= farApart {
		return
	}
	side := "above"
	if nearest < 0 {
		side = "below"
	}
	r.warnings = append(r.warnings, tin.Problem{Code: WarnFarLevels, At: &at, Message: fmt.Sprintf(
		"the ground is over %s from the formation everywhere in the works, at the nearest %s %s it: two datums, or a benchmark left out?",
		r.length(farApart), r.length(math.Abs(nearest)), side)})
}

// assessThin measures works on triangles much longer than usual. With a
// max_edge the job has said itself how long they may be, and it is no warning.
func (r *run) assessThin(w *works) error {
	median := r.ground.Stats().EdgeMedian
	limit := thinFactor * median
	var at *orb.Point
	n := 0
	for _, t := range r.ground.Triangles() {
		if n++; n%65536 == 0 && r.ctx.Err() != nil {
			return r.ctx.Err()
		}
		if !longSide(t, limit) {
			continue
		}
		area, place := w.overlap(t)
		if area > 0 {
			r.thinArea += area
			if at == nil {
				at = &place
			}
		}
	}
	if r.thinArea > leastThin && r.job.Ground.MaxEdge == 0 {
		r.warnings = append(r.warnings, tin.Problem{Code: WarnThinGround, At: at, Message: fmt.Sprintf(
			"%s of the works lie on triangles with a side over %d times the usual %s: there the ground is hardly surveyed; take more spots, or set max_edge",
			r.area(r.thinArea), thinFactor, r.length(median/r.scale))})
	}
	return nil
}

// leastThin is a sliver not worth a warning, m2.
const leastThin = 1e-3

func longSide(t tin.Triangle, limit float64) bool {
	for i := range 3 {
		a, b := t.Corner[i], t.Corner[(i+1)%3]
		if math.Hypot(b.E-a.E, b.N-a.N) > limit {
			return true
		}
	}
	return false
}

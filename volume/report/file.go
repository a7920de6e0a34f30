package report

import (
	"cmp"
	"fmt"
	"io"
	"strings"

	"github.com/paulmach/orb"

	"barrow/tin/pointfile"
	"barrow/volume/takeoff"
)

// File writes what is in a file that is no point file, in lines of at most 80 characters.
// Numbers are in the unit of the file.
func File(w io.Writer, d *takeoff.FileDescription) error {
	f := fileSheet{d: d}
	f.put("", d.Name)
	f.item("kind", strings.TrimSpace(d.Kind+" "+d.Format))
	f.cloud()
	f.raster()
	f.points()
	f.unit()
	f.listed("SURFACES", len(d.Surfaces), func(i int) string { return surface(&d.Surfaces[i]) })
	f.listed("LINES AND OUTLINES", len(d.Shapes), func(i int) string { return lineOrOutline(&d.Shapes[i]) })
	if d.Points != nil {
		f.doubts(d.Points)
	}
	f.listed("NOTES", len(d.Notes), func(i int) string { return d.Notes[i].Message })
	return f.deliver(w)
}

// FileDoubts is how many points of a file [File] puts before a person.
func FileDoubts(d *takeoff.FileDescription) int {
	if d.Points == nil {
		return 0
	}
	return PointsDoubts(d.Points)
}

type fileSheet struct {
	sheet
	d *takeoff.FileDescription
}

func (f *fileSheet) unit() {
	u := f.d.Units
	switch {
	case u == "" && f.d.LevelUnits == "":
		u = "not stated: all numbers are as in the file"
	case u == "":
		u = "of the plan not stated, levels in " + f.d.LevelUnits
	case f.d.LevelUnits == "":
		u += ", that of the levels not stated"
	case f.d.LevelUnits != u:
		u += ", levels in " + f.d.LevelUnits
	}
	f.item("unit", u)
	if f.d.System != "" {
		f.item("system", f.d.System+", as the file says; nothing is projected")
	}
}

// extent writes the box round points.
func (s *sheet) extent(e orb.Bound) {
	s.item("easting", fmt.Sprintf("%s to %s, %s east to west", fixed(e.Min[0], 3), fixed(e.Max[0], 3), fixed(e.Max[0]-e.Min[0], 3)))
	s.item("northing", fmt.Sprintf("%s to %s, %s north to south", fixed(e.Min[1], 3), fixed(e.Max[1], 3), fixed(e.Max[1]-e.Min[1], 3)))
}

func (s *sheet) span(x takeoff.Span) {
	s.extent(x.Extent)
	s.item("level", fmt.Sprintf("%s to %s", fixed(x.LowLevel, 3), fixed(x.TopLevel, 3)))
}

func (f *fileSheet) cloud() {
	c := f.d.Cloud
	if c == nil {
		return
	}
	f.item("points", fmt.Sprint(c.Points))
	for i, k := range c.Classes {
		subject := ""
		if i == 0 {
			subject = "classes"
		}
		f.item(subject, classCount(k))
	}
	if c.Ground > 0 {
		f.item("ground", fmt.Sprintf("%d points, which a survey takes unless it names classes; all below is of these", c.Ground))
	} else {
		f.item("ground", "NONE: a survey must name the classes that are ground; all below is of all points")
	}
	f.span(c.Span)
	e := c.Span.Extent
	if area := (e.Max[0] - e.Min[0]) * (e.Max[1] - e.Min[1]); area > 0 {
		f.item("density", fmt.Sprintf("a point to %s square units of the box round them", fixed(area/float64(cmp.Or(c.Ground, c.Points)), 3)))
	}
}

func classCount(k takeoff.ClassCount) string {
	name := ""
	if k.Name != "" {
		name = ", " + k.Name
	}
	return fmt.Sprintf("%d%s: %d", k.Class, name, k.Points)
}

func (f *fileSheet) raster() {
	r := f.d.Raster
	if r == nil {
		return
	}
	f.item("size", fmt.Sprintf("%d columns, %d rows: %d samples, of them %d without a level", r.Columns, r.Rows, r.Columns*r.Rows, r.Missing))
	step := fixed(r.StepE, 3)
	if r.StepN != r.StepE {
		step = fmt.Sprintf("%s east, %s north", step, fixed(r.StepN, 3))
	}
	f.item("step", step+" from sample to sample")
	f.span(r.Span)
}

func (f *fileSheet) points() {
	p := f.d.Points
	if p == nil {
		return
	}
	f.item("points", fmt.Sprintf("%d, of them %d without a level", p.Points, p.PlanOnly))
	f.described(p)
}

// described writes where points lie, their spacing and their codes.
func (s *sheet) described(d *pointfile.Description) {
	if d.Points > 0 {
		s.extent(d.Extent)
	}
	if l := d.Levels; l.Count > 0 {
		s.item("level", fmt.Sprintf("%s to %s, mean %s, standard deviation %s", fixed(l.Min, 3), fixed(l.Max, 3), fixed(l.Mean, 3), fixed(l.SD, 3)))
	}
	if d.Spacing > 0 {
		s.item("spacing", fixed(d.Spacing, 3)+" in the middle: half of the points have a nearer neighbour")
	}
	var codes []string
	for _, c := range d.Codes {
		codes = append(codes, fmt.Sprintf("%s %d", c.Code, c.Count))
	}
	if len(codes) > 0 {
		if d.Uncoded > 0 {
			codes = append(codes, fmt.Sprintf("(none) %d", d.Uncoded))
		}
		s.item("codes", strings.Join(codes, ", "))
	}
}

// doubts lists what a person should look at.
func (s *sheet) doubts(d *pointfile.Description) {
	s.listed("POINTS AT ONE PLACE", len(d.Duplicates), func(i int) string { return duplicate(d.Duplicates[i]) })
	s.listed("POINTS THAT LOOK WRONG (they may be right all the same)", len(d.Suspects), func(i int) string {
		return pointOf(d.Suspects[i].Point) + ": " + d.Suspects[i].Message
	})
}

func surface(s *takeoff.SurfaceDescription) string {
	how := "no triangles: to be built from its points"
	if s.Faces > 0 {
		how = countOf(s.Faces, "triangle", "triangles") + " as built"
	}
	state := ""
	if s.State != "" {
		state = " (" + s.State + ")"
	}
	e := s.Span.Extent
	return fmt.Sprintf("%q%s: %s, %s; breaklines %d, boundaries %d; easting %s to %s, northing %s to %s, level %s to %s", s.Name, state, countOf(s.Points, "point", "points"), how, s.Breaklines, s.Boundaries,
		fixed(e.Min[0], 3), fixed(e.Max[0], 3), fixed(e.Min[1], 3), fixed(e.Max[1], 3), fixed(s.Span.LowLevel, 3), fixed(s.Span.TopLevel, 3))
}

func lineOrOutline(s *takeoff.ShapeDescription) string {
	name := "without a name"
	if s.Name != "" {
		name = fmt.Sprintf("%q", s.Name)
	}
	switch {
	case s.Fault != "":
		return name + ": CANNOT BE READ: " + s.Fault
	case s.Closed:
		return fmt.Sprintf("%s: an outline with %d corners", name, s.Vertices)
	}
	return fmt.Sprintf("%s: a line with %d vertices", name, s.Vertices)
}

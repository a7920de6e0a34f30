package takeoff

import (
	"fmt"
	"io"
	"slices"
	"strconv"
	"strings"

	"github.com/paulmach/orb"
	"github.com/paulmach/orb/planar"

	"barrow/tin"
	"barrow/tin/landxml"
)

// readXML reads a LandXML file; of its surfaces the one the job names, if it names one.
func (l *loader) readXML(r io.Reader, f *dataFile, most int, pointsOnly bool) (*landxml.File, error) {
	file, err := landxml.Read(l.ctx, r, f.name, landxml.Options{Surface: f.surface, PointsOnly: pointsOnly, MaxPoints: most})
	if err != nil {
		return nil, l.wholePoints(f, err)
	}
	l.fileNotes(f, file.Notes)
	l.assumed(f, file.Unit, file.Unit)
	return file, nil
}

// xmlSurvey reads a surface of a LandXML file, or its points where it has none. The
// triangles of a surface are taken as built where they are all the ground there is, or
// where the job asks for them.
func (l *loader) xmlSurvey(r io.Reader, f *dataFile, alone bool, s *surveyed) error {
	faces := f.survey.as == asFaces || f.survey.as == "" && alone
	file, err := l.readXML(r, f, l.mostPoints(), !faces)
	if err != nil {
		return err
	}
	surface, err := l.oneSurface(f, file)
	switch {
	case err != nil:
		return err
	case surface == nil && len(file.Points) == 0:
		return &tin.InputError{Code: "no_points", File: f.name, Message: "the file holds neither a surface nor points that are ground", Hint: "check that it is the right file"}
	case surface == nil:
		s.points = file.Points
	default:
		s.points, s.faces = surface.Points, surface.Faces
		if s.faces == nil {
			s.lines = surface.Breaklines
			s.limits = l.surfaceLimits(f, surface.Boundaries)
		}
		l.surfaceNotes(f, file, surface)
	}
	if f.survey.as == asFaces && s.faces == nil {
		l.fail(f.at, codeFacesWanted, "the file holds no surface with triangles, and they are asked for", `write as = "points", or leave it out`)
		return l.err
	}
	return l.take(f, file.Unit, file.Unit, s)
}

// oneSurface returns the surface that is the survey: the one there is, or the one that is
// said to be existing. nil: there is none.
func (l *loader) oneSurface(f *dataFile, file *landxml.File) (*landxml.Surface, error) {
	var existing []*landxml.Surface
	var names []string
	for i := range file.Surfaces {
		s := &file.Surfaces[i]
		names = append(names, strconv.Quote(s.Name))
		if s.State == "existing" {
			existing = append(existing, s)
		}
	}
	switch {
	case len(names) == 0:
		return nil, nil
	case len(names) == 1:
		return &file.Surfaces[0], nil
	case len(existing) == 1:
		return existing[0], nil
	}
	l.fail(f.at, codeWhichSurface, fmt.Sprintf("the file holds %d surfaces: %s", len(names), strings.Join(names[:min(len(names), 10)], ", ")),
		fmt.Sprintf("name the one: { file = %q, surface = %s }", f.at.Text, names[0]))
	return nil, l.err
}

// surfaceNotes says which surface was taken, and how.
func (l *loader) surfaceNotes(f *dataFile, file *landxml.File, s *landxml.Surface) {
	how := "its triangles as built"
	if s.Faces == nil {
		how = "its points and breaklines triangulated anew"
	}
	l.note(NoteSurfaceTaken, "%s: the surface %q, %s, %s", f.name, s.Name, countOf(len(s.Points), "point"), how)
	if s.State != "" && s.State != "existing" {
		l.job.Warnings = append(l.job.Warnings, tin.Problem{Code: WarnNotExisting,
			Message: fmt.Sprintf("%s: the surface %q, taken as the survey, is said to be %s, and not existing ground", f.name, s.Name, s.State)})
	}
	if n := len(file.Points); n > 0 {
		l.note(NotePointsNotUsed, "%s: %s beside the surface not used", f.name, countOf(n, "point"))
	}
}

// surfaceLimits turns the boundaries of a surface into areas: where there is ground, and
// voids in it, with islands as their holes.
func (l *loader) surfaceLimits(f *dataFile, boundaries []landxml.Boundary) limits {
	out := limits{file: f.name}
	for _, b := range boundaries {
		switch b.Kind {
		case landxml.Void:
			out.voids = append(out.voids, orb.Polygon{openRing(b.Ring)})
		case landxml.Outer:
			out.outer = append(out.outer, orb.Polygon{openRing(b.Ring)})
		}
	}
	for _, b := range boundaries {
		if b.Kind != landxml.Island || len(b.Ring) == 0 {
			continue
		}
		i := slices.IndexFunc(out.voids, func(p orb.Polygon) bool { return planar.RingContains(p[0], b.Ring[0]) })
		if i < 0 {
			l.note(NoteBoundaries, "%s: the island in line %d lies in no void, and has no effect", f.name, b.Line)
			continue
		}
		out.voids[i] = append(out.voids[i], openRing(b.Ring))
	}
	return out
}

// limitGround takes the boundaries of a surface for the ground, where there is no other
// survey and the job states none itself.
func (l *loader) limitGround() {
	g := &l.job.Ground
	stated := len(g.Boundary)+len(g.Voids) > 0
	for _, s := range l.limits {
		switch {
		case !s.some():
		case stated || len(l.limits) > 1:
			l.note(NoteBoundaries, "%s: the boundaries of the surface are not used, since the job states others, or has other surveys", s.file)
		default:
			g.Boundary, g.Voids = s.outer, s.voids
			l.note(NoteBoundaries, "%s: the boundaries of the surface limit the ground, %d outer and %d round voids: triangles are cut at them", s.file, len(s.outer), len(s.voids))
		}
	}
}

// mostPositions bounds a LandXML file of shapes, which may hold surfaces too; the vertices
// themselves are counted afterwards.
func (l *loader) mostPositions() int { return max(l.budget.left.Points+l.budget.left.Vertices, 1) }

// xmlFeatures returns the lines and outlines of a LandXML file: those of a name, if one
// is given, and none where the job names a surface.
func (l *loader) xmlFeatures(r io.Reader, f *dataFile) (file *landxml.File, features []landxml.Feature, err error) {
	if file, err = l.readXML(r, f, l.mostPositions(), true); err != nil || f.surface != "" {
		return file, nil, err
	}
	for _, g := range file.Features {
		if f.takes(g.Name) {
			if g.Err != nil {
				return nil, nil, g.Err
			}
			features = append(features, g)
		}
	}
	return file, features, nil
}

// xmlShapes reads closed features, or where the job names a surface its boundaries.
func (l *loader) xmlShapes(r io.Reader, f *dataFile) (shapes []shape, in Input, err error) {
	file, features, err := l.xmlFeatures(r, f)
	if err != nil {
		return nil, in, err
	}
	if f.surface != "" {
		around := l.surfaceLimits(f, file.Surfaces[0].Boundaries)
		rings := around.outer
		if l.voids {
			rings = around.voids
		}
		for _, p := range rings {
			shapes = append(shapes, shape{polygon: p})
		}
	}
	for _, g := range features {
		if g.Closed {
			shapes = append(shapes, shapeOfVertices(g.Name, g.Vertices))
		}
	}
	in, err = l.takeShapes(f, file.Unit, shapes)
	return shapes, in, err
}

// xmlLines reads open features, or where the job names a surface its breaklines.
func (l *loader) xmlLines(r io.Reader, f *dataFile) (lines []tin.Breakline, in Input, err error) {
	file, features, err := l.xmlFeatures(r, f)
	if err != nil {
		return nil, in, err
	}
	if f.surface != "" {
		lines = file.Surfaces[0].Breaklines
	}
	for _, g := range features {
		lines = append(lines, tin.Breakline{Name: g.Name, Vertices: g.Vertices})
	}
	in, err = l.takeLines(f, file.Unit, lines)
	return lines, in, err
}

// xmlClearance takes closed features as areas, others as lines.
func (l *loader) xmlClearance(r io.Reader, f *dataFile, c *Clearance) (in Input, err error) {
	file, features, err := l.xmlFeatures(r, f)
	if err != nil {
		return in, err
	}
	for _, g := range features {
		in.Points += len(g.Vertices)
		if g.Closed {
			c.Area = append(c.Area, orb.Polygon{openRing(g.Ring())})
		} else {
			c.Lines = append(c.Lines, lineThrough(g.Vertices))
		}
	}
	u, err := l.takeVertices(f, file.Unit, &in)
	c.convert(&u)
	return in, err
}

// xmlSpots reads the points of a LandXML file as spots of a pad.
func (l *loader) xmlSpots(r io.Reader, f *dataFile) (spots []tin.Point, in Input, err error) {
	file, err := l.readXML(r, f, l.mostPositions(), true)
	if err != nil {
		return nil, in, err
	}
	spots = f.named(file.Points)
	in, err = l.takeLines(f, file.Unit, []tin.Breakline{{Vertices: spots}})
	return spots, in, err
}

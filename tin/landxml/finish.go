package landxml

import (
	"fmt"
	"strconv"
	"strings"

	"barrow/tin"
)

// finishSurfaces puts the surfaces together.
func (r *reader) finishSurfaces() error {
	if err := r.asked(); err != nil {
		return err
	}
	for _, s := range r.surfaces {
		if err := r.finishSurface(s); err != nil {
			return err
		}
		r.file.Surfaces = append(r.file.Surfaces, s.Surface)
	}
	if len(r.passed) > 0 {
		r.note("surfaces_passed_over", "other surfaces of the file were not read: "+quoted(r.passed))
	}
	return nil
}

// asked looks whether the one surface asked for is there.
func (r *reader) asked() error {
	if r.opts.Surface == "" || len(r.surfaces) == 1 {
		return nil
	}
	if len(r.surfaces) > 1 {
		return r.failAt(r.surfaces[1].Line, "ambiguous_surface", fmt.Sprintf("a second surface %q; the first is in line %d", short(r.opts.Surface), r.surfaces[0].Line), "give each its own name")
	}
	hint := "the file has no surface"
	if len(r.passed) > 0 {
		hint = "it has " + quoted(r.passed)
	}
	return &tin.InputError{Code: "unknown_surface", File: r.name, Message: fmt.Sprintf("the file has no surface %q", short(r.opts.Surface)), Hint: hint}
}

// quoted lists names.
func quoted(names []string) string {
	const most = 10
	var list []string
	for _, n := range names[:min(len(names), most)] {
		list = append(list, strconv.Quote(short(n)))
	}
	if len(names) > most {
		list = append(list, fmt.Sprintf("and %d more", len(names)-most))
	}
	return strings.Join(list, ", ")
}

func (r *reader) finishSurface(s *surface) error {
	s.Points = s.data
	if d := s.definition; d != nil && len(d.points)+len(d.faces) > 0 {
		if err := r.asBuilt(s); err != nil {
			return err
		}
	} else if s.file != "" {
		return r.failAt(s.fileLine, "point_file", fmt.Sprintf("the points of the surface %q are in another file, %q, which is not opened", short(s.Name), short(s.file)), "export the surface with its points and faces, or read that file as a point file")
	}
	r.noteLeftOut(s)
	if len(s.Points)+len(s.Breaklines) == 0 {
		r.noteOf(s, "empty_surface", "it has no points")
	}
	return nil
}

// asBuilt takes the surface from its definition.
func (r *reader) asBuilt(s *surface) error {
	d := s.definition
	for _, ref := range d.refs {
		if err := r.resolve(&ref.place); err != nil {
			return err
		}
		d.points[ref.index] = ref.place.at
	}
	s.Points = d.points
	r.noteSources(s)
	if r.opts.PointsOnly {
		return nil
	}
	if d.hidden.count > 0 {
		r.noteOf(s, "hidden_faces", fmt.Sprintf("%s marked invisible left out (the first in line %d)", count(d.hidden.count, "face"), d.hidden.line))
	}
	if len(d.faces) == 0 {
		r.noteOf(s, "no_faces", "its definition has no visible face: there are points only")
		return nil
	}
	m, err := r.triangles(s)
	if err != nil {
		return err
	}
	r.noteFaces(s, m)
	if len(m.faces) == 0 {
		r.noteOf(s, "no_faces", "its definition has no face that covers ground: there are points only")
		return nil
	}
	var others tally
	s.Points, others = m.used()
	s.Faces = m.faces
	if others.count > 0 {
		r.noteOf(s, "points_without_face", fmt.Sprintf("%s of the definition in no visible face left out (the first in line %d)", count(others.count, "point"), others.line))
	}
	r.checkRange(s)
	r.checkArea(s)
	return nil
}

// noteOf adds a note about a surface.
func (r *reader) noteOf(s *surface, code, message string) {
	r.note(code, fmt.Sprintf("surface %q: %s", short(s.Name), message))
}

func (r *reader) noteSources(s *surface) {
	var beside []string
	if n := len(s.data); n > 0 {
		beside = append(beside, count(n, "data point"))
	}
	if n := len(s.Breaklines); n > 0 {
		beside = append(beside, count(n, "breakline"))
	}
	if s.file != "" {
		beside = append(beside, fmt.Sprintf("the point file %q", short(s.file)))
	}
	if len(beside) > 0 {
		r.noteOf(s, "definition_used", "taken as its definition has it, not as it might be built again from "+strings.Join(beside, ", "))
	}
}

func (r *reader) noteFaces(s *surface, m *faceMaker) {
	if m.quads > 0 {
		r.noteOf(s, "grid_faces_split", fmt.Sprintf("%s with four corners cut along the diagonal without the greatest corner by (easting, northing); the other diagonals would change the volume under it by %.6g %s3 at most",
			count(m.quads, "face"), m.spread.Value(), r.file.Unit))
	}
	if t := m.flat; t.count > 0 {
		r.noteOf(s, "flat_faces", fmt.Sprintf("%s that cover no ground left out: their corners are in line (the first in line %d)", count(t.count, "face"), t.line))
	}
	if t := m.repeated; t.count > 0 {
		r.noteOf(s, "repeated_faces", fmt.Sprintf("%s given again taken once (the first in line %d)", count(t.count, "face"), t.line))
	}
}

func (r *reader) noteLeftOut(s *surface) {
	if n := s.left.proximity; n > 0 {
		r.noteOf(s, "breaklines_left_out", fmt.Sprintf("%s of the kind proximity left out, whose vertices are to be moved to the points nearest to them", count(n, "breakline")))
	}
	if n := s.left.nondestructive; n > 0 {
		r.noteOf(s, "breaklines_left_out", fmt.Sprintf("%s of the kind nondestructive left out, which do not change a surface", count(n, "breakline")))
	}
	if n := s.left.empty; n > 0 {
		r.noteOf(s, "short_lines", fmt.Sprintf("%s with fewer than two positions, breaklines or contours, left out", count(n, "line")))
	}
	if t := s.left.walls; t.count > 0 {
		r.noteOf(s, "retaining_walls", fmt.Sprintf("%s taken as breaklines along the points given; height and offset of the wall are not used (the first in line %d)", count(t.count, "retaining wall"), t.line))
	}
}

package landxml

import (
	"strconv"

	"barrow/tin"
)

func (w *writer) surfaces(surfaces []Surface) {
	if len(surfaces) == 0 {
		return
	}
	seen := make(map[string]bool)
	w.text(" <Surfaces>\n")
	for i := range surfaces {
		s := &surfaces[i]
		if seen[s.Name] {
			w.refuse("two surfaces are named %q", s.Name)
		}
		seen[s.Name] = true
		w.surface(s)
	}
	w.text(" </Surfaces>\n")
}

func (w *writer) surface(s *Surface) {
	w.text("  <Surface")
	w.must("name", s.Name)
	w.attr("desc", s.Description)
	w.state(s.State)
	w.text(">\n")
	var data []tin.Point
	if len(s.Faces) == 0 {
		data = s.Points
	}
	if len(data)+len(s.Breaklines)+len(s.Boundaries) > 0 {
		w.text("   <SourceData>\n")
		w.boundaries(s)
		w.breaklines(s)
		w.dataPoints(data)
		w.text("   </SourceData>\n")
	}
	if len(s.Faces) > 0 {
		w.definition(s)
	}
	w.text("  </Surface>\n")
}

func (w *writer) boundaries(s *Surface) {
	if len(s.Boundaries) == 0 {
		return
	}
	w.text("    <Boundaries>\n")
	for i := range s.Boundaries {
		b := &s.Boundaries[i]
		switch b.Kind {
		case Outer, Void, Island:
		default:
			w.refuse("boundary %d of the surface %q is of the kind %q", i+1, s.Name, b.Kind)
		}
		if len(b.Ring) < 3 {
			w.refuse("boundary %d of the surface %q has %d positions", i+1, s.Name, len(b.Ring))
		}
		w.text("     <Boundary")
		w.must("bndType", string(b.Kind))
		w.must("edgeTrim", strconv.FormatBool(b.Trim))
		w.attr("name", b.Name)
		w.text("><PntList2D>")
		for k, p := range b.Ring {
			w.separator(k)
			w.number("", p[1])
			w.number(" ", p[0])
		}
		w.text("</PntList2D></Boundary>\n")
	}
	w.text("    </Boundaries>\n")
}

// breaklines writes the lines whose vertices all have levels as lists in 3D, those
// where none has one as lists in 2D.
func (w *writer) breaklines(s *Surface) {
	if len(s.Breaklines) == 0 {
		return
	}
	w.text("    <Breaklines>\n")
	for i := range s.Breaklines {
		b := &s.Breaklines[i]
		if len(b.Vertices) < 2 {
			w.refuse("breakline %d %q of the surface %q has fewer than two vertices", i+1, b.Name, s.Name)
			return
		}
		w.text(`     <Breakline brkType="standard"`)
		w.attr("name", b.Name)
		w.text(">")
		if !w.list(b.Vertices) {
			w.refuse("breakline %d %q of the surface %q has a level at some vertices only", i+1, b.Name, s.Name)
		}
		w.text("</Breakline>\n")
	}
	w.text("    </Breaklines>\n")
}

// list writes positions, all with a level or all without; others are refused.
func (w *writer) list(points []tin.Point) bool {
	kind := "PntList2D"
	if points[0].HasLevel() {
		kind = "PntList3D"
	}
	w.text("<" + kind + ">")
	for i := range points {
		if points[i].HasLevel() != points[0].HasLevel() {
			return false
		}
		w.separator(i)
		w.position(&points[i])
	}
	w.text("</" + kind + ">")
	return true
}

// separator stands before the i-th position of a list.
func (w *writer) separator(i int) {
	if i > 0 {
		w.text("\n")
	}
}

func (w *writer) dataPoints(points []tin.Point) {
	if len(points) == 0 {
		return
	}
	w.text("    <DataPoints>")
	if !points[0].HasLevel() || !w.list(points) {
		w.refuse("a point of a surface has no level")
	}
	w.text("</DataPoints>\n")
}

func (w *writer) definition(s *Surface) {
	w.text("   <Definition surfType=\"TIN\">\n    <Pnts>\n")
	if len(s.Points) < 3 {
		w.refuse("the surface %q has %d points, and the schema wants 3", s.Name, len(s.Points))
	}
	for i := range s.Points {
		p := &s.Points[i]
		if !p.HasLevel() {
			w.refuse("point %d of the surface %q has no level", i+1, s.Name)
			return
		}
		w.whole(`     <P id="`, i+1)
		w.text(`"`)
		w.attr("name", p.Name)
		w.attr("code", p.Code)
		w.text(">")
		w.position(p)
		w.text("</P>\n")
	}
	w.text("    </Pnts>\n    <Faces>\n")
	for i, f := range s.Faces {
		for k, v := range f {
			if v < 0 || int(v) >= len(s.Points) {
				w.refuse("face %d of the surface %q names the point %d of %d", i+1, s.Name, v, len(s.Points))
				return
			}
			w.whole([]string{"     <F>", " ", " "}[k], int(v)+1)
		}
		w.text("</F>\n")
	}
	w.text("    </Faces>\n   </Definition>\n")
}

// whole writes a whole number after what stands before it.
func (w *writer) whole(before string, v int) {
	w.num = strconv.AppendInt(append(w.num[:0], before...), int64(v), 10)
	if w.err == nil {
		_, w.err = w.Write(w.num)
	}
}

package report

import (
	"fmt"
	"io"
	"strconv"

	"barrow/volume/takeoff"
)

// Surfaces writes what the surfaces of a job are as a sheet for people, with the files
// that hold them. Lines have at most 80 characters.
func Surfaces(w io.Writer, r *takeoff.SurfacesResult, files []SurfacesFile) error {
	t := surfacesSheet{paper: paper{n: numbersFor(r.Units, max(r.Between.TakeoffCut, r.Between.TakeoffFill), 1000)}, r: r}
	t.job(r.Job)
	t.said("Surfaces", r.Program, len(r.Warnings))
	t.surfaces()
	t.lines()
	t.between()
	t.files(files)
	t.remarks("WARNINGS", r.Warnings)
	t.remarks("NOTES", r.Notes)
	t.notMeasured(r.NotMeasured)
	t.title("HOW THE FILES CAME ABOUT")
	t.sources(r.Scale, r.Inputs)
	t.cautions()
	return t.deliver(w)
}

// SurfacesJSON writes the same as one JSON object and a line feed, as [JSON] does: the
// surfaces and lines by their figures, which the files hold in full.
func SurfacesJSON(w io.Writer, r *takeoff.SurfacesResult, files []SurfacesFile) error {
	return writeJSON(w, struct {
		*takeoff.SurfacesResult
		Files []SurfacesFile `json:"files"`
	}{r, append([]SurfacesFile{}, files...)})
}

// surfacesSheet is the sheet of surfaces in the making.
type surfacesSheet struct {
	paper
	r *takeoff.SurfacesResult
}

func (t *surfacesSheet) surfaces() {
	t.title("SURFACES OF TRIANGLES")
	rows := [][]string{{"", "vertices", "triangles", "area", "lowest", "highest"}}
	for i := range t.r.Surfaces {
		s := &t.r.Surfaces[i]
		rows = append(rows, []string{s.Name, strconv.Itoa(s.Vertices), strconv.Itoa(s.Triangles),
			fixed(s.Area, t.n.areas), t.n.level(s.LevelMin), t.n.level(s.LevelMax)})
	}
	t.table(2, rows)
	for i := range t.r.Surfaces {
		if s := &t.r.Surfaces[i]; s.Topsoil > 0 {
			t.put("  ", fmt.Sprintf("%s: the ground less %s of topsoil", s.Name, t.n.small(s.Topsoil)))
		}
	}
	o := t.r.Origin
	t.put("  ", fmt.Sprintf("Origin taken off in the PLY files: E %s N %s, level %s.", plainFigure(o[0]), plainFigure(o[1]), plainFigure(o[2])))
}

// plainFigure writes a round number.
func plainFigure(x float64) string { return strconv.FormatFloat(x, 'f', -1, 64) }

func (t *surfacesSheet) lines() {
	t.title("LINES")
	rows := [][]string{{"", "lines", "vertices", "length"}}
	for _, g := range t.r.Groups {
		rows = append(rows, []string{lineWords(g.Kind), strconv.Itoa(g.Lines), strconv.Itoa(g.Vertices), fixed(g.Length, 1)})
	}
	t.table(2, rows)
	if h := t.r.ContourInterval; h > 0 {
		t.put("  ", fmt.Sprintf("Contours every %s %s.", plainFigure(h), t.r.Units.Length))
	}
}

func (t *surfacesSheet) between() {
	t.title("BETWEEN THE SURFACES")
	b := t.r.Between
	t.table(2, [][]string{
		{"", "cut", "fill"},
		{"ground as measured from, and works", t.n.volume(b.Cut), t.n.volume(b.Fill)},
		{"the takeoff", t.n.volume(b.TakeoffCut), t.n.volume(b.TakeoffFill)},
	})
}

func (t *surfacesSheet) files(files []SurfacesFile) {
	if len(files) == 0 {
		return
	}
	t.title("FILES")
	for _, f := range files {
		t.put(fmt.Sprintf("  %-14s ", f.Name), fmt.Sprintf("%s (%d bytes)", f.Holds, f.Bytes))
	}
}

// cautions say what surfaces cannot know.
func (t *surfacesSheet) cautions() {
	t.title("CAUTIONS")
	list := append([]string{
		"Surfaces say where the drawing wants the dig, and not how to work there. Batters are shapes to measure by, and no " +
			"statement that ground will stand or a fill hold: that is for a competent person to judge on site, by the local codes.",
	}, cautionWords(t.r.Cautions)...)
	list = append(list,
		"The files do not say which grid and which datum their coordinates and levels are in: whoever reads them must know, and the unit too.",
		"A machine that works to a surface knows nothing of services, people or neighbours: find services first, and hold the "+
			"surface against pegs and a benchmark on site before digging to it.",
		"Local codes and law, and the judgement of licensed engineers and surveyors, come before these files.")
	for _, words := range list {
		t.point(words)
	}
}

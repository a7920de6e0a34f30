package takeoff

import (
	"context"
	"fmt"
	"math"

	"barrow/tin"
)

// SurfacesOptions tell [Surfaces] how to go about it. The zero value is good.
type SurfacesOptions struct {
	Options
	Contours float64 // between levels of contours, in the job's unit, 0.000001 at least; 0: chosen
}

// Codes of surfaces.
const (
	NoteUpright        = "upright_faces"     // works end at upright faces, which no surface of triangles has
	NoteWorksParted    = "works_parted"      // the works are several surfaces: they have two levels at one place
	NoteNoGroundBeside = "no_ground_beside"  // works end where there is no ground beside them
	NoteStripUpright   = "strip_upright"     // the stripped ground ends at an upright face
	NoteGroundCut      = "ground_cut"        // triangles of the ground are cut at boundary and voids
	NoteBesideSurfaces = "beside_surfaces"   // thickenings and backfill are in no surface
	WarnSurfacesDiffer = "surfaces_differ"   // the volumes between the surfaces are not those of the takeoff
	codeContours       = "too_many_contours" // an error: more levels than allowed
)

// Bounds of surfaces.
const (
	mostContours       = 2000  // levels of contours
	leastContours      = 1e-6  // the job's unit, between them: what their levels are rounded to
	chosenContours     = 25    // from the lowest to the highest level about
	leastUpright       = 0.001 // metres: a lesser face is none
	mostSurfacesDiffer = 1e-6  // of cut and fill together
	pointsApart        = 0.005 // metres: that lines may pass beside points left out
)

// Surfaces measures a job as [Run] does and returns its ground and its works as triangles
// that share their corners, with the lines that go with them: what other programs and
// machines take.
//
// A surface of triangles has one level at a place. So it has no upright faces: where the
// works or the strip end at one, the surface ends there and the next begins above or
// below it, with nothing between them, and a note says how long and how high. Nothing is
// sloped to close the gap.
//
// Errors are those of Run; besides "bad_value" of the contours, with the key contours, and
// more of them than allowed ("too_many_contours"). If ctx ends its error is returned.
func Surfaces(ctx context.Context, job *Job, opts SurfacesOptions) (*SurfacesResult, error) {
	if opts.Contours != 0 && !(opts.Contours >= leastContours && finite(opts.Contours)) {
		return nil, badJob(codeBadValue, "contours", "contours "+formatNumber(opts.Contours)+" apart", "give a length of 0.000001 or more")
	}
	r, err := takeOff(ctx, job, opts.Options)
	if err != nil {
		return nil, err
	}
	s := &surfacing{run: r, opts: opts}
	if err := r.do(s.begin, s.ground, s.stripped, s.formation, s.works, s.hold, s.rims, s.contours); err != nil {
		return nil, err
	}
	s.finish()
	return s.res, nil
}

// surfacing is the surfaces of a job on their way to their result.
type surfacing struct {
	run      *run
	opts     SurfacesOptions
	measured *Result
	res      *SurfacesResult

	built     *tin.Surface   // the ground, of its faces
	worksOf   []*tin.Surface // the works, of theirs
	soilParts []soilPart     // the ground that is measured from

	named           map[string]bool // the names of points
	placed          map[Place3]bool // and their places
	notes, warnings []tin.Problem
}

// begin begins the result with what is known already.
func (s *surfacing) begin() error {
	m := s.run.result()
	s.measured, s.named, s.placed = m, make(map[string]bool), make(map[Place3]bool)
	s.res = &SurfacesResult{
		Schema: SchemaVersion, Program: m.Program, Job: m.Job, Units: m.Units, Inputs: m.Inputs, Scale: m.Scale,
		Surfaces: []BuiltSurface{}, Groups: []LineGroup{}, NotMeasured: m.NotMeasured, Cautions: m.Cautions, Unit: s.run.job.Units,
	}
	s.run.tell("making surfaces", 0, 1)
	return nil
}

// add builds a surface of its faces, to see that what is handed out can be read again, and
// adds it to the result.
func (s *surfacing) add(kind, name string, topsoil float64, source tin.Source) (*tin.Surface, error) {
	surface, err := s.build(source)
	if err != nil {
		return nil, fmt.Errorf("%s: %w", name, err)
	}
	st, u := surface.Stats(), s.run.unit
	s.res.Surfaces = append(s.res.Surfaces, BuiltSurface{
		Kind: kind, Name: name, Vertices: st.Vertices, Triangles: st.Triangles, Area: st.Area / s.run.areaUnit(),
		LevelMin: st.LevelMin / u, LevelMax: st.LevelMax / u, Topsoil: topsoil / u,
		Points: source.Points, Faces: source.Faces,
	})
	return surface, nil
}

func (s *surfacing) build(source tin.Source) (*tin.Surface, error) {
	return tin.Build(s.run.ctx, []tin.Source{source}, tin.Options{Unit: s.run.job.Units})
}

// ground adds the existing ground.
func (s *surfacing) ground() error {
	source, err := s.run.ground.AsFaces(s.run.ctx)
	if err != nil {
		return err
	}
	if s.built, err = s.add(SurfaceGround, "existing ground", 0, source); err != nil {
		return err
	}
	if g := s.run.job.Ground; len(g.Boundary)+len(g.Voids) > 0 {
		s.notes = append(s.notes, tin.Problem{Code: NoteGroundCut,
			Message: "the existing ground ends at its boundary and round its voids: triangles that reach across are cut there, and have corners that are no spots"})
	}
	return nil
}

// formation adds the formation inside the formation outlines.
func (s *surfacing) formation() error {
	list, err := s.run.dig.FormationSurfaces(s.run.ctx)
	if err != nil {
		return err
	}
	_, err = s.addAll(SurfaceFormation, "formation", list)
	return err
}

// works adds all works.
func (s *surfacing) works() error {
	list, err := s.run.dig.Surfaces(s.run.ctx)
	if err != nil {
		return err
	}
	if n := len(list); n > 1 {
		s.notes = append(s.notes, tin.Problem{Code: NoteWorksParted, Message: fmt.Sprintf(
			"the works have two levels at one place where pads step or faces stand upright inside them: they are %d surfaces side by side", n)})
	}
	s.worksOf, err = s.addAll(SurfaceWorks, "works", list)
	return err
}

// addAll adds surfaces in metres under one name, numbered if they are several.
func (s *surfacing) addAll(kind, name string, list []*tin.Surface) (out []*tin.Surface, err error) {
	for i, surface := range list {
		source, err := surface.AsFacesIn(s.run.ctx, s.run.job.Units)
		if err != nil {
			return nil, err
		}
		of := name
		if len(list) > 1 {
			of = fmt.Sprintf("%s %d", name, i+1)
		}
		built, err := s.add(kind, of, 0, source)
		if err != nil {
			return nil, err
		}
		out = append(out, built)
	}
	return out, nil
}

// finish adds what there is to say.
func (s *surfacing) finish() {
	s.lines()
	s.group()
	s.origin()
	if s.run.besideCut() {
		s.notes = append(s.notes, tin.Problem{Code: NoteBesideSurfaces,
			Message: "thickenings, below formation, and backfill are volumes beside cut and fill: they are in no surface"})
	}
	s.res.Notes = s.run.remarks(s.notes)
	s.res.Warnings = append(append([]Remark{}, s.measured.Warnings...), s.run.remarks(s.warnings)...)
	s.run.tell("making surfaces", 1, 1)
}

// origin is at round figures no greater than any coordinate or level.
func (s *surfacing) origin() {
	low := [3]float64{math.Inf(1), math.Inf(1), math.Inf(1)}
	for i := range s.res.Surfaces {
		for _, p := range s.res.Surfaces[i].Points {
			low = [3]float64{min(low[0], p.E), min(low[1], p.N), min(low[2], p.Level)}
		}
	}
	for i, step := range [3]float64{100, 100, 10} {
		s.res.Origin[i] = math.Floor(low[i]/step) * step
	}
}

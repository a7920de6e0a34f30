package takeoff

import "github.com/paulmach/orb"

// Bases of a crosscheck.
const (
	BasisAsDug   = "as_dug"   // everything taken out, margin and batters too
	BasisNetVoid = "net_void" // the outlines with upright faces
	BasisSurveys = "surveys"  // between two surveys
)

// Methods of a crosscheck.
const (
	MethodEndArea    = "average_end_area"
	MethodPrismoidal = "prismoidal"
	MethodGrid       = "unit_area_grid"
)

// CrosscheckResult is the outcome of a crosscheck: units, places and rounding as in
// [Result].
type CrosscheckResult struct {
	Schema    int                 `json:"schema"`
	Program   Program             `json:"program"`
	Job       string              `json:"job,omitempty"`     // empty between two surveys
	Surveys   []string            `json:"surveys,omitempty"` // the two, before and after
	Units     Units               `json:"units"`
	Scale     float64             `json:"scale"`
	Inputs    []Input             `json:"inputs"`
	Alignment CrosscheckAlignment `json:"alignment"`
	Grid      CrosscheckGrid      `json:"grid"`
	Bases     []CrosscheckBasis   `json:"bases"`
	Claim     *ClaimResult        `json:"claim,omitempty"`
	Shots     *ShotsResult        `json:"shots,omitempty"`

	Notes       []Remark   `json:"notes"`
	Warnings    []Remark   `json:"warnings"`     // a person must read these
	NotMeasured []Omission `json:"not_measured"` // what no agreement of methods says
}

// CrosscheckAlignment is where the sections were cut. Chainages are lengths on the
// ground.
type CrosscheckAlignment struct {
	Name     string  `json:"name"`
	LongAxis bool    `json:"long_axis"` // of the works, and no alignment of the job
	Line     []Place `json:"line"`
	Start    float64 `json:"start"`           // chainage of From
	Reach    float64 `json:"reach,omitempty"` // absent: as far as the works
	From     Place   `json:"from"`
	To       Place   `json:"to"`
	Length   float64 `json:"length"`
	Bearing  float64 `json:"bearing"`  // of the way from From to To, degrees from grid north clockwise
	Interval float64 `json:"interval"` // at its whole multiples, at the ends of the works and at each corner
	Sections int     `json:"sections"` // chainages with one; where works change at once it is cut twice
}

// CrosscheckGrid is how the grid lies. Rows count along Bearing from Origin, columns to
// the right of it, both from 0.
type CrosscheckGrid struct {
	Origin  Place   `json:"origin"`
	Bearing float64 `json:"bearing"`
	Spacing float64 `json:"spacing"`
	Rows    int     `json:"rows"`
	Columns int     `json:"columns"`
}

// CrosscheckBasis is the same works by all methods.
type CrosscheckBasis struct {
	Basis     string             `json:"basis"`
	TopsoilIn bool               `json:"topsoil_in,omitempty"` // measured from the ground before the strip
	Area      float64            `json:"area"`                 // in plan, with ground
	AtLeast   bool               `json:"at_least,omitempty"`   // works reach beyond the ground: there is more
	Prism     CrosscheckVolumes  `json:"prism"`                // exact on the triangles of the ground
	Methods   []CrosscheckMethod `json:"methods"`
	Range     CrosscheckRange    `json:"range"`
}

// CrosscheckVolumes are the volumes of one method.
type CrosscheckVolumes struct {
	Cut         float64 `json:"cut"`
	Fill        float64 `json:"fill"`
	CutLessFill float64 `json:"cut_less_fill"`
}

// CrosscheckMethod is the figures of one method beside those of the prisms.
type CrosscheckMethod struct {
	Method      string           `json:"method"`
	Cells       int              `json:"cells,omitempty"`     // of the grid, over the works
	Uncovered   float64          `json:"uncovered,omitempty"` // area of the grid's cells without a depth
	Cut         CrosscheckFigure `json:"cut"`
	Fill        CrosscheckFigure `json:"fill"`
	CutLessFill CrosscheckFigure `json:"cut_less_fill"`
}

// CrosscheckFigure is a volume and how it lies to that of the prisms.
type CrosscheckFigure struct {
	Volume     float64          `json:"volume"`
	Difference float64          `json:"difference"`        // Volume less that of the prisms
	Percent    *float64         `json:"percent,omitempty"` // of the prisms' volume, of CutLessFill of their cut plus fill; nil where that is 0
	Height     float64          `json:"height"`            // Difference over the area of the works: a length
	Expected   float64          `json:"expected"`          // what Difference may be either way
	Beyond     bool             `json:"beyond"`            // it is more
	Where      *CrosscheckWhere `json:"where,omitempty"`   // only where Beyond: the part of the works that has most of it
}

// CrosscheckWhere is a part of the works: a stretch of the alignment, or cells of the
// grid.
type CrosscheckWhere struct {
	Chainage   *[2]float64 `json:"chainage,omitempty"` // from and to
	Rows       *[2]int     `json:"rows,omitempty"`     // first and last
	Columns    *[2]int     `json:"columns,omitempty"`
	At         Place       `json:"at"`         // its middle
	Difference float64     `json:"difference"` // of the method from the prisms there
}

// CrosscheckRange is what the methods support, least and greatest.
type CrosscheckRange struct {
	Cut         [2]float64 `json:"cut"`
	Fill        [2]float64 `json:"fill"`
	CutLessFill [2]float64 `json:"cut_less_fill"`
}

// ClaimResult is someone else's figures on the basis of the sheet.
type ClaimResult struct {
	Name       string  `json:"name"` // the file, if it came from one
	Measure    string  `json:"measure"`
	Factor     float64 `json:"factor,omitempty"`
	FillFactor float64 `json:"fill_factor,omitempty"`
	Load       float64 `json:"load,omitempty"`
	Basis      string  `json:"basis"`
	TopsoilIn  bool    `json:"topsoil_in"`
	// Survey is how sure the survey makes the volumes of the claim's basis; nil between
	// two surveys, where it is not worked out.
	Survey *UncertaintyResult `json:"survey,omitempty"`
	Cut    *ClaimFigure       `json:"cut,omitempty"`
	Fill   *ClaimFigure       `json:"fill,omitempty"`
}

// ClaimFigure is one of them. All but Claimed are bank measure of cut, and the space to
// be filled of fill.
type ClaimFigure struct {
	Claimed    float64  `json:"claimed"` // as given
	Restated   float64  `json:"restated"`
	Rounding   float64  `json:"rounding"`          // by how much Restated may be off as its decimals were cut
	Least      float64  `json:"least"`             // that survey and methods support
	Greatest   float64  `json:"greatest"`          // likewise
	Difference float64  `json:"difference"`        // Restated less the prisms'
	Percent    *float64 `json:"percent,omitempty"` // of the prisms'; nil where they have none
	Height     float64  `json:"height"`            // Difference over the area of the works
	Inside     bool     `json:"inside"`            // between Least and Greatest, give or take Rounding and 0.01 mm over the works
}

// ShotsResult is points shot apart from the survey, held against the ground. Off is
// the ground's level less the shot's: above 0 the ground is high.
type ShotsResult struct {
	Name              string   `json:"name"`              // of the file
	Against           string   `json:"against,omitempty"` // of two surveys, the one they are held against: "before" or "after"
	Shift             *float64 `json:"shift,omitempty"`   // added to every shot, from their benchmark; nil: none
	Count             int      `json:"count"`
	OffGround         int      `json:"off_ground"` // no ground there
	NoLevel           int      `json:"no_level"`
	Mean              float64  `json:"mean"`                         // of Off
	StandardDeviation *float64 `json:"standard_deviation,omitempty"` // nil of a single shot
	Worst             float64  `json:"worst"`                        // Off that is farthest from 0
	WorstName         string   `json:"worst_name"`
	WorstLine         int      `json:"worst_line,omitempty"`
	WorstAt           Place    `json:"worst_at"`
	Volume            float64  `json:"volume"` // Mean times the area of the works, with the sign of what it adds to cut less fill
}

// result turns what was measured, in metres on the grid, into the job's unit.
func (x *crossing) result() *CrosscheckResult {
	r := x.run
	res := &CrosscheckResult{
		Schema: SchemaVersion, Program: Program{Name: "barrow", Version: Version},
		Units: r.job.units(), Scale: r.scale,
		Alignment: x.alignmentResult(),
		Grid: CrosscheckGrid{Origin: r.place(x.grid.Origin), Bearing: x.grid.Bearing, Spacing: x.grid.Along / r.lengthUnit(),
			Rows: x.grid.Rows, Columns: x.grid.Columns},
		Claim: x.claim, Shots: x.shots,
		Notes: r.remarks(x.notes), Warnings: r.remarks(x.warnings), NotMeasured: x.notMeasured(),
	}
	for i := range x.held {
		res.Bases = append(res.Bases, x.held[i].result(r))
	}
	return res
}

func (x *crossing) alignmentResult() CrosscheckAlignment {
	a, r := x.alignment, x.run
	line := a.Line()
	out := CrosscheckAlignment{
		Name: x.along.Name, LongAxis: a == x.axis, Start: a.Start() / r.lengthUnit(), Reach: x.along.Reach,
		From: r.place(line[0]), To: r.place(line[len(line)-1]), Length: a.Length() / r.lengthUnit(), Bearing: bearingOf(a),
		Interval: x.interval / r.lengthUnit(), Sections: len(x.marks),
	}
	for _, p := range line {
		out.Line = append(out.Line, r.place(p))
	}
	return out
}

func (r *run) place(p orb.Point) Place { return Place{p[0] / r.unit, p[1] / r.unit} }

func (h *heldWorks) result(r *run) CrosscheckBasis {
	volume := func(v crossVolumes) CrosscheckVolumes {
		return CrosscheckVolumes{v[inCut] / r.volumeUnit(), v[inFill] / r.volumeUnit(), v[inNet] / r.volumeUnit()}
	}
	span := func(q int) [2]float64 {
		least, greatest := h.supported(q)
		return [2]float64{least / r.volumeUnit(), greatest / r.volumeUnit()}
	}
	out := CrosscheckBasis{
		Basis: h.works.basis, TopsoilIn: h.works.topsoilIn, Area: h.works.area / r.areaUnit(), AtLeast: h.works.atLeast, Prism: volume(h.works.prism),
		Range: CrosscheckRange{span(inCut), span(inFill), span(inNet)},
	}
	for i := range h.methods {
		m := &h.methods[i]
		out.Methods = append(out.Methods, CrosscheckMethod{
			Method: m.name, Cells: m.cells, Uncovered: m.uncovered / r.areaUnit(),
			Cut: h.figure(r, m, inCut), Fill: h.figure(r, m, inFill), CutLessFill: h.figure(r, m, inNet),
		})
	}
	return out
}

func (h *heldWorks) figure(r *run, m *crossMethod, q int) CrosscheckFigure {
	d := h.difference(m, q)
	f := CrosscheckFigure{
		Volume: m.volumes[q] / r.volumeUnit(), Difference: d / r.volumeUnit(), Percent: h.percent(d, q),
		Height: h.mean(d) / r.unit, Expected: m.expected[q] / r.volumeUnit(), Beyond: h.beyond(m, q),
	}
	if p := m.worst[q]; p != nil {
		f.Where = p.result(r, q)
	}
	return f
}

func (p *crossPart) result(r *run, q int) *CrosscheckWhere {
	w := &CrosscheckWhere{At: r.place(p.at), Difference: p.difference(q) / r.volumeUnit()}
	if p.stretch {
		w.Chainage = &[2]float64{p.from / r.lengthUnit(), p.to / r.lengthUnit()}
	} else {
		w.Rows, w.Columns = &p.rows, &p.columns
	}
	return w
}

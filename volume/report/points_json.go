package report

import (
	"io"

	"barrow/tin"
	"barrow/tin/pointfile"
	"barrow/volume/takeoff"
)

// PointsJSON writes the same as one JSON object, with every line listed.
func PointsJSON(w io.Writer, f *pointfile.File, d *pointfile.Description) error {
	type point struct {
		Line  int32    `json:"line"`
		Name  string   `json:"name,omitempty"`
		E     float64  `json:"e"`
		N     float64  `json:"n"`
		Level *float64 `json:"level,omitempty"`
	}
	type levels struct {
		Count int     `json:"count"`
		Min   float64 `json:"min"`
		Max   float64 `json:"max"`
		Mean  float64 `json:"mean"`
		SD    float64 `json:"standard_deviation"`
	}
	type duplicate struct {
		First     point `json:"first"`
		Second    point `json:"second"`
		SameLevel bool  `json:"same_level"`
	}
	type code struct {
		Code  string `json:"code"`
		Count int    `json:"count"`
	}
	type suspect struct {
		Doubt   string `json:"doubt"`
		Point   point  `json:"point"`
		Message string `json:"message"`
	}
	type extent struct {
		Min takeoff.Place `json:"min"`
		Max takeoff.Place `json:"max"`
	}
	of := func(p tin.Point) point {
		q := point{Line: p.Line, Name: p.Name, E: p.E, N: p.N}
		if p.HasLevel() {
			q.Level = &p.Level
		}
		return q
	}
	out := struct {
		Schema     int              `json:"schema"`
		Program    takeoff.Program  `json:"program"`
		File       string           `json:"file"`
		Points     int              `json:"points"`
		PlanOnly   int              `json:"plan_only"`
		Lines      int              `json:"lines"`
		Blank      int              `json:"blank"`
		Comments   int              `json:"comments"`
		Columns    []string         `json:"columns"`
		Header     bool             `json:"header"`
		Separator  string           `json:"separator"`
		Decimal    string           `json:"decimal"`
		Extent     *extent          `json:"extent,omitempty"`
		Levels     *levels          `json:"levels,omitempty"`
		Spacing    float64          `json:"spacing,omitempty"`
		Codes      []code           `json:"codes"`
		Uncoded    int              `json:"uncoded"`
		Duplicates []duplicate      `json:"duplicates"`
		Suspects   []suspect        `json:"suspects"`
		Notes      []takeoff.Remark `json:"notes"`
	}{
		Schema: takeoff.SchemaVersion, Program: takeoff.Program{Name: "barrow", Version: takeoff.Version},
		File: f.Name, Points: d.Points, PlanOnly: d.PlanOnly, Lines: f.Lines, Blank: f.Blank, Comments: f.Comments,
		Columns: f.Columns, Header: f.Header, Separator: f.Separator, Decimal: "point", Spacing: d.Spacing, Uncoded: d.Uncoded,
		Codes: []code{}, Duplicates: []duplicate{}, Suspects: []suspect{}, Notes: []takeoff.Remark{},
	}
	if f.DecimalComma {
		out.Decimal = "comma"
	}
	if d.Points > 0 {
		out.Extent = &extent{takeoff.Place(d.Extent.Min), takeoff.Place(d.Extent.Max)}
	}
	if l := d.Levels; l.Count > 0 {
		out.Levels = &levels{l.Count, l.Min, l.Max, l.Mean, l.SD}
	}
	for _, c := range d.Codes {
		out.Codes = append(out.Codes, code{c.Code, c.Count})
	}
	for _, p := range d.Duplicates {
		out.Duplicates = append(out.Duplicates, duplicate{of(p.First), of(p.Second), p.SameLevel})
	}
	for _, p := range d.Suspects {
		out.Suspects = append(out.Suspects, suspect{p.Doubt.String(), of(p.Point), p.Message})
	}
	for _, n := range f.Notes {
		out.Notes = append(out.Notes, takeoff.Remark{Code: n.Code, Message: n.Message})
	}
	return writeJSON(w, out)
}

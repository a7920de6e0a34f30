package report

import (
	"io"

	"barrow/tin/setout"
	"barrow/volume/takeoff"
)

// finding is a warning or a note about a line of a level book.
type finding struct {
	Code    string `json:"code"`
	Message string `json:"message"`
	Line    int    `json:"line,omitempty"`
}

func findings(list []setout.Finding) []finding {
	out := []finding{}
	for _, f := range list {
		out = append(out, finding{f.Code, f.Message, f.Line})
	}
	return out
}

// given returns a number of a book for JSON; nil, and so left out, if it is not given.
func given(e setout.Entry) *setout.Decimal {
	if !e.Given {
		return nil
	}
	return &e.Value
}

// bookRow is a row of a level book with what came of it.
type bookRow struct {
	Line          int             `json:"line"`
	Point         string          `json:"point,omitempty"`
	Backsight     *setout.Decimal `json:"backsight,omitempty"`
	Intermediate  *setout.Decimal `json:"intermediate,omitempty"`
	Foresight     *setout.Decimal `json:"foresight,omitempty"`
	Distance      *setout.Decimal `json:"distance,omitempty"`
	Known         *setout.Decimal `json:"known,omitempty"`
	E             *float64        `json:"e,omitempty"`
	N             *float64        `json:"n,omitempty"`
	PointCode     string          `json:"point_code,omitempty"`
	Remark        string          `json:"remark,omitempty"`
	BookedRise    *setout.Decimal `json:"booked_rise,omitempty"`
	BookedFall    *setout.Decimal `json:"booked_fall,omitempty"`
	BookedLine    *setout.Decimal `json:"booked_collimation,omitempty"`
	BookedReduced *setout.Decimal `json:"booked_reduced,omitempty"`
	SetUp         int             `json:"set_up"`
	Collimation   *setout.Decimal `json:"collimation,omitempty"`
	ByCollimation setout.Decimal  `json:"by_collimation"`
	Rise          *setout.Decimal `json:"rise,omitempty"`
	Fall          *setout.Decimal `json:"fall,omitempty"`
	ByRiseAndFall setout.Decimal  `json:"by_rise_and_fall"`
	Correction    setout.Decimal  `json:"correction"`
	Level         setout.Decimal  `json:"level"`
	Cut           *setout.Decimal `json:"cut,omitempty"`
}

func newBookRow(row *setout.Row, out *setout.Reduced) bookRow {
	b := bookRow{
		Line: row.Line, Point: row.Point, PointCode: row.Code, Remark: row.Remark, SetUp: out.SetUp + 1,
		Backsight: given(row.Backsight), Intermediate: given(row.Intermediate), Foresight: given(row.Foresight),
		Distance: given(row.Distance), Known: given(row.Known),
		BookedRise: given(row.Booked.Rise), BookedFall: given(row.Booked.Fall),
		BookedLine: given(row.Booked.Collimation), BookedReduced: given(row.Booked.Reduced),
		Collimation: given(out.Collimation), ByCollimation: out.ByCollimation,
		Rise: given(out.Rise), Fall: given(out.Fall), ByRiseAndFall: out.ByRiseAndFall,
		Correction: out.Correction, Level: out.Level, Cut: given(out.Cut),
	}
	if row.Placed {
		b.E, b.N = &row.E, &row.N
	}
	return b
}

type bookSetUp struct {
	From        string          `json:"from"`
	Line        int             `json:"line"`
	Collimation setout.Decimal  `json:"collimation"`
	Sights      int             `json:"sights"`
	ToFormation *setout.Decimal `json:"to_formation,omitempty"`
}

type bookCheck struct {
	What   string         `json:"what"`
	Left   setout.Decimal `json:"left"`
	Right  setout.Decimal `json:"right"`
	Booked bool           `json:"booked"`
	Holds  bool           `json:"holds"`
}

type bookClosure struct {
	FromLine     int             `json:"from_line"`
	ToLine       int             `json:"to_line"`
	Known        setout.Decimal  `json:"known"`
	Reduced      setout.Decimal  `json:"reduced"`
	Misclosure   setout.Decimal  `json:"misclosure"`
	SetUps       int             `json:"set_ups"`
	Distance     *setout.Decimal `json:"distance,omitempty"`
	Allowed      *float64        `json:"allowed,omitempty"`
	Within       *bool           `json:"within,omitempty"`
	Intermediate bool            `json:"intermediate"`
}

func newBookClosure(r *setout.Reduction, c *setout.Closure) bookClosure {
	out := bookClosure{FromLine: r.Book.Rows[c.From].Line, ToLine: r.Book.Rows[c.To].Line, Known: c.Known, Reduced: c.Reduced,
		Misclosure: c.Misclosure, SetUps: c.SetUps, Distance: given(c.Distance), Intermediate: c.Intermediate}
	if c.Judged {
		out.Allowed, out.Within = &c.Allowed, &c.Within
	}
	return out
}

type bookAllowance struct {
	Constant setout.Decimal `json:"constant"`
	Per      string         `json:"per"`
}

type bookSums struct {
	Backsights    setout.Decimal `json:"backsights"`
	Intermediates setout.Decimal `json:"intermediates"`
	Foresights    setout.Decimal `json:"foresights"`
	Rises         setout.Decimal `json:"rises"`
	Falls         setout.Decimal `json:"falls"`
}

type bookPoints struct {
	Count    int `json:"count"`
	Unplaced int `json:"unplaced"`
	Inverted int `json:"inverted"`
	Again    int `json:"again"`
}

// LevelBookJSON writes the same as one JSON object and a line feed. Numbers of the
// book are exact decimals, in its unit.
func LevelBookJSON(w io.Writer, r *setout.Reduction) error {
	points, left := r.Points()
	out := struct {
		Schema      int             `json:"schema"`
		Program     takeoff.Program `json:"program"`
		File        string          `json:"file"`
		Units       bookUnits       `json:"units"`
		Decimals    int             `json:"decimals"`
		Allowance   *bookAllowance  `json:"allowance,omitempty"`
		Staff       *setout.Decimal `json:"staff,omitempty"`
		Formation   *setout.Decimal `json:"formation,omitempty"`
		Rows        []bookRow       `json:"rows"`
		SetUps      []bookSetUp     `json:"set_ups"`
		Sums        bookSums        `json:"sums"`
		Checks      []bookCheck     `json:"checks"`
		Closures    []bookClosure   `json:"closures"`
		Distributed bool            `json:"distributed"`
		Sound       bool            `json:"sound"`
		Points      bookPoints      `json:"points"`
		Warnings    []finding       `json:"warnings"`
		Notes       []finding       `json:"notes"`
	}{
		Schema: takeoff.SchemaVersion, Program: takeoff.Program{Name: "barrow", Version: takeoff.Version},
		File: r.Book.Name, Units: bookUnits{r.Book.Unit.String()}, Decimals: r.Book.Places,
		Staff: given(r.Options.Staff), Formation: given(r.Options.Formation),
		Sums: bookSums(r.Sums), Closures: []bookClosure{}, Distributed: r.Distributed, Sound: r.Sound(),
		Points:   bookPoints{len(points), left.Unplaced, left.Inverted, left.Again},
		Warnings: findings(r.Warnings), Notes: findings(r.Notes),
	}
	if a := r.Options.Allowance; a.Per != setout.NotStated {
		out.Allowance = &bookAllowance{a.Constant, rootWord(a.Per)}
	}
	for i := range r.Rows {
		out.Rows = append(out.Rows, newBookRow(&r.Book.Rows[i], &r.Rows[i]))
	}
	for _, s := range r.SetUps {
		row := &r.Book.Rows[s.Row]
		out.SetUps = append(out.SetUps, bookSetUp{row.Point, row.Line, s.Collimation, s.Sights, given(s.ToFormation)})
	}
	for _, c := range r.Checks {
		out.Checks = append(out.Checks, bookCheck{c.What, c.Left, c.Right, c.Booked, c.Holds()})
	}
	for i := range r.Closures {
		out.Closures = append(out.Closures, newBookClosure(r, &r.Closures[i]))
	}
	return writeJSON(w, out)
}

type bookUnits struct {
	Length string `json:"length"`
}

// rootWord is what an allowance goes by, for a machine.
func rootWord(r setout.Root) string {
	switch r {
	case setout.PerKilometre:
		return "root_km"
	case setout.PerMile:
		return "root_mile"
	}
	return "root_set_up"
}

package takeoff

import (
	"math"

	"github.com/paulmach/orb"

	"barrow/tin/setout"
)

// ConformResult is how finished work lies to the levels of a job. Levels and lengths are
// in Units and unrounded; its JSON form is the machine's result.
type ConformResult struct {
	Schema  int     `json:"schema"`
	Program Program `json:"program"`
	Job     string  `json:"job"`
	Units   Units   `json:"units"`
	Scale   float64 `json:"scale"`
	Inputs  []Input `json:"inputs"`

	Of                string   `json:"of"`                // "formation", "finished" or the name of a layer: its top
	Layer             bool     `json:"layer,omitempty"`   // Of is the name of a layer
	Shots             string   `json:"shots"`             // their file
	Shift             *float64 `json:"shift,omitempty"`   // added to the level of each, by their benchmark
	StandardDeviation *float64 `json:"shot_sd,omitempty"` // of the level of one shot; nil: it is not known

	Verdict setout.Verdict `json:"verdict"` // of all pads: the first that one of them has of out, too few, undecided, no tolerance, within
	Pads    []ConformPad   `json:"pads"`
	Beside  []BesideShot   `json:"beside"` // shots that are held against nothing
	Rule    ConformRule    `json:"rule"`   // of enough shots

	Notes    []Remark `json:"notes"`
	Warnings []Remark `json:"warnings"`
}

// ConformRule says when shots are enough for a verdict; judgement, no source.
type ConformRule struct {
	Fewest      int     `json:"fewest"`
	AreaPerShot float64 `json:"area_per_shot"`
	Reach       float64 `json:"reach"` // no place may be farther from a shot
}

// ConformPad is how the work on a pad lies to its levels.
type ConformPad struct {
	Name      string           `json:"name"`
	Level     *float64         `json:"level,omitempty"` // asked for; nil where it is not one level
	Tolerance *ToleranceResult `json:"tolerance,omitempty"`
	Verdict   setout.Verdict   `json:"verdict"`
	Shots     []ConformShot    `json:"shots"` // in the order of the file
	Within    int              `json:"within"`
	Undecided int              `json:"undecided"`
	Out       int              `json:"out"`
	Share     *float64         `json:"share_within,omitempty"` // Within of all; nil without a tolerance or a shot
	Mean      *float64         `json:"mean,omitempty"`         // measured less asked; nil without a shot
	Deviation *float64         `json:"sd,omitempty"`           // about the mean; nil of fewer than two
	Worst     *int             `json:"worst,omitempty"`        // index in Shots
	Cover     ConformCover     `json:"cover"`
	Still     *ConformVolumes  `json:"still,omitempty"` // nil: the shots make no surface
}

// ToleranceResult is how far finished work may be off, neither below 0.
type ToleranceResult struct {
	Up   float64 `json:"up"`
	Down float64 `json:"down"`
}

// ConformShot is a shot held against the level asked for.
type ConformShot struct {
	Name     string          `json:"name"`
	Line     int             `json:"line,omitempty"` // in the file of the shots
	At       Place           `json:"at"`
	Measured float64         `json:"measured"` // after Shift
	Asked    float64         `json:"asked"`
	Off      float64         `json:"off"` // measured less asked: above 0 is HIGH
	Standing setout.Standing `json:"standing"`
	Ground   string          `json:"ground,omitempty"` // "cut" or "fill": what the formation there is in; empty: not known
}

// What the formation is in at a shot.
const (
	InCut  = "cut"
	InFill = "fill"
)

// ConformCover is how the shots cover a pad.
type ConformCover struct {
	Area    float64        `json:"area"`
	Needed  int            `json:"needed"` // shots for it
	Have    int            `json:"have"`
	Gap     *float64       `json:"gap,omitempty"` // greatest distance of a place from a shot, to Step; nil without a shot
	Step    float64        `json:"step"`
	Missing int            `json:"missing"` // how many more shots, at the least where Places ends at 100
	Places  []ConformPlace `json:"places"`  // where to take them, each farthest from all before it
}

// ConformPlace is a place without a shot near it.
type ConformPlace struct {
	At       Place    `json:"at"`
	Distance *float64 `json:"distance,omitempty"` // from the shots and the places before it; nil where there is none
}

// ConformVolumes is what lies between the surface of the shots and the levels asked for.
type ConformVolumes struct {
	Trim      float64     `json:"trim"`    // above the level asked for: still to take off
	MakeUp    float64     `json:"make_up"` // below it
	TrimArea  float64     `json:"trim_area"`
	LowArea   float64     `json:"make_up_area"`
	Uncovered float64     `json:"uncovered_area"` // outside the shots: in neither
	Extra     []LayerMore `json:"extra"`          // what MakeUp is of the layers that come on top, the next one first
}

// LayerMore is how much more of a layer is wanted if it makes up for what is low.
type LayerMore struct {
	Name      string  `json:"name"`
	Thickness float64 `json:"thickness"`
	Volume    float64 `json:"volume"`         // of the layer as drawn, on the pad
	More      float64 `json:"more"`           // volume as built
	Percent   float64 `json:"percent"`        // of Volume; 0 where that is 0
	Mean      float64 `json:"mean_thickness"` // of More, over the area that is low; 0 where nothing is
}

// BesideShot is a shot that is held against nothing, and why.
type BesideShot struct {
	Name string `json:"name"`
	Line int    `json:"line,omitempty"`
	At   Place  `json:"at"`
	Why  string `json:"why"`
}

// result turns what was found into the job's unit, on the ground.
func (c *conforming) result() *ConformResult {
	s := c.opts.Shots
	res := &ConformResult{
		Schema: SchemaVersion, Program: Program{Name: "barrow", Version: Version},
		Job: c.job.Name, Units: c.job.units(), Scale: c.scale, Inputs: append(c.job.measuredFrom(), s.Inputs...),
		Of: OfFormation, Shots: s.Name, Verdict: setout.VerdictWithin, Beside: append([]BesideShot{}, c.beside...),
		Rule: ConformRule{setout.FewestShots, areaPerShot / (c.unit * c.unit), shotReach / c.unit},
	}
	if name := c.layer(); name != "" {
		res.Of, res.Layer = name, true
	} else if c.opts.Of != "" {
		res.Of = c.opts.Of
	}
	if b := s.Benchmark; b != nil {
		shift := addLevels(b.Plan, -b.Measured)
		res.Shift = &shift
	}
	if sd := c.opts.StandardDeviation; sd > 0 {
		res.StandardDeviation = &sd
	} else {
		c.remarked = append(c.remarked, accuracyUnknown())
	}
	for i := range c.pads {
		p := c.padResult(&c.pads[i])
		res.Pads = append(res.Pads, p)
		if graver(p.Verdict) > graver(res.Verdict) {
			res.Verdict = p.Verdict
		}
	}
	res.Notes = c.remarks(append(append(s.Notes[:len(s.Notes):len(s.Notes)], c.remarked...), c.outside()...))
	res.Warnings = c.remarks(append(s.Warnings[:len(s.Warnings):len(s.Warnings)], c.warned...))
	return res
}

// graver orders verdicts: that of a job is the gravest of its pads.
func graver(v setout.Verdict) int {
	switch v {
	case setout.VerdictOut:
		return 4
	case setout.VerdictTooFew:
		return 3
	case setout.VerdictUndecided:
		return 2
	case setout.VerdictNoTolerance:
		return 1
	}
	return 0
}

func (c *conforming) padResult(p *conformPad) ConformPad {
	f := p.found
	out := ConformPad{Name: c.job.Pads[p.index].Name, Verdict: f.Verdict, Shots: []ConformShot{},
		Within: f.Within, Undecided: f.Undecided, Out: f.Out, Cover: c.coverResult(&f.Coverage), Still: c.volumes(p)}
	if level, ok := c.level(p); ok {
		out.Level = &level
	}
	if t := c.tolerance(p); t != nil {
		out.Tolerance = &ToleranceResult{t.Up, t.Down}
	}
	for _, d := range f.Deviations {
		shot := p.points[d.Shot]
		out.Shots = append(out.Shots, ConformShot{Name: shot.Name, Line: int(shot.Line), At: Place{shot.E, shot.N},
			Measured: p.measured[d.Shot], Asked: d.Asked, Off: d.Off, Standing: d.Standing, Ground: c.groundAt(p, d.Shot)})
	}
	if n := len(f.Deviations); n > 0 {
		out.Mean, out.Worst = &f.Mean, &f.Worst
		if out.Tolerance != nil {
			share := float64(f.Within) / float64(n)
			out.Share = &share
		}
		if n > 1 {
			out.Deviation = &f.StandardDeviation
		}
	}
	return out
}

// groundAt says whether the formation at a shot is in cut or in fill.
func (c *conforming) groundAt(p *conformPad, shot int) string {
	at := orb.Point{p.shots[shot].E, p.shots[shot].N}
	level, ok := c.ground.LevelAt(at[0], at[1])
	formation, known := p.target.formation(at)
	if !ok || !known {
		return ""
	}
	for _, f := range p.target.on.Near(at, nearRim) {
		if distanceFromConvex(at, f.Cell.Corner[:]) == 0 {
			level -= f.Topsoil
			break
		}
	}
	if level >= formation {
		return InCut
	}
	return InFill
}

func (c *conforming) coverResult(v *setout.Coverage) ConformCover {
	length := c.lengthUnit()
	out := ConformCover{Area: v.Area / c.areaUnit(), Needed: v.Needed, Have: v.Have, Step: v.Step / length, Missing: v.Missing, Places: []ConformPlace{}}
	known := func(d float64) *float64 {
		if math.IsInf(d, 1) {
			return nil
		}
		d /= length
		return &d
	}
	out.Gap = known(v.Gap)
	for _, p := range v.Places {
		out.Places = append(out.Places, ConformPlace{Place{p.At[0] / c.unit, p.At[1] / c.unit}, known(p.Distance)})
	}
	return out
}

// volumes is what is still to move, and what it is of the layers on top.
func (c *conforming) volumes(p *conformPad) *ConformVolumes {
	if p.still == nil {
		return nil
	}
	s, area := p.still, c.areaUnit()
	out := &ConformVolumes{Trim: s.Cut / c.volumeUnit(), MakeUp: s.Fill / c.volumeUnit(), TrimArea: s.CutArea / area, LowArea: s.FillArea / area,
		Uncovered: s.UncoveredArea / area, Extra: []LayerMore{}}
	job, laid := &c.job.Pads[p.index], &c.layout.Pads[p.index]
	for k := p.target.layer - 1; k >= 0; k-- {
		over := facetArea(laid.Facets)
		if job.layerTo(k) == LayersToMargin {
			over = facetArea(laid.Facets, laid.Margin)
		}
		more := LayerMore{Name: job.Layers[k].Name, Thickness: job.Layers[k].Thickness, Volume: c.layerVolume(over, job.Layers[k].Thickness), More: out.MakeUp}
		if more.Volume > 0 {
			more.Percent = 100 * more.More / more.Volume
		}
		if s.FillArea > 0 {
			more.Mean = s.Fill / s.FillArea / c.unit
		}
		out.Extra = append(out.Extra, more)
	}
	return out
}

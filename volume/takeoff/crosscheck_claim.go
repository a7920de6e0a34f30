package takeoff

import (
	"fmt"
	"math"

	"barrow/tin"
)

// Measures of a claim, as in its file and on the command line.
const (
	MeasureBank      = "bank"
	MeasureLoose     = "loose"
	MeasureCompacted = "compacted"
	MeasureLoads     = "loads"
)

// Claim is someone else's figures for the works of a job, or between two surveys. Its
// volumes are in Units; nil: not claimed.
type Claim struct {
	Name      string // of its file, used in messages
	Units     string // "m3" or "yd3"; empty counts as the job's unit of volume
	Cut, Fill *float64
	// CutRounding and FillRounding are half a unit of the last decimal given.
	CutRounding, FillRounding float64

	// Measure is what one unit of the claim is. Empty counts as bank: cut in place
	// before digging, fill as the space to be filled.
	Measure string
	// Factor is how many units of the claim one of bank cut makes: loose per bank,
	// or compacted per bank. FillFactor is how many one unit of space to be filled
	// takes: loose per compacted. 0: 1, but it must be given for cut that is loose,
	// compacted or loads, and for fill that is loose or loads.
	Factor, FillFactor float64
	Load               float64 // loose volume of a load, with loads only

	// Basis is "as-dug" or "net-void"; empty counts as as-dug. It has no meaning
	// between two surveys.
	Basis string
	// TopsoilIn says that cut and fill were measured from the ground before the strip.
	TopsoilIn bool

	Inputs []Input // the file it was read from
}

func badClaim(key, message, hint string) error {
	return badJob(codeBadValue, "claim."+key, message, hint)
}

// check refuses a claim that cannot be restated.
func (c *Claim) check() error {
	loose := c.Measure == MeasureLoose || c.Measure == MeasureLoads
	amount := func(v *float64) bool { return v == nil || *v >= 0 && *v <= mostClaimed }
	factor := func(f float64) bool { return f == 0 || f >= leastFactor && f <= greatestFactor }
	const between = "a factor is volume over volume, such as 1.25"
	const noFactor, factorHint = `a factor goes with what is not in "bank"`, `leave it out, or say that the measure is "loose", "compacted" or "loads"`
	const volumes = "a volume is from 0 to 1e12"
	switch {
	case c.Cut == nil && c.Fill == nil:
		return badJob(codeMissingKey, "claim.cut", "the claim has neither cut nor fill", "give one of them, or both")
	case !known(c.Units, "m3", "yd3"):
		return badClaim("units", fmt.Sprintf("unknown word %q", c.Units), `use "m3" or "yd3"`)
	case !amount(c.Cut):
		return badClaim("cut", "a cut of "+formatNumber(*c.Cut), volumes)
	case !amount(c.Fill):
		return badClaim("fill", "a fill of "+formatNumber(*c.Fill), volumes)
	case !known(c.Measure, MeasureBank, MeasureLoose, MeasureCompacted, MeasureLoads):
		return badClaim("measure", fmt.Sprintf("unknown word %q", c.Measure), `use "bank", "loose", "compacted" or "loads"`)
	case !known(c.Basis, "as-dug", "net-void"):
		return badClaim("basis", fmt.Sprintf("unknown word %q", c.Basis), `use "as-dug" or "net-void"`)
	case !factor(c.Factor):
		return badClaim("factor", "a factor of "+formatNumber(c.Factor), between)
	case !factor(c.FillFactor):
		return badClaim("fill_factor", "a factor of "+formatNumber(c.FillFactor), between)
	case c.measure() == MeasureBank && c.Factor != 0:
		return badClaim("factor", noFactor, factorHint)
	case c.measure() == MeasureBank && c.FillFactor != 0:
		return badClaim("fill_factor", noFactor, factorHint)
	case c.Cut != nil && c.Factor == 0 && (loose || c.Measure == MeasureCompacted):
		return badJob(codeMissingKey, "claim.factor", fmt.Sprintf("cut in %q needs the factor to bank measure", c.Measure), "give how many of the claim one of bank makes, such as 1.25")
	case c.Fill != nil && c.FillFactor == 0 && loose:
		return badJob(codeMissingKey, "claim.fill_factor", fmt.Sprintf("fill in %q needs the factor to the space to be filled", c.Measure), "give how much loose one of space takes, such as 1.4")
	case c.Measure == MeasureLoads && c.Load == 0:
		return badJob(codeMissingKey, "claim.load", "loads need the loose volume of one, above 0", "give it in the claim's unit of volume, such as 8.0")
	case !(c.Load >= 0 && c.Load <= mostLoad):
		return badClaim("load", "a load of "+formatNumber(c.Load), "give the loose volume of one, such as 8.0")
	case c.Measure != MeasureLoads && c.Load != 0:
		return badClaim("load", fmt.Sprintf("a load goes with loads, not with %q", c.measure()), `leave it out, or say that the measure is "loads"`)
	}
	return nil
}

// mostClaimed is the most that is taken for a volume, or for a number of loads, and
// mostLoad for a load: a mountain, and more than any machine lifts.
const mostClaimed, mostLoad = 1e12, 1e6

// Between these every loosening and every compaction of earth and rock finds room.
const leastFactor, greatestFactor = 0.3, 3

// known reports whether a word is empty or one of a few.
func known(word string, words ...string) bool {
	if word == "" {
		return true
	}
	for _, w := range words {
		if w == word {
			return true
		}
	}
	return false
}

func (c *Claim) measure() string {
	if c.Measure == "" {
		return MeasureBank
	}
	return c.Measure
}

// restate turns a figure into bank measure of cut, or space to be filled.
func (c *Claim) restate(volume, factor float64) float64 {
	if c.Measure == MeasureLoads {
		volume *= c.Load
	}
	if factor != 0 {
		volume /= factor
	}
	return volume
}

// cubicYard is m3 in a cubic yard, of international feet.
const cubicYard = 27 * 0.3048 * 0.3048 * 0.3048

// ownClaim returns the claim in the job's unit of volume.
func (x *crossing) ownClaim() *Claim {
	own := x.run.job.units()
	c := *x.opts.Claim
	if c.Units == "" || c.Units == own.Volume {
		return &c
	}
	k := cubicYard // of the job in metres
	if own.Volume != "m3" {
		u := x.run.unit
		k = 1 / (27 * u * u * u)
	}
	times := func(v *float64) *float64 {
		if v == nil {
			return nil
		}
		w := *v * k
		return &w
	}
	x.notes = append(x.notes, tin.Problem{Code: NoteUnitsConverted,
		Message: fmt.Sprintf("the claim: in %s, as it states; converted to %s", c.Units, own.Volume)})
	if c.Measure == MeasureLoads { // they are counted, and a load has the unit
		c.Load *= k
		return &c
	}
	c.Cut, c.Fill = times(c.Cut), times(c.Fill)
	c.CutRounding, c.FillRounding = c.CutRounding*k, c.FillRounding*k
	return &c
}

// claimedBasis is the basis of a claim, as the works have it.
func (x *crossing) claimedBasis(c *Claim) crossBasis {
	b := crossBasis{BasisAsDug, c.TopsoilIn && x.run.strips()}
	if c.Basis == "net-void" && x.run.wider() {
		b.basis = BasisNetVoid
	}
	return b
}

// strips reports whether topsoil is taken off anywhere.
func (r *run) strips() bool {
	t := r.soil
	return t.Depth > 0 || len(t.Areas) > 0
}

// holdClaim holds the claim against what the survey and the methods support on its basis.
func (x *crossing) holdClaim() error {
	if x.opts.Claim == nil {
		return nil
	}
	c := x.ownClaim()
	h := &x.held[0]
	basis := BasisSurveys
	if x.run.layout != nil {
		b := x.claimedBasis(c)
		for i := range x.held {
			if w := x.held[i].works; w.basis == b.basis && w.topsoilIn == b.topsoilIn {
				h = &x.held[i]
			}
		}
		basis = BasisAsDug
		if c.Basis == "net-void" {
			basis = BasisNetVoid
		}
	}
	x.claim = &ClaimResult{
		Name: c.Name, Measure: c.measure(), Factor: c.Factor, FillFactor: c.FillFactor, Load: c.Load,
		Basis: basis, TopsoilIn: c.TopsoilIn,
	}
	if x.run.layout != nil {
		if err := x.run.surenessOf(h.works.basis == BasisAsDug); err != nil {
			return err
		}
		x.claim.Survey = x.run.uncertaintyResult()
	}
	if c.Cut != nil {
		x.claim.Cut = x.claimed(h, inCut, *c.Cut, c.restate(*c.Cut, c.Factor), c.restate(c.CutRounding, c.Factor))
	}
	if c.Fill != nil {
		x.claim.Fill = x.claimed(h, inFill, *c.Fill, c.restate(*c.Fill, c.FillFactor), c.restate(c.FillRounding, c.FillFactor))
	}
	return nil
}

// surveyHalf returns by how much the survey alone may have a volume wrong either way
// with 95 %, in the job's unit; 0 where that is not known.
func (c *ClaimResult) surveyHalf(q int) float64 {
	if c.Survey == nil || c.Survey.NotStated != "" {
		return 0
	}
	return [...]float64{*c.Survey.Cut, *c.Survey.Fill}[q]
}

// claimed holds one figure, and warns where it is outside.
func (x *crossing) claimed(h *heldWorks, q int, given, restated, rounding float64) *ClaimFigure {
	r := x.run
	least, greatest := h.supported(q)
	half := x.claim.surveyHalf(q)
	f := &ClaimFigure{Claimed: given, Restated: restated, Rounding: rounding,
		Least: max(0, least/r.volumeUnit()-half), Greatest: greatest/r.volumeUnit() + half}
	d := restated*r.volumeUnit() - h.works.prism[q]
	f.Difference, f.Percent, f.Height = d/r.volumeUnit(), h.percent(d, q), h.mean(d)/r.unit
	slack := rounding + float64(crossLeast*h.works.area)/r.volumeUnit()
	f.Inside = restated >= f.Least-slack && restated <= f.Greatest+slack
	if f.Inside {
		return f
	}
	side := "above"
	if restated < f.Least {
		side = "below"
	}
	unit := r.job.units().Volume
	x.warnings = append(x.warnings, tin.Problem{Code: WarnClaimOutside, Message: fmt.Sprintf(
		"the %s claimed, %.1f %s %s, is %s the range that survey and methods support, %.1f to %.1f %s: by %s, %s over the works, %s than by prisms",
		[...]string{"cut", "fill"}[q], restated, unit, h.works.title(), side, f.Least, f.Greatest, unit,
		r.volumeText(math.Abs(d)), r.heightText(h.mean(d)), map[bool]string{true: "more", false: "less"}[d > 0])})
	return f
}

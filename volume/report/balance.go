package report

import (
	"fmt"
	"io"
	"slices"
	"strconv"
	"strings"

	"barrow/volume/takeoff"
)

// Balance writes where cut and fill balance as a sheet: the level first, then what other
// levels make of cut and fill, the least cost, each pad alone, how the figures came
// about, and what is not in them. Lines have at most 80 characters. Levels have one place
// more than elsewhere, for a tenth of a millimetre.
func Balance(w io.Writer, r *takeoff.BalanceResult) error {
	greatest := 0.0
	for _, p := range r.Curve {
		greatest = max(greatest, p.Cut, p.Fill)
	}
	t := balanceSheet{paper: paper{n: numbersFor(r.Units, greatest, r.AsGiven.CutArea+r.AsGiven.FillArea)}, r: r}
	t.head()
	t.found()
	t.table("WHAT IF THE LEVEL GOES UP OR DOWN", r.WhatIf)
	t.table(t.tableTitle(), r.Table)
	t.leastCost()
	t.oneByOne()
	t.remarks("WARNINGS", r.Warnings)
	t.cameAbout()
	t.remarks("NOTES", r.Notes)
	t.notMeasured(r.NotMeasured)
	t.cautions()
	return t.deliver(w)
}

// BalanceJSON writes the same as one JSON object and a line feed, as [JSON] does.
func BalanceJSON(w io.Writer, r *takeoff.BalanceResult) error { return writeJSON(w, r) }

// balanceSheet is the sheet of a balance in the making.
type balanceSheet struct {
	paper
	r *takeoff.BalanceResult
}

func (t *balanceSheet) head() {
	t.job(t.r.Job)
	t.said("Level of cut and fill in balance", t.r.Program, len(t.r.Warnings))
}

// factored reports whether it is known what fill the cut makes.
func (t *balanceSheet) factored() bool { return t.r.CompactedPerBank != nil || t.r.ByMaterials }

// amount writes minor units of the currency, or else hundredths.
func (t *balanceSheet) amount(minor int64) string {
	if c := t.r.Currency; c != nil {
		return c.Text(minor)
	}
	return hundredths(minor)
}

// money writes an amount with its currency, where that is known.
func (t *balanceSheet) money(minor int64) string {
	if c := t.r.Currency; c != nil {
		return c.Code + " " + t.amount(minor)
	}
	return t.amount(minor)
}

// fine writes a level to a tenth of a millimetre.
func (t *balanceSheet) fine(level float64) string { return fixed(level, 4) }

// shift writes a shift with its sign: in a job in metres in millimetres.
func (t *balanceSheet) shift(s float64) string {
	text := fixed(s, 4)
	if t.n.metric() {
		text = fixed(s*1e3, 1)
	}
	if !strings.HasPrefix(text, "-") && strings.Trim(text, "0.") != "" {
		text = "+" + text
	}
	return text
}

func (t *balanceSheet) shiftUnit() string {
	if t.n.metric() {
		return "mm"
	}
	return t.n.units.Length
}

// found writes the level that was sought.
func (t *balanceSheet) found() {
	p := t.r.Balance
	title := "CUT AND FILL BALANCE AT"
	switch {
	case p == nil:
		p, title = t.r.Nearest, "NO LEVEL BALANCES; THE NEAREST IS"
	case !t.factored():
		title = "CUT EQUALS FILL AT"
	}
	t.title(title)
	for i, l := range p.Levels {
		t.levelOf(&t.r.Moved[i], l, p.Shift)
	}
	t.put("  ", t.volumes(p))
	t.put("  ", fmt.Sprintf("one step of %s %s up, at the rate there: cut less by %s, fill more by %s", strings.TrimPrefix(t.shift(t.r.PerStep.Step), "+"), t.shiftUnit(),
		t.n.volume(t.r.PerStep.CutFalls), t.n.volume(t.r.PerStep.FillRise)))
	t.materials(p)
	t.limits()
}

// materials writes what becomes of each material at a level, where they make the balance.
func (t *balanceSheet) materials(p *takeoff.LevelPoint) {
	for _, m := range p.Materials {
		words := fmt.Sprintf("%s: dug %s", m.Name, t.n.volume(float64(m.Dug)))
		if m.ToFill != nil {
			words += fmt.Sprintf(", becomes fill %s, leaves the site %s", t.n.volume(float64(*m.ToFill)), t.n.volume(float64(*m.Spoil)))
		}
		t.put("  ", words+" (bank)")
	}
}

// levelOf writes a pad's level at a shift.
func (t *balanceSheet) levelOf(pad *takeoff.MovedPad, l takeoff.PadLevel, shift float64) {
	by := fmt.Sprintf("%s %s from the job's", t.shift(shift), t.shiftUnit())
	if l.FinishedLevel == nil {
		t.put("  ", fmt.Sprintf("%s: all its levels %s own, %s to %s", l.Name, by, t.n.level(*pad.Lowest), t.withUnit(*pad.Highest)))
		return
	}
	at := ""
	if pad.At != nil {
		at = " at " + place(pad.At)
	}
	t.put("  ", fmt.Sprintf("%s: finished %s %s%s, %s %s; formation %s", l.Name, t.fine(*l.FinishedLevel), t.n.units.Length, at, by,
		t.n.level(*pad.FinishedLevel), t.fine(*l.FormationLevel)))
}

// volumes writes cut, fill and what they leave at a level.
func (t *balanceSheet) volumes(p *takeoff.LevelPoint) string {
	words := fmt.Sprintf("cut %s %s (bank), fill %s %s", t.atLeast(p.Cut, p.AtLeast), t.n.units.Volume, t.atLeast(p.Fill, p.AtLeast), t.n.units.Volume)
	if f := t.r.CompactedPerBank; f != nil {
		words += fmt.Sprintf(": at %s compacted per bank the cut makes %s of fill", strconv.FormatFloat(*f, 'f', -1, 64), t.n.volume(*p.Supply))
	}
	if t.r.ByMaterials && p.Supply != nil {
		words += fmt.Sprintf(": what is dug can make %s of fill, and %s is to be made, backfill too", t.n.volume(*p.Supply), t.n.volume(*p.FillToMake))
	}
	words += "; " + t.left(p)
	if p.Cost != nil {
		words += "; cost " + t.money(*p.Cost)
		if p.CostInPart {
			words += " in part"
		}
	}
	return words
}

// left says in words what a level leaves over, or wants.
func (t *balanceSheet) left(p *takeoff.LevelPoint) string {
	switch {
	case p.Unassigned > 0:
		return "what is left over or missing is not known: some of the cut is of no material"
	case p.Surplus == nil:
		return t.difference(p.CutLessFill)
	case t.nothing(*p.Surplus + *p.Short):
		return "balanced"
	case *p.Surplus > 0:
		return fmt.Sprintf("surplus %s (bank)", t.n.volume(*p.Surplus))
	}
	return fmt.Sprintf("short %s (compacted)", t.n.volume(*p.Short))
}

// nothing reports whether a volume prints as 0.
func (t *balanceSheet) nothing(volume float64) bool {
	return strings.Trim(fixed(volume, t.n.decimals), "-0.") == ""
}

// limits writes the limits that were kept.
func (t *balanceSheet) limits() {
	for _, l := range []struct {
		shift *float64
		of    string
	}{{t.r.Limits.Least, t.r.Limits.LeastOf}, {t.r.Limits.Most, t.r.Limits.MostOf}} {
		if l.shift != nil {
			t.put("  ", fmt.Sprintf("limit kept: %s, a shift of %s %s", l.of, t.shift(*l.shift), t.shiftUnit()))
		}
	}
}

// hundredths writes minor units with two decimals.
func hundredths(minor int64) string {
	sign := ""
	if minor < 0 {
		sign = "-"
	}
	n := uint64(max(minor, -minor))
	return fmt.Sprintf("%s%d.%02d", sign, n/100, n%100)
}

// balanceColumns are where the columns of a table of levels end: shift, level, cut,
// fill, what is left, cost.
func balanceColumns() []int { return []int{10, 21, 33, 45, 63, 79} }

func (t *balanceSheet) tableTitle() string {
	if t.r.Balance == nil {
		return "LEVELS ABOUT THE NEAREST"
	}
	return "LEVELS ABOUT THE BALANCE"
}

// oneLevel reports whether a table has a column of levels: where one pad moves, and
// has one.
func (t *balanceSheet) oneLevel() bool {
	return len(t.r.Moved) == 1 && t.r.Moved[0].FinishedLevel != nil
}

// table writes levels one under the other.
func (t *balanceSheet) table(title string, points []takeoff.LevelPoint) {
	t.title(title)
	u := t.n.units
	leftHead, level, levelUnit, cost := "cut less fill", "", "", ""
	if t.factored() {
		leftHead = "surplus or short"
	}
	if t.oneLevel() {
		level, levelUnit = "finished", u.Length
	}
	if t.r.AsGiven.Cost != nil {
		if cost = "cost"; t.r.Currency != nil {
			cost += " " + t.r.Currency.Code
		}
	}
	t.heads(0, "", balanceColumns(), "shift", level, "cut", "fill", leftHead, cost)
	t.heads(0, "", balanceColumns(), t.shiftUnit(), levelUnit, u.Volume, u.Volume, u.Volume, "")
	for i := range points {
		t.pointRow(&points[i])
	}
}

func (t *balanceSheet) pointRow(p *takeoff.LevelPoint) {
	level, cost := "", ""
	if t.oneLevel() {
		level = t.fine(*p.Levels[0].FinishedLevel)
	}
	if p.Cost != nil {
		cost = t.amount(*p.Cost)
	}
	t.row(0, "", balanceColumns(), t.shift(p.Shift), level, fitting(p.Cut, t.n.decimals, 11), fitting(p.Fill, t.n.decimals, 11), t.shortLeft(p), cost)
	var marks []string
	if p.Shift == 0 {
		marks = append(marks, "as the job has it")
	}
	if t.r.Balance != nil && p.Shift == t.r.Balance.Shift {
		marks = append(marks, "the balance")
	}
	if p.Outside {
		marks = append(marks, "outside the limits")
	}
	if p.CostInPart {
		marks = append(marks, "cost in part: without spoil and import")
	}
	if p.AtLeast {
		marks = append(marks, "at least: part of the works has no ground")
	}
	if len(marks) > 0 {
		t.put(strings.Repeat(" ", 12), strings.Join(marks, "; "))
	}
}

// shortLeft is what is left at a level, as briefly as a table wants it.
func (t *balanceSheet) shortLeft(p *takeoff.LevelPoint) string {
	switch {
	case p.Unassigned > 0:
		return "not known"
	case p.Surplus == nil:
		return fitting(p.CutLessFill, t.n.decimals, 12)
	case t.nothing(*p.Surplus + *p.Short):
		return "balanced"
	case *p.Surplus > 0:
		return "surplus " + fitting(*p.Surplus, t.n.decimals, 9)
	}
	return "short " + fitting(*p.Short, t.n.decimals, 11)
}

// leastCost writes the level of least cost, if rates were given.
func (t *balanceSheet) leastCost() {
	c := t.r.LeastCost
	if c == nil {
		return
	}
	t.title("LEVEL OF LEAST COST")
	for i, l := range c.Levels {
		t.levelOf(&t.r.Moved[i], l, c.Shift)
	}
	t.put("  ", t.volumes(&c.LevelPoint))
	t.materials(&c.LevelPoint)
	t.put("  ", fmt.Sprintf("of shifts from %s to %s %s", t.shift(c.Least), t.shift(c.Most), t.shiftUnit()))
	switch c.AtEnd {
	case takeoff.EndLimit:
		t.put("  ", "It lies at a limit: beyond, the cost may be less still.")
	case takeoff.EndSearch:
		t.put("  ", "It lies at the end of what was looked at: beyond, the cost may be less still. Give limits to look farther.")
	}
	if c.SameFrom != nil {
		t.put("  ", fmt.Sprintf("It costs the same from a shift of %s to %s %s, to 0.1 mm.", t.shift(*c.SameFrom), t.shift(*c.SameTo), t.shiftUnit()))
	}
	if c.Saved > 0 {
		t.put("  ", t.money(c.Saved)+" less than at the job's own level")
	}
}

// oneByOne writes what each pad alone does.
func (t *balanceSheet) oneByOne() {
	if len(t.r.OneByOne) == 0 {
		return
	}
	t.title("ONE PAD ALONE, THE OTHERS AS THE JOB HAS THEM")
	for i := range t.r.OneByOne {
		a := &t.r.OneByOne[i]
		pad := &t.r.Moved[i]
		if a.Balance != nil {
			t.levelOf(pad, a.Balance.Levels[0], a.Balance.Shift)
			t.put("    ", t.volumes(a.Balance))
			if a.Jump {
				t.put("    ", "the volumes jump there; nearer than this it does not balance: "+t.left(a.Balance))
			}
			continue
		}
		if a.Nearest == nil {
			t.put("  ", a.Name+": not known, for some of the cut is of no material")
			continue
		}
		t.put("  ", fmt.Sprintf("%s: does not balance the job; at the nearest, %s %s, %s", a.Name, t.shift(a.Nearest.Shift), t.shiftUnit(), t.volumes(a.Nearest)))
	}
}

// cameAbout writes how the figures came about.
func (t *balanceSheet) cameAbout() {
	t.title("HOW THE FIGURES CAME ABOUT")
	for i := range t.r.Surveys {
		t.survey(&t.r.Surveys[i])
	}
	t.item("Levels", "every line is the whole job measured at that level, batters out to daylight too; nothing is interpolated. All pads that move go up or down by one shift")
	const one = "As the level rises the cut never grows and the fill never falls, so there is one balance at most; it is found to a thousandth of a millimetre"
	sorted := one
	if slices.ContainsFunc(t.r.Notes, func(n takeoff.Remark) bool { return n.Code == takeoff.NoteMayTurn }) {
		sorted = "There may be more than one: see the notes. It is found to a thousandth of a millimetre"
	}
	if t.r.ByMaterials {
		t.item("Balance", "neither surplus nor shortage, as the takeoff's sheet has them: the job's materials say what of all that is dug, thickenings "+
			"and topsoil too, may become fill and how much it makes, and that is held against fill and backfill. "+sorted+
			". Surplus is bank measure, short is compacted measure")
	} else {
		t.item("Balance", "cut and fill as dug, of all pads: outline, margin and batters, with the make-up for topsoil in the fill. "+one)
	}
	t.item("Step", "cut falls by its area in plan, fill rises by its own, times the step: the areas of the works that move, batters included")
	if t.r.CompactedPerBank != nil {
		t.item("Factor", "compacted per bank: the volume of fill, compacted, from one volume of cut in place. Surplus is bank measure, short is compacted measure")
	}
	t.costsCameAbout()
	if t.r.TopsoilApart {
		t.item("Topsoil", "depths are from stripped ground: topsoil is neither cut nor fill")
	}
	t.sources(t.r.Scale, t.r.Inputs)
}

// costsCameAbout writes what costs are by.
func (t *balanceSheet) costsCameAbout() {
	switch e := t.r.Rates; {
	case e != nil:
		u := t.n.units.Volume
		t.item("Cost", fmt.Sprintf("cut %s for one %s (bank) and fill %s (compacted) of all there is, and on top spoil %s (bank) and import %s (compacted) of what "+
			"is left over or missing; by materials spoil is all that leaves the site. Rounded to a whole minor unit, half away from zero",
			t.money(e.Cut), u, t.money(e.Fill), t.money(e.Spoil), t.money(e.Import)))
		if t.r.Currency == nil {
			t.item("", "the currency of the rates was not said")
		}
	case t.r.RatesFile != "":
		t.item("Cost", "the bill by "+t.r.RatesFile+" of each level: works with contingency, without provisional items. Whole loads and rounded quantities make it "+
			"go in steps, so that a level between two of those measured may cost a little less")
	}
}

// cautions say what a balance cannot know.
func (t *balanceSheet) cautions() {
	t.title("CAUTIONS")
	for _, words := range []string{
		"The level is the designer's decision. Drainage, floods, entrances, services, neighbours, planning levels and " +
			"foundations are not looked at here, and each may forbid the level that balances.",
		"The balance is no better than the survey and the factor: see what the least and the greatest likely factor make of it.",
		"Not all that is dug is fit for fill: that is for a competent person to judge on site and by test.",
		"Batters are shapes to measure by, and no statement that ground will stand or a fill hold: the stability of trenches, " +
			"faces and batters is for a competent person to judge on site, by the local codes. Raising or lowering a level makes them higher.",
		"Local codes and law, and the judgement of licensed engineers and surveyors, come before this sheet.",
	} {
		t.point(words)
	}
}

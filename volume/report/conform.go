package report

import (
	"fmt"
	"io"

	"barrow/tin/setout"
	"barrow/volume/takeoff"
)

// Conform writes how finished work lies to the levels asked for: the verdict, pad by pad
// each shot in words, what they say together, where shots are missing and what is still
// to move, then what is held against nothing, and what a verdict does not say. Lines
// have at most 80 characters.
func Conform(w io.Writer, r *takeoff.ConformResult) error {
	greatest, area := 0.0, 0.0
	for i := range r.Pads {
		area += r.Pads[i].Cover.Area
		if v := r.Pads[i].Still; v != nil {
			greatest = max(greatest, v.Trim, v.MakeUp)
		}
	}
	t := conformSheet{paper: paper{n: numbersFor(r.Units, greatest, area)}, r: r}
	t.head()
	for i := range r.Pads {
		t.pad(&r.Pads[i])
	}
	t.beside()
	t.remarks("WARNINGS", r.Warnings)
	t.cameAbout()
	t.remarks("NOTES", r.Notes)
	t.cautions()
	return t.deliver(w)
}

// ConformJSON writes the same as one JSON object and a line feed, as [JSON] does.
func ConformJSON(w io.Writer, r *takeoff.ConformResult) error { return writeJSON(w, r) }

// conformSheet is the sheet in the making.
type conformSheet struct {
	paper
	r *takeoff.ConformResult
}

// formation reports whether the formation is looked at.
func (t *conformSheet) formation() bool { return !t.r.Layer && t.r.Of == takeoff.OfFormation }

// of names what the work is held against.
func (t *conformSheet) of() string {
	switch {
	case t.r.Layer:
		return "top of " + t.r.Of
	case t.formation():
		return "formation"
	}
	return "finished level"
}

func (t *conformSheet) head() {
	t.job(t.r.Job)
	t.said("Finished shots against "+t.of(), t.r.Program, len(t.r.Warnings))
	t.title("VERDICT")
	out := 0
	for i := range t.r.Pads {
		out += t.r.Pads[i].Out
	}
	t.put("  ", verdictWords(t.r.Verdict, out))
	if len(t.r.Pads) > 1 {
		for i := range t.r.Pads {
			p := &t.r.Pads[i]
			t.put("    ", p.Name+": "+verdictWords(p.Verdict, p.Out))
		}
	}
}

// verdictWords writes a verdict, and how many shots are out where there is none.
func verdictWords(v setout.Verdict, out int) string {
	switch v {
	case setout.VerdictWithin:
		return "WITHIN TOLERANCE, every shot"
	case setout.VerdictOut:
		return "OUT OF TOLERANCE"
	case setout.VerdictUndecided:
		return "UNDECIDED: shots are too near to a limit"
	case setout.VerdictTooFew:
		words := "NO VERDICT: there are too few shots"
		if out > 0 {
			words += "; of those there are, " + countOf(out, "is", "are") + " OUT OF TOLERANCE"
		}
		return words
	}
	return "NO VERDICT: no tolerance given"
}

func (t *conformSheet) pad(p *takeoff.ConformPad) {
	t.blank()
	t.put("PAD ", p.Name)
	if p.Level != nil {
		t.put("  ", t.of()+" "+t.withUnit(*p.Level))
	}
	if l := p.Tolerance; l != nil {
		t.put("  ", fmt.Sprintf("tolerance +%s up, -%s down", t.n.small(l.Up), t.n.small(l.Down)))
	} else {
		t.put("  ", "no tolerance given: nothing is judged")
	}
	t.shots(p)
	t.together(p)
	t.cover(p)
	t.still(p)
}

// together says what the shots of a pad say together.
func (t *conformSheet) together(p *takeoff.ConformPad) {
	columns := []int{44}
	t.row(2, "shots", columns, fmt.Sprint(len(p.Shots)))
	if p.Share != nil {
		t.row(4, "within tolerance", columns, fmt.Sprint(p.Within))
		t.row(4, "undecided", columns, fmt.Sprint(p.Undecided))
		t.row(4, "out", columns, fmt.Sprint(p.Out))
		t.row(4, "share within", columns, fixed(100**p.Share, 1)+" %")
	}
	if p.Mean != nil {
		t.row(2, "mean", columns, t.deviation(*p.Mean))
	}
	if p.Deviation != nil {
		t.row(2, "standard deviation", columns, t.n.small(*p.Deviation))
	}
	if p.Worst != nil {
		s := &p.Shots[*p.Worst]
		t.row(2, "farthest off", columns, t.deviation(s.Off))
		t.put("    ", "shot "+shotName(s.Name, s.Line)+", "+place(&s.At))
	}
	t.put("  ", verdictWords(p.Verdict, p.Out))
}

// mostPlaces is how many places without a shot the sheet lists.
const mostPlaces = 12

// cover says whether there are enough shots, and where they are missing.
func (t *conformSheet) cover(p *takeoff.ConformPad) {
	c, u := &p.Cover, t.n.units.Length
	words := fmt.Sprintf("%s for %s, %d needed", countOf(c.Have, "shot", "shots"), t.n.area(c.Area), c.Needed)
	if c.Gap != nil {
		words += fmt.Sprintf("; the place farthest from one is %s %s from it", fixed(*c.Gap, 1), u)
	}
	t.put("  ", words)
	if c.Missing == 0 {
		return
	}
	t.put("  ", countOf(c.Missing, "more shot is", "more shots are")+" missing; take them at")
	for i := range c.Places[:min(len(c.Places), mostPlaces)] {
		at := place(&c.Places[i].At)
		if d := c.Places[i].Distance; d != nil {
			at += fmt.Sprintf(", %s %s from any other", fixed(*d, 1), u)
		}
		t.put("    ", at)
	}
	if more := c.Missing - mostPlaces; more > 0 {
		t.put("    ", fmt.Sprintf("and %d more", more))
	}
}

// still says what is still to move, and what being low takes.
func (t *conformSheet) still(p *takeoff.ConformPad) {
	v := p.Still
	if v == nil {
		t.put("  ", "volumes still to move: not measured, the shots make no surface")
		return
	}
	columns := []int{44, 62}
	t.row(2, "still to move, between the shots", columns, t.n.units.Volume, "area "+t.n.units.Area)
	t.row(4, "high, to trim", columns, fixed(v.Trim, t.n.decimals), fixed(v.TrimArea, t.n.areas))
	t.row(4, "low, to make up", columns, fixed(v.MakeUp, t.n.decimals), fixed(v.LowArea, t.n.areas))
	if v.Uncovered > 0 {
		t.row(4, "outside the shots, NOT MEASURED", columns, "", fixed(v.Uncovered, t.n.areas))
	}
	if v.MakeUp == 0 || len(v.Extra) == 0 {
		return
	}
	t.put("  ", "What is low takes as much more of ONE layer, whichever makes up for it:")
	for _, e := range v.Extra {
		t.row(4, e.Name+", "+t.n.small(e.Thickness), columns, fixed(e.More, t.n.decimals), fixed(e.Percent, 1)+" %")
		t.put("      ", fmt.Sprintf("of its %s as drawn; %s more where it is low, in the mean", t.n.volume(e.Volume), t.n.small(e.Mean)))
	}
}

// beside names the shots that are held against nothing.
func (t *conformSheet) beside() {
	if len(t.r.Beside) == 0 {
		return
	}
	t.title("SHOTS HELD AGAINST NOTHING")
	for i := range t.r.Beside {
		b := &t.r.Beside[i]
		t.put("  ", shotName(b.Name, b.Line)+", "+place(&b.At)+": "+b.Why)
	}
}

func (t *conformSheet) cameAbout() {
	u := t.n.units.Length
	t.title("HOW THE FIGURES CAME ABOUT")
	t.item("Deviation", "measured less "+t.of()+" where the shot is: HIGH is above it, LOW below")
	if s := t.r.Shift; s != nil {
		t.item("Benchmark", fmt.Sprintf("%s %s added to the level of each shot", signed(*s, 3), u))
	}
	if sd := t.r.StandardDeviation; sd != nil {
		t.item("Accuracy", fmt.Sprintf("the standard deviation of a shot's level is given as %s: nearer to a limit than twice that, %s, a shot is undecided",
			t.n.small(*sd), t.n.small(2**sd)))
	} else {
		t.item("Accuracy", "that of the shots is unknown: none was given, and each counts as if it were without error")
	}
	rule := &t.r.Rule
	t.item("Verdict", fmt.Sprintf("every shot must be within. None is given on under %d shots, under one for each %s %s, or with a place "+
		"over %s %s from a shot (judgement, no source)", rule.Fewest, fixed(rule.AreaPerShot, 0), t.n.units.Area, fixed(rule.Reach, 1), u))
	t.item("Volumes", "prisms between the levels asked for and the surface of the shots, straight between them, within tolerance or not")
	t.sources(t.r.Scale, t.r.Inputs)
}

// cautions say what no level can know.
func (t *conformSheet) cautions() {
	t.title("CAUTIONS")
	for _, words := range []string{
		"A verdict is about the levels measured, at the shots. It says nothing of the ground between and below them: bearing, soft " +
			"spots and compaction are for a competent person to judge on site.",
		"It is no statement that faces, batters or the ground beside the works will stand. The cautions of the takeoff hold while people are in the dig.",
		"Local codes and law, the contract's own tolerance and number of tests, and the judgement of licensed engineers and surveyors, come before this sheet.",
	} {
		t.point(words)
	}
}

package report

import (
	"fmt"
	"io"
	"math"
	"slices"
	"strings"

	"barrow/tin/formation"
	"barrow/tin/setout"
	"barrow/volume/takeoff"
)

// SetOut writes a set-out as a sheet for people: the levels to work to with what the
// staff reads, the pegs, boxes to fill in on site, and cautions. Lines have at most 80
// characters.
func SetOut(w io.Writer, r *takeoff.SetOutResult) error {
	t := newSetOutSheet(r)
	t.head()
	for i := range r.Pads {
		t.pad(&r.Pads[i])
	}
	t.remarks("WARNINGS", r.Warnings)
	for i := range r.Pads {
		t.pegs(r.Pads[i].Name)
	}
	t.pegTops()
	t.clearances()
	t.boxes()
	t.remarks("NOTES", r.Notes)
	t.notMeasured(r.Takeoff.NotMeasured)
	t.cameAbout()
	t.title("CAUTIONS")
	for _, words := range t.cautions() {
		t.point(words)
	}
	return t.deliver(w)
}

// SetOutJSON writes the same as one JSON object and a line feed, as [JSON] does.
func SetOutJSON(w io.Writer, r *takeoff.SetOutResult) error { return writeJSON(w, r) }

// setOutSheet is the sheet of a set-out in the making.
type setOutSheet struct {
	paper
	r *takeoff.SetOutResult
}

func newSetOutSheet(r *takeoff.SetOutResult) *setOutSheet {
	return &setOutSheet{paper: paper{n: newNumbers(r.Takeoff)}, r: r}
}

// takeoff is an empty sheet of the job measured, for the parts that are the same there.
func (t *setOutSheet) takeoff() *text { return &text{paper: paper{n: t.n}, r: t.r.Takeoff} }

func (t *setOutSheet) head() {
	t.job(t.r.Job)
	t.put("", fmt.Sprintf("Set-out, %s %s. Levels, lengths and readings in %s.", t.r.Program.Name, t.r.Program.Version, t.r.Units.Length))
	t.readWarnings(len(t.r.Warnings))
	t.title("INSTRUMENT")
	for _, words := range t.instrument() {
		t.put("  ", words)
	}
}

// instrument says where the line of sight is.
func (t *setOutSheet) instrument() []string {
	i := t.r.Instrument
	if i == nil {
		return []string{"none stated: no staff reading is given. State the backsight on a benchmark for them."}
	}
	return []string{
		fmt.Sprintf("benchmark %s + backsight %s = height of collimation %s", strings.TrimSpace(i.Name+" "+i.Benchmark.Text(3)), i.Backsight.Text(3), i.Collimation.Text(3)),
		"Staff reading to a level = height of collimation less the level.",
	}
}

// pad writes the levels of a pad.
func (t *setOutSheet) pad(p *takeoff.SetOutPad) {
	t.title("LEVELS OF PAD " + p.Name)
	for _, set := range p.Sets {
		if set.Corner != "" {
			t.put("  at corner ", set.Corner)
		}
		t.levels(set.Levels)
		t.spelt(set.Levels)
	}
	if len(p.Dug) > 0 {
		t.put("  ", "Dug below formation"+t.where(p))
		t.levels(p.Dug)
	}
	if len(p.Fall) > 0 {
		t.put("  ", fallTitle)
		for _, words := range t.falls(p) {
			t.put("    ", words)
		}
	}
}

// where says at which place the levels of thickenings hold.
func (t *setOutSheet) where(p *takeoff.SetOutPad) string {
	if len(p.Fall) > 0 {
		return ", where the finished level holds; they fall with the pad"
	}
	return ""
}

// levels writes levels with readings.
func (t *setOutSheet) levels(levels []takeoff.SetLevel) {
	rows := [][]string{{"", "level"}}
	if t.r.Instrument != nil {
		rows[0] = append(rows[0], "staff reading", "receiver on staff")
	}
	for _, l := range levels {
		row := []string{l.Name, t.n.level(l.Level)}
		if s := l.Sight; s != nil {
			row = append(row, reading(s.Reading), t.receiver(s))
		}
		rows = append(rows, row)
	}
	t.table(4, rows)
}

// reading writes what the staff reads.
func reading(d setout.Decimal) string {
	if d < 0 {
		return "above the sight"
	}
	return fixed(d.Float(), 3)
}

// receiver says where on the staff a laser's receiver goes.
func (t *setOutSheet) receiver(s *setout.Sight) string {
	up := s.Receiver.Float()
	switch {
	case t.n.zero(up):
		return "as it is"
	case up > 0:
		return "UP " + t.n.small(up)
	}
	return "DOWN " + t.n.small(-up)
}

// spelt spells out how the formation of some levels lies to the benchmarks.
func (t *setOutSheet) spelt(levels []takeoff.SetLevel) {
	for _, words := range t.differences(levels) {
		t.put("    ", words)
	}
}

func (t *setOutSheet) differences(levels []takeoff.SetLevel) (list []string) {
	for _, l := range levels {
		if l.What != takeoff.LevelFormation {
			continue
		}
		if above := t.n.above(l.AboveMarks); above != "" {
			list = append(list, "formation is "+above)
		}
		if s := l.Sight; s != nil {
			list = append(list, t.move(s))
		}
	}
	return list
}

// move says what to do with a receiver on the staff.
func (t *setOutSheet) move(s *setout.Sight) string {
	i := t.r.Instrument
	mark := strings.TrimSpace("benchmark " + i.Name)
	switch up := s.Receiver.Float(); {
	case t.n.zero(up):
		return "laser plane: formation is level with " + mark + ", leave the receiver at its benchmark setting"
	case up > 0:
		return fmt.Sprintf("laser plane: formation is %s BELOW %s, move the receiver UP the staff %s from its benchmark setting", t.n.small(up), mark, t.n.small(up))
	default:
		return fmt.Sprintf("laser plane: formation is %s ABOVE %s, move the receiver DOWN the staff %s from its benchmark setting", t.n.small(-up), mark, t.n.small(-up))
	}
}

// fallTitle stands over the falls of a pad.
const fallTitle = "Fall by the pad's own sides, for a plane that is tilted"

// falls words how a pad falls along and across its sides.
func (t *setOutSheet) falls(p *takeoff.SetOutPad) (list []string) {
	for _, f := range p.Fall {
		list = append(list, fmt.Sprintf("%s to %s: along %s, across to the right %s", f.From, f.To, fallWords(f.Along), fallWords(f.Across)))
	}
	return list
}

// fallWords words a fall with its direction.
func fallWords(fall float64) string {
	switch {
	case math.Abs(fall) < 5e-7:
		return "level"
	case fall > 0:
		return "DOWN " + slope(fall)
	}
	return "UP " + slope(-fall)
}

// pegs writes the pegs of a pad in two tables: where they stand and how deep, and what
// belongs to them.
func (t *setOutSheet) pegs(pad string) {
	places, more := t.pegTables(pad)
	t.title("PEGS OF PAD " + pad)
	t.put("  ", t.aboutPegs())
	t.table(2, places)
	t.blank()
	t.put("  ", t.aboutReadings(pad))
	t.table(2, more)
	for _, words := range t.slopesOf(pad) {
		t.put("  ", words)
	}
}

// pegTables returns two tables of a pad's pegs, with their headings. Both begin with the
// peg's number.
func (t *setOutSheet) pegTables(pad string) (places, more [][]string) {
	places = [][]string{{"number", "easting", "northing", "ground", "formation", "depth"}}
	more = [][]string{{"number", "to edge", "batter"}}
	varied := t.r.Instrument != nil && !t.oneSet(pad)
	if varied {
		more[0] = append(more[0], "FORMATION", "other readings")
	}
	for i := range t.r.Pegs {
		p := &t.r.Pegs[i]
		if p.Pad != pad {
			continue
		}
		number := shortNumber(p)
		places = append(places, []string{number, fixed(p.At[0], 3), fixed(p.At[1], 3), t.optional(p.Ground), t.n.level(p.Formation), t.depth(p)})
		row := []string{number, t.n.length(p.ToEdge), batterOf(p)}
		if varied {
			formation, others := readingsAt(p)
			row = append(row, formation, strings.Join(others, " "))
		}
		more = append(more, row)
	}
	return places, more
}

// aboutPegs says how a list of pegs is to be read.
func (t *setOutSheet) aboutPegs() string {
	words := "A peg's number is the pad's name and what stands here. CUT and FILL are from the ground as it is to formation; " +
		"outside the outline, to the formation at the edge."
	if t.r.Takeoff.StripRule != nil {
		words += " Topsoil is in them: after the strip a CUT is less by its depth, a FILL more."
	}
	return words
}

// aboutReadings says what the readings at pegs are.
func (t *setOutSheet) aboutReadings(pad string) string {
	switch {
	case t.r.Instrument == nil:
		return "What belongs to each:"
	case t.oneSet(pad):
		return "Staff readings are those of the pad's levels above, the same at every peg."
	}
	words := "Staff readings at each peg: FORMATION is that to formation."
	if others := t.others(pad); others != "" {
		words += " Other readings from the top down: " + others + "."
	}
	return words + " \"-\" is above the sight."
}

// oneSet reports whether a pad has the same levels everywhere.
func (t *setOutSheet) oneSet(name string) bool {
	for i := range t.r.Pads {
		if p := &t.r.Pads[i]; p.Name == name {
			return len(p.Sets) == 1
		}
	}
	return false
}

// slopesOf words the batters at a pad's pegs, each once.
func (t *setOutSheet) slopesOf(pad string) (list []string) {
	for i := range t.r.Pegs {
		p := &t.r.Pegs[i]
		if p.Pad != pad || p.Batter == nil {
			continue
		}
		if words := takeoff.SlopeWords(p.Batter.Along); !slices.Contains(list, words) {
			list = append(list, words)
		}
	}
	return list
}

// shortNumber is the number of a peg without its pad's name.
func shortNumber(p *takeoff.PegResult) string {
	return pegShort(p.Number, p.Pad)
}

func (t *setOutSheet) optional(level *float64) string {
	if level == nil {
		return "none"
	}
	return t.n.level(*level)
}

// depth says how deep to dig or how high to fill at a peg.
func (t *setOutSheet) depth(p *takeoff.PegResult) string {
	if p.Depth == nil {
		return "not known"
	}
	switch d := *p.Depth; {
	case math.Abs(d) < 0.0005:
		return "AT LEVEL"
	case d > 0:
		return "CUT " + fixed(d, 3)
	default:
		return "FILL " + fixed(-d, 3)
	}
}

// batterOf words the batter at a peg.
func batterOf(p *takeoff.PegResult) string {
	switch {
	case p.Kind == setout.OnGrid:
		return "-"
	case p.Batter == nil:
		return "upright"
	}
	return formation.Batter{Along: p.Batter.Along}.String()
}

// readingsAt are what the staff reads at a peg: to formation, and to the other levels from
// the top down.
func readingsAt(p *takeoff.PegResult) (formation string, others []string) {
	for _, l := range p.Levels {
		text := "-"
		if l.Reading != nil && *l.Reading >= 0 {
			text = fixed(l.Reading.Float(), 3)
		}
		if l.What == takeoff.LevelFormation {
			formation = text
		} else {
			others = append(others, text)
		}
	}
	return formation, others
}

// others numbers the levels of a pad's pegs from the top down, without formation.
func (t *setOutSheet) others(pad string) string {
	var names []string
	for i := range t.r.Pegs {
		p := &t.r.Pegs[i]
		if p.Pad != pad {
			continue
		}
		for _, l := range p.Levels {
			if l.What != takeoff.LevelFormation {
				names = append(names, fmt.Sprintf("%d %s", len(names)+1, l.Name))
			}
		}
		break
	}
	return strings.Join(names, "; ")
}

// pegTops writes how far down from each measured peg top the levels are.
func (t *setOutSheet) pegTops() {
	if len(t.r.PegTops) == 0 {
		return
	}
	t.title("FROM PEG TOPS")
	for _, p := range t.r.PegTops {
		t.put("  ", fmt.Sprintf("%s, top %s, measured %s %s from its place", p.Number, t.n.level(p.Top), t.n.length(p.Off), t.r.Units.Length))
		for _, d := range p.Down {
			t.put("    ", t.down(&d))
		}
	}
}

// down says how far a level is from a peg's top.
func (t *setOutSheet) down(d *takeoff.PegDown) string {
	switch {
	case t.n.zero(d.Down):
		return "AT the peg top: " + d.Name
	case d.Down > 0:
		return "DOWN from peg top " + t.n.small(d.Down) + ": " + d.Name
	}
	return "UP from peg top " + t.n.small(-d.Down) + ": " + d.Name
}

// clearances lists what the works keep away from, or within.
func (t *setOutSheet) clearances() {
	t.title("CLEARANCES")
	for _, words := range t.clearanceWords() {
		t.put("  ", words)
	}
}

// clearanceWords says of each clearance what the takeoff's sheet does.
func (t *setOutSheet) clearanceWords() (list []string) {
	if len(t.r.Takeoff.Clearances) == 0 {
		return []string{"None stated: boundaries, services, trees and footings have not been held against the works."}
	}
	for i := range t.r.Takeoff.Clearances {
		list = append(list, strings.Join(t.aboutClearance(&t.r.Takeoff.Clearances[i]), "; "))
	}
	return append(list, "A service's place on paper is not its place in the ground, and a distance that is kept says nothing about the stability of what stands beside the dig.")
}

// boxes are to be filled in on site.
func (t *setOutSheet) boxes() {
	for _, b := range siteBoxes() {
		t.title(b.title)
		t.line("  " + strings.Join(b.columns, "   "))
		for range 4 {
			var line []string
			for _, c := range b.columns {
				line = append(line, strings.Repeat("_", len(c)))
			}
			t.line("  " + strings.Join(line, "   "))
		}
	}
}

// siteBox is a table to fill in by hand.
type siteBox struct {
	title   string
	columns []string
}

func siteBoxes() []siteBox {
	return []siteBox{
		{"BENCHMARK CHECKS", []string{"date and time", "benchmark ", "should read", "reads      ", "by           "}},
		{"LOADS", []string{"date and time", "what      ", "to or from ", "count      ", "by           "}},
		{"SOFT SPOTS", []string{"peg or place ", "length x width  ", "depth below formation", "by           "}},
	}
}

// cameAbout says what the figures are.
func (t *setOutSheet) cameAbout() {
	t.title("HOW THE FIGURES CAME ABOUT")
	u := t.r.Units.Length
	t.item("Pegs", fmt.Sprintf("at corners, and every %s %s along sides from the corner where each begins in the outline's order%s%s",
		fixed(t.r.Interval, 3), u, t.gridWords(), t.backWords()))
	t.item("Numbers", "W1+5.0 is 5.0 along the side that begins at W1, W1-0.0 the end of the side that ends there; C on the crest, T on the toe, "+
		"straight out from that place; B3.0 set back 3.0; G5.0/10.0 on the grid, 5.0 along the first side and 10.0 in from it. They stay when something else changes")
	t.item("Levels", "of crests and toes: the daylight line, on stripped ground where topsoil is taken off; everything else is the formation")
	t.item("Readings", "exact decimals of the levels above, which print to a thousandth")
	t.sources(t.r.Scale, t.r.Inputs)
}

func (t *setOutSheet) gridWords() string {
	if t.r.Grid == 0 {
		return ""
	}
	return fmt.Sprintf("; on a grid of %s inside, square to the first side", fixed(t.r.Grid, 3))
}

func (t *setOutSheet) backWords() (words string) {
	for _, b := range t.r.Back {
		words += fmt.Sprintf("; on a line %s outside", fixed(b, 3))
	}
	return words
}

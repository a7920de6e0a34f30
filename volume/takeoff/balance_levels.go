package takeoff

import (
	"fmt"
	"maps"
	"math"
	"slices"

	"barrow/tin"
)

// levels measures a job with some of its pads shifted up or down, each shift once.
// Shifts and volumes are in the job's unit.
type levels struct {
	ground      *run // after its groundSteps
	moved       []int
	limits      shiftRange
	factor      float64                        // compacted per bank
	byMaterials bool                           // the job's materials say what is made of all that is dug, not factor
	worth       float64                        // fill that a bank volume makes at most
	turns       []string                       // why what is left need not fall all the way up; empty: it does
	crossings   []bracket                      // where it was seen to cross 0, where it may turn
	planHaul    bool                           // the cost hangs on the haul on site
	rates       *EarthRates                    // nil: none
	cost        func(*Result) (float64, error) // nil: none, else in place of rates
	known       map[float64]*levelled          // by shift
}

func newLevels(ground *run, moved []int, factor float64) *levels {
	return &levels{ground: ground, moved: moved, factor: factor, worth: factor, known: map[float64]*levelled{}}
}

// levelled is a job measured with its pads at one shift.
type levelled struct {
	shift              float64
	cut, fill          float64 // of all pads, as dug
	left               float64 // fill that can be made, less that to make; never grows with the shift unless it may turn
	supply, wanted     float64 // fill that can be made of what is dug; that is to be made, backfill too
	surplus, short     float64 // of what may become fill, bank measure; of the fill, compacted
	spoil              float64 // all that leaves the site, bank measure
	unassigned         float64 // dug, of no material: what is left and missing is not known
	sorted             []LevelMaterial
	cutArea, fillArea  float64 // of the works of the pads that move, batters too, grid m2
	cutFalls, fillRise float64 // volume by which cut falls and fill rises, per unit of shift
	bound              float64 // volume that facets add at most
	atLeast            bool    // part of the works has no ground
	cost               float64 // minor units
	partial            bool    // what leaves the site and what is bought is not known, and not in the cost
}

// wholeNanometres rounds a shift so that it is a decimal of nine places, and a level it
// is added to stays one.
func wholeNanometres(shift float64) float64 { return math.Round(shift*1e9)/1e9 + 0 }

// floorSteps returns how many whole steps make a shift, rounded down.
func floorSteps(shift, step float64) int { return int(math.Floor(shift/step + 1e-9)) }

// jobAt returns the job with the pads that move shifted, without clearances.
func (l *levels) jobAt(shift float64) *Job {
	job := *l.ground.job
	job.Pads, job.Clearances = slices.Clone(job.Pads), nil
	for _, i := range l.moved {
		job.Pads[i] = job.Pads[i].shifted(shift)
	}
	return &job
}

// shifted returns the pad with all its finished levels shifted. Levels of thickenings
// and backfill that were given as such stay.
func (p Pad) shifted(by float64) Pad {
	p.Finished = addLevels(p.Finished, by)
	v := p.Levels
	if v == nil {
		return p
	}
	p.Levels = &Levels{Spots: shiftPoints(v.Spots, by)}
	for _, ring := range v.Outline {
		levels := make([]float64, len(ring))
		for i, z := range ring {
			levels[i] = addLevels(z, by)
		}
		p.Levels.Outline = append(p.Levels.Outline, levels)
	}
	for _, line := range v.Lines {
		line.Vertices = shiftPoints(line.Vertices, by)
		p.Levels.Lines = append(p.Levels.Lines, line)
	}
	return p
}

// shiftPoints returns points with their levels shifted.
func shiftPoints(points []tin.Point, by float64) []tin.Point {
	points = slices.Clone(points)
	for i := range points {
		if finite(points[i].Level) {
			points[i].Level = addLevels(points[i].Level, by)
		}
	}
	return points
}

// at measures the job at a shift.
func (l *levels) at(shift float64) (*levelled, error) {
	if p := l.known[shift]; p != nil {
		return p, nil
	}
	l.ground.tell("measuring levels", len(l.known), 0)
	r := l.ground.with(l.jobAt(shift))
	r.noHaul = !l.planHaul
	steps := []func() error{r.lay, r.findWorks, r.measure}
	if l.whole() {
		steps = append(steps, r.thicken, r.backfill)
	}
	if l.needsStrip() {
		steps = append(steps, r.findStrip)
	}
	p := &levelled{shift: shift}
	steps = append(steps, func() error { return l.reckon(r, p) })
	if err := r.do(steps...); err != nil {
		return nil, l.atLevel(err, shift)
	}
	l.known[shift] = p
	return p, nil
}

// whole reports whether a level is measured with all that has a volume or a price.
func (l *levels) whole() bool { return l.cost != nil || l.byMaterials }

// needsStrip reports whether a level needs what is stripped there: for its cost, or
// since topsoil may become fill, or leaves the site at a price.
func (l *levels) needsStrip() bool {
	return l.cost != nil || l.byMaterials && slices.ContainsFunc(l.ground.job.Materials, func(m Material) bool { return m.Topsoil && (m.Reuse > 0 || l.rates != nil) })
}

// reckon finds volumes, what they leave, and the cost of a level measured.
func (l *levels) reckon(r *run, p *levelled) error {
	l.volumes(r, p)
	var res *Result
	if l.whole() {
		res = r.result()
	}
	if err := l.leave(r, res, p); err != nil {
		return err
	}
	return l.price(r, res, p)
}

// leave finds what a level leaves over, or wants.
func (l *levels) leave(r *run, res *Result, p *levelled) error {
	if l.whole() && len(r.job.Materials) > 0 {
		site, err := r.sortMaterials(res)
		if err != nil {
			return err
		}
		p.partial = res.Materials.Spoil == nil
		if l.byMaterials {
			p.byMaterials(&site, res.Materials, l.needsStrip())
			return nil
		}
	}
	p.supply, p.wanted = float64(l.factor*p.cut), p.fill
	p.left = p.supply - p.wanted
	p.surplus, p.short = max(0, p.left/l.factor), max(0, -p.left)
	p.spoil = p.surplus
	return nil
}

// costs reports whether levels have a cost.
func (l *levels) costs() bool { return l.rates != nil || l.cost != nil }

// price finds what a level costs.
func (l *levels) price(r *run, res *Result, p *levelled) (err error) {
	switch {
	case l.cost != nil:
		if p.cost, err = l.cost(res); err != nil {
			return fmt.Errorf("takeoff: cost: %w", err)
		}
	case l.rates != nil:
		p.cost = l.rates.of(p)
	}
	if !(math.Abs(p.cost) <= mostCost) {
		return badJob(codeBadValue, "cost", "a cost that is no amount of money", "check the rates")
	}
	return nil
}

// mostCost is the greatest cost that whole minor units are still told apart in.
const mostCost = 1 << 53

// volumes gathers cut and fill of a run.
func (l *levels) volumes(r *run, p *levelled) {
	p.bound = r.dig.Bound / r.volumeUnit()
	for i := range r.measured {
		all, formed := r.measured[i].all(), r.measured[i].formed()
		p.cut += all.Cut / r.volumeUnit()
		p.fill += all.Fill / r.volumeUnit()
		p.atLeast = p.atLeast || r.dig.Pads[i].OpenLength > 0 || uncovered(&r.layout.Pads[i], &formed) > 0
		if slices.Contains(l.moved, i) {
			p.cutArea += all.CutArea
			p.fillArea += all.FillArea
		}
	}
	p.cutFalls, p.fillRise = p.cutArea*r.unit/r.volumeUnit(), p.fillArea*r.unit/r.volumeUnit()
}

// falls is by how much less is left over per unit of shift upwards: by materials about
// so, and no more unless it may turn.
func (l *levels) falls(p *levelled) float64 { return float64(l.worth*p.cutFalls) + p.fillRise }

// atLevel has an error say at which level it came up; one of the level as given, and the
// end of a context, need no such words.
func (l *levels) atLevel(err error, shift float64) error {
	if shift == 0 || l.ground.ctx.Err() != nil {
		return err
	}
	where := fmt.Sprintf("with a shift of %s %s", formatNumber(shift), l.ground.job.units().Length)
	e := asInputError(err)
	if e == nil {
		return fmt.Errorf("%s: %w", where, err)
	}
	placed := *e
	placed.Message = where + ": " + e.Message
	placed.Hint = e.Hint + "; limits keep the levels looked at nearer"
	return &placed
}

// atAll measures the job at shifts, and returns them in rising order, each once.
func (l *levels) atAll(shifts []float64) ([]*levelled, error) {
	slices.Sort(shifts)
	var list []*levelled
	for _, s := range slices.Compact(shifts) {
		p, err := l.at(s)
		if err != nil {
			return nil, err
		}
		list = append(list, p)
	}
	return list, nil
}

// within returns what was measured from one shift to another, in rising order.
func (l *levels) within(least, most float64) (list []*levelled) {
	for _, s := range slices.Sorted(maps.Keys(l.known)) {
		if s >= least && s <= most {
			list = append(list, l.known[s])
		}
	}
	return list
}

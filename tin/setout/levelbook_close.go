package setout

import (
	"fmt"
	"math"
	"math/big"

	"barrow/tin"
)

// Root is what a misclosure's allowance grows with the square root of.
type Root int

// What the allowance goes by. The zero value states no allowance.
const (
	NotStated    Root = iota
	PerKilometre      // distance levelled, in kilometres
	PerMile           // distance levelled, in miles of 5280 ft of the book's foot; in metres of 1609.344 m
	PerSetUp          // number of set-ups
)

// Allowance is the greatest misclosure that is taken for the small errors of
// careful work: Constant times the square root of what Per says.
type Allowance struct {
	Constant Decimal // in the unit of the book
	Per      Root
}

// Closure is what a known level shows: one stretch of the book, from the known level
// before it on the line of change points.
type Closure struct {
	From, To     int     // rows
	Known        Decimal // level of To
	Reduced      Decimal // its level by the book, before corrections
	Misclosure   Decimal // of the stretch: what it adds to Reduced less Known since From
	SetUps       int
	Distance     Entry   // where both ends have one
	Allowed      float64 // 0 if Judged is false
	Judged       bool    // an allowance is stated, and the stretch has what it goes by
	Within       bool    // Judged, and the misclosure is not above what is allowed
	Intermediate bool    // To is an intermediate sight: a check, and no end of a stretch
}

// mostAllowance is the greatest Constant of an allowance, metres: beyond it millimetres
// were meant, and no misclosure would be one. Judgement, no source.
const mostAllowance = 1

const codeUnjudged = "misclosure_unjudged"

// checkOptions looks whether the options are fit for use, and whether the book has the
// distances that an allowance goes by.
func (b *Book) checkOptions(opts BookOptions, known []Entry) error {
	for _, o := range []struct {
		entry Entry
		what  string
	}{{opts.Staff, "the staff's length"}, {Entry{opts.Allowance.Constant, opts.Allowance.Per != NotStated}, "the allowance"}} {
		if o.entry.Given && o.entry.Value <= 0 {
			return &tin.InputError{Code: "bad_option", File: b.Name, Message: fmt.Sprintf("%s of %s is not above 0", o.what, o.entry.Value),
				Hint: "give it with its unit, such as 12mm"}
		}
	}
	if a := opts.Allowance; a.Per != NotStated && a.Constant.Float()*b.Unit.Metres() > mostAllowance {
		return &tin.InputError{Code: "bad_option", File: b.Name, Message: "an allowance of " + b.text(a.Constant) + " would let any mistake pass",
			Hint: "give it with its unit, such as 12mm"}
	}
	if opts.Allowance.Per != PerKilometre && opts.Allowance.Per != PerMile {
		return nil
	}
	for i := 1; i < len(b.Rows); i++ {
		if r := &b.Rows[i]; (r.turns() || known[i].Given) && !r.Distance.Given {
			return b.fail(r, "distance_missing", "an allowance by distance is stated, and the row has no distance",
				"give the distance levelled from the first row on each change point and benchmark, or an allowance by set-ups")
		}
	}
	return nil
}

// close compares the levels of the book with those that are known.
func (r *Reduction) close(known []Entry) {
	from, searched := 0, -1
	off := Decimal(0) // reduced less known, at from
	for i := 1; i < len(known); i++ {
		if !known[i].Given {
			continue
		}
		c := Closure{From: from, To: i, Known: known[i].Value, Reduced: r.Rows[i].ByCollimation, Intermediate: !r.Book.Rows[i].turns()}
		c.Misclosure = c.Reduced - c.Known - off
		r.measure(&c)
		if !r.judge(&c) && !(c.Intermediate && searched == from) {
			r.suspect(&c)
			searched = from
		}
		r.Closures = append(r.Closures, c)
		if !c.Intermediate {
			from, off = i, c.Reduced-c.Known
		}
	}
}

// measure gives a stretch its set-ups and its distance. The first row is at 0 unless
// it says otherwise.
func (r *Reduction) measure(c *Closure) {
	rows := r.Book.Rows
	c.SetUps = r.Rows[c.To].SetUp - r.startsSetUp(c.From) + 1
	if start := rows[c.From].Distance; (start.Given || c.From == 0) && rows[c.To].Distance.Given {
		c.Distance = Given(rows[c.To].Distance.Value - start.Value)
	}
}

// startsSetUp returns the set-up that begins at a change point, or after the last.
func (r *Reduction) startsSetUp(row int) int {
	if row == 0 {
		return 0
	}
	return r.Rows[row].SetUp + 1
}

// judge holds a misclosure against the allowance, exactly: m^2 against k^2 n. fine is
// false where it warns.
func (r *Reduction) judge(c *Closure) (fine bool) {
	a := r.Options.Allowance
	n := r.length(c)
	if c.Judged = n != nil && n.Sign() > 0; c.Judged {
		c.Within = a.allows(c.Misclosure, n)
		root, _ := n.Float64()
		c.Allowed = a.Constant.Float() * math.Sqrt(root)
	}
	row := &r.Book.Rows[c.To]
	said := fmt.Sprintf("the book comes to %s, and %s is known: a misclosure of %s over %s", c.Reduced.Text(r.Book.Places),
		r.Book.text(c.Known), r.Book.text(c.Misclosure), count(c.SetUps, "set-up"))
	switch {
	case c.Judged && !c.Within:
		r.warn(row, "misclosure", fmt.Sprintf("%s, %.*f %s allowed", said, r.Book.Places+1, c.Allowed, r.Book.Unit))
	case !c.Judged && c.Misclosure != 0:
		r.warn(row, codeUnjudged, said+", and no allowance that it could be held against")
	default:
		return true
	}
	return false
}

// length returns what the allowance goes by: kilometres, miles or set-ups; nil if
// none is stated.
func (r *Reduction) length(c *Closure) *big.Rat {
	metres := new(big.Rat).Mul(c.Distance.Value.rat(), metresIn(r.Book.Unit))
	switch r.Options.Allowance.Per {
	case PerSetUp:
		return big.NewRat(int64(c.SetUps), 1)
	case PerKilometre:
		return metres.Quo(metres, big.NewRat(1000, 1))
	case PerMile:
		foot := metresIn(tin.Foot)
		if r.Book.Unit == tin.SurveyFoot {
			foot = metresIn(tin.SurveyFoot)
		}
		return metres.Quo(metres, foot.Mul(foot, big.NewRat(5280, 1)))
	}
	return nil
}

// allows reports whether a misclosure is within the allowance over n.
func (a Allowance) allows(misclosure Decimal, n *big.Rat) bool {
	square := func(d Decimal) *big.Rat { return new(big.Rat).Mul(d.rat(), d.rat()) }
	allowed := square(a.Constant)
	return square(misclosure).Cmp(allowed.Mul(allowed, n)) <= 0
}

// metresIn returns the metres in a unit, exactly for those with a name.
func metresIn(u tin.Unit) *big.Rat {
	switch u {
	case tin.Foot:
		return big.NewRat(3048, 10000)
	case tin.SurveyFoot:
		return big.NewRat(1200, 3937)
	}
	return new(big.Rat).SetFloat64(u.Metres())
}

// distribute spreads the misclosure of each stretch over its change points, in
// proportion to distance or to set-ups, as the allowance goes. An intermediate
// sight takes the correction of the backsight of its set-up. Nothing is spread over a
// book with a warning: a mistake is not made smaller by sharing it out.
func (r *Reduction) distribute() {
	if len(r.Warnings) > 0 || r.Options.Allowance.Per == NotStated || len(r.Closures) == 0 {
		return
	}
	from, before := 0, Decimal(0)
	for i := range r.Closures {
		c := &r.Closures[i]
		if c.Intermediate {
			continue
		}
		r.spread(c, before)
		from, before = c.To, c.Known-c.Reduced
		r.Distributed = true
	}
	if !r.Distributed {
		return
	}
	for i := from; i < len(r.Rows); i++ {
		if r.Book.Rows[i].turns() {
			r.Rows[i].Correction = before
		}
	}
	for i := range r.Rows {
		out := &r.Rows[i]
		if !r.Book.Rows[i].turns() {
			out.Correction = r.Rows[r.SetUps[out.SetUp].Row].Correction
		}
		out.Level = out.ByCollimation + out.Correction
	}
}

// spread corrects the change points of a stretch whose first row is corrected by
// before.
func (r *Reduction) spread(c *Closure, before Decimal) {
	whole := r.way(c, c.To)
	if whole <= 0 {
		return // a stretch of no length, which was found to close exactly
	}
	for i := c.From + 1; i <= c.To; i++ {
		if r.Book.Rows[i].turns() {
			r.Rows[i].Correction = before + (-c.Misclosure).share(r.way(c, i), whole, r.Book.Places)
		}
	}
}

// way returns how far a change point is along a stretch, by what the allowance goes
// by.
func (r *Reduction) way(c *Closure, row int) Decimal {
	if r.Options.Allowance.Per == PerSetUp {
		return Decimal(r.Rows[row].SetUp - r.startsSetUp(c.From) + 1)
	}
	return r.Book.Rows[row].Distance.Value - r.Book.Rows[c.From].Distance.Value
}

func count(n int, word string) string {
	if n == 1 {
		return "1 " + word
	}
	return fmt.Sprintf("%d %ss", n, word)
}

package price

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"github.com/shopspring/decimal"

	"barrow/tin"
)

// NewBill prices quantities, whose keys differ, by rates. Items that price nothing in
// the job are notes; a work that has no rate is in [Bill.NotPriced] and a warning
// ("not_priced"). Rates that do not fit the quantities are a [*tin.InputError] at their
// row, and so is an amount that an int64 of minor units does not hold.
func NewBill(rates *Rates, quantities []Quantity) (bill *Bill, notes, warnings []tin.Problem, err error) {
	b := &biller{
		rates: rates, quantities: quantities,
		keys: map[string]int{}, groups: map[string]int{}, slopesOf: map[string]int{}, share: map[string]decimal.Decimal{},
		bill: &Bill{
			Currency: rates.Currency, Amounts: rates.Amounts, Quantities: rates.Quantities, Percent: rates.Contingency,
			Groups: []Group{}, Provisional: []Line{}, NotPriced: []Gap{}, Unasked: []Quantity{}, Slopes: []Slope{},
		},
	}
	for _, step := range []func() error{b.check, b.items, b.totals} {
		if err := step(); err != nil {
			return nil, nil, nil, err
		}
	}
	b.cover()
	b.slopes()
	return b.bill, b.notes, b.warnings, nil
}

// biller is a bill in the making.
type biller struct {
	rates      *Rates
	quantities []Quantity
	bill       *Bill

	// These are looked up only.
	keys, groups, slopesOf map[string]int             // indices of the quantities, and of the bill's groups and slopes
	share                  map[string]decimal.Decimal // of each quantity, by key: how much of it is priced

	notes, warnings []tin.Problem
}

// check refuses what [ReadRates] would, of rates made in memory, quantities that cannot
// be, and a rule of quantities in another unit.
func (b *biller) check() error {
	if b.rates.Currency.Code == "" {
		return b.rates.bad(0, codeNoCurrency, "currency", "the rates have no currency", "give it by its code of ISO 4217")
	}
	for _, r := range b.rates.Items {
		if r.Rate.IsNegative() {
			return b.rates.bad(r.Line, codeNegativeRate, "rate", fmt.Sprintf("the rate %s is below 0", r.Rate), "a rate is what one unit costs")
		}
	}
	for i, q := range b.quantities {
		if _, twice := b.keys[q.Key]; twice {
			return b.rates.bad(0, codeBadQuantity, "", fmt.Sprintf("two quantities have the key %s", q.Key), "give things names that make no two keys alike")
		}
		b.keys[q.Key] = i
		if math.IsNaN(q.Amount) || math.IsInf(q.Amount, 0) || q.Amount < 0 {
			return b.rates.bad(0, codeBadQuantity, "", fmt.Sprintf("the quantity %s is %v", q.Key, q.Amount), "a bill is of finite quantities not below 0")
		}
		if b.rates.Quantities == IS1200 && q.Unit.foot() {
			return b.rates.bad(0, codeMetricRule, "quantities", "is1200 is a rule of metres, and the job is in feet", "use tenths, hundredths or whole")
		}
	}
	return nil
}

// find returns the quantity of a key, nil for one of something that the job does not
// have. A key that no job has is an error.
func (b *biller) find(r *Rate) (*Quantity, error) {
	if i, ok := b.keys[r.Key]; ok {
		return &b.quantities[i], nil
	}
	if named(r.Key) {
		return nil, nil
	}
	var known []string
	for _, q := range b.quantities {
		if !named(q.Key) {
			known = append(known, q.Key)
		}
	}
	return nil, b.rates.bad(r.Line, codeUnknownKey, "quantity", fmt.Sprintf("no quantity is called %q", r.Key),
		"use one of "+strings.Join(known, ", ")+", or one of a layer or pad, such as layer.NAME.volume or pad.NAME.cut")
}

func (b *biller) items() error {
	for i := range b.rates.Items {
		r := &b.rates.Items[i]
		lines, err := b.item(r)
		if err != nil {
			return err
		}
		if r.Kind == Provisional {
			b.bill.Provisional = append(b.bill.Provisional, lines...)
		} else {
			g := b.group(r.Group)
			g.Lines = append(g.Lines, lines...)
		}
	}
	return nil
}

// group returns the group of a name, made where it is new.
func (b *biller) group(name string) *Group {
	i, ok := b.groups[name]
	if !ok {
		i = len(b.bill.Groups)
		b.groups[name], b.bill.Groups = i, append(b.bill.Groups, Group{Name: name, Lines: []Line{}})
	}
	return &b.bill.Groups[i]
}

// item makes the lines of one rate: none, one, or one and its minimum charge.
func (b *biller) item(r *Rate) ([]Line, error) {
	l := Line{Row: r.Line, Item: r.Item, Group: r.Group, Kind: r.Kind, Unit: r.Unit, Rate: r.Rate, Basis: r.Basis}
	switch {
	case r.Stated != nil:
		l.Billed = *r.Stated
		if r.Unit.Name == Load {
			l.Billed = b.rates.Quantities.Round(*r.Stated, r.Unit)
		}
	case r.Key == "":
		l.Billed = decimal.New(1, 0)
	default:
		q, err := b.find(r)
		if err == nil && q != nil {
			err = b.fits(r, q)
		}
		if err != nil {
			return nil, err
		}
		if q == nil || q.Rounded(b.rates.Quantities).IsZero() {
			b.note(NotePricesNothing, fmt.Sprintf("line %d, %s: the job has no %s, and the rate prices nothing", r.Line, r.Item, r.Key))
			return nil, nil
		}
		b.measured(&l, r, q)
	}
	var ok bool
	if l.Amount, ok = toMinor(l.Billed.Mul(l.Rate), b.bill.Currency, b.bill.Amounts); !ok {
		return nil, b.overflow(r.Line, r.Item)
	}
	return b.minimum(l, r)
}

// measured fills in the quantity of a line, and counts it as priced.
func (b *biller) measured(l *Line, r *Rate, q *Quantity) {
	own, rounded := *q, q.Rounded(b.rates.Quantities)
	l.Quantity, l.Rounded = &own, &rounded
	b.count(r, q)
	if r.Unit.Name == Sum {
		l.Billed = decimal.New(1, 0)
		return
	}
	each := decimal.New(1, 0) // of the rate's unit, for one of the quantity's
	if r.Factor != nil {
		l.Factor, each = r.Factor, *r.Factor
	}
	if !r.Waste.IsZero() {
		l.Waste, each = &r.Waste, each.Mul(hundredth(r.Waste).Add(decimal.New(1, 0)))
	}
	l.Billed = b.rates.Quantities.Round(rounded.Mul(each), r.Unit)
	l.PerQuantity = each.Mul(r.Rate).Shift(b.bill.Currency.Digits).InexactFloat64()
}

// fits refuses a rate whose unit is not the quantity's, where no factor is given, and
// waste on what is not bought.
func (b *biller) fits(r *Rate, q *Quantity) error {
	if r.Unit.Name == Sum {
		return nil
	}
	if r.Factor == nil && r.Unit != q.Unit {
		return b.rates.bad(r.Line, codeUnitMismatch, "unit", fmt.Sprintf("%s is for one %s, and %s is measured in %s", r.Item, r.Unit, q.Key, q.Unit),
			fmt.Sprintf("give a rate for one %s; or the column factor, how many %s one %s makes, and its basis", q.Unit, r.Unit, q.Unit)+example(q.Unit, r.Unit))
	}
	if !r.Waste.IsZero() && !q.Bought {
		return b.rates.bad(r.Line, codeWasteUnbought, "waste", fmt.Sprintf("waste on %s, which is not bought", q.Key), "waste is of material that is bought: layers and import")
	}
	return nil
}

// example is the end of the hint, with figures that are examples and no advice.
func example(from, to Unit) string {
	switch {
	case to.Name == Tonne:
		return fmt.Sprintf(", the density at a stated moisture: such as 1.9 with \"1.9 t/%s at 12 %% moisture\"", from)
	case to.Name == Load:
		return fmt.Sprintf(", one over what a load holds: such as 0.125 with \"8 %s a load\"", from)
	case from.Measure == Bank && to.Measure == Loose:
		return ": such as 1.25 with \"loose per bank, test of 12 loads\""
	}
	return ""
}

// count adds to how much of a quantity is priced. An extra over prices nothing on its
// own; a factor between like units is a part, such as 0.3 of the cut that is rock.
func (b *biller) count(r *Rate, q *Quantity) {
	if r.Kind == ExtraOver {
		return
	}
	part := decimal.New(1, 0)
	if r.Factor != nil && r.Unit == q.Unit {
		part = *r.Factor
	}
	b.share[q.Key] = b.share[q.Key].Add(part)
}

// minimum adds what a line lacks to its least amount. Both lines together do not hang
// on the quantity then.
func (b *biller) minimum(l Line, r *Rate) ([]Line, error) {
	if r.Minimum == nil || l.Billed.IsZero() && l.Quantity == nil {
		return []Line{l}, nil
	}
	least, ok := toMinor(*r.Minimum, b.bill.Currency, b.bill.Amounts)
	if !ok {
		return nil, b.overflow(r.Line, r.Item)
	}
	if l.Amount >= least {
		return []Line{l}, nil
	}
	lack := least - l.Amount
	up := Line{
		Row: r.Line, Item: r.Item, Group: r.Group, Kind: MinimumCharge, Quantity: l.Quantity, Billed: decimal.New(1, 0),
		Unit: Unit{Name: Sum}, Rate: fromMinor(lack, b.bill.Currency), Least: &least, Amount: lack, PerQuantity: -l.PerQuantity,
	}
	return []Line{l, up}, nil
}

func (b *biller) overflow(line int, what string) error {
	return b.rates.bad(line, codeOverflow, "", what+" comes to more minor units than a whole number of 64 bits holds", "look for a slip in rate, quantity or currency")
}

// totals sums the amounts as they are printed.
func (b *biller) totals() error {
	l := b.bill
	var works []int64
	for i := range l.Groups {
		var ok bool
		if l.Groups[i].Subtotal, ok = sum(amounts(l.Groups[i].Lines)...); !ok {
			return b.overflow(0, "the group "+l.Groups[i].Name)
		}
		works = append(works, l.Groups[i].Subtotal)
	}
	oks := make([]bool, 5)
	l.Works, oks[0] = sum(works...)
	l.Contingency, oks[1] = toMinor(fromMinor(l.Works, l.Currency).Mul(hundredth(l.Percent)), l.Currency, l.Amounts)
	l.Firm, oks[2] = sum(l.Works, l.Contingency)
	l.Provisions, oks[3] = sum(amounts(l.Provisional)...)
	l.Total, oks[4] = sum(l.Firm, l.Provisions)
	if slices.Contains(oks, false) {
		return b.overflow(0, "the bill")
	}
	return nil
}

func amounts(lines []Line) (list []int64) {
	for _, l := range lines {
		list = append(list, l.Amount)
	}
	return list
}

func (b *biller) note(code, message string) {
	b.notes = append(b.notes, tin.Problem{Code: code, Message: message})
}

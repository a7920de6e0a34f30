package price

import (
	"fmt"
	"regexp"
	"strings"

	"github.com/shopspring/decimal"
)

// item takes a row below the header.
func (r *reader) item(cells []string) {
	if len(cells) > len(r.header) {
		r.fail(codeTooManyFields, "", fmt.Sprintf("%d cells under %d columns", len(cells), len(r.header)), "put a cell that has the separator in it into quotes; a decimal mark is a point")
		return
	}
	if len(r.rates.Items) == maxItems {
		r.fail(codeTooLong, "", fmt.Sprintf("the rates file has more than %d items", maxItems), "keep the rates of one job in it")
		return
	}
	r.row = map[string]string{}
	for i, c := range cells {
		r.row[r.header[i]] = c
	}
	rate := Rate{
		Line: r.line, Item: r.row["item"], Group: r.row["group"], Basis: r.row["basis"],
		Waste: r.percent("waste", r.row["waste"]), Factor: r.optional("factor"), Minimum: r.optional("minimum"),
	}
	if rate.Item == "" {
		r.fail(codeNoItem, "item", "a row without an item", "name it, or take the row out")
	}
	r.unit(&rate)
	r.quantity(&rate)
	rate.Rate = r.rate()
	r.check(&rate)
	r.twice(&rate)
	r.rates.Items = append(r.rates.Items, rate)
}

// unit reads unit and kind. A whole item needs neither: a lump sum is one of "sum",
// and what is one of "sum" is a lump sum.
func (r *reader) unit(rate *Rate) {
	text, kind := r.row["unit"], r.row["kind"]
	if kind != "" {
		rate.Kind = word(r, "kind", kind, Measured, ExtraOver, Provisional, LumpSum)
	}
	if text == "" && rate.Kind == LumpSum {
		text = Sum
	}
	var err error
	if rate.Unit, err = ParseUnit(text); err != nil {
		r.fail(codeBadUnit, "unit", fmt.Sprintf("unknown unit %q", text), "use one of "+strings.Join(unitNames(), ", ")+"; volumes with bank, loose or compacted, such as m3 bank")
	}
	sum := rate.Unit.Name == Sum
	switch {
	case kind == "" && sum:
		rate.Kind = LumpSum
	case kind == "":
		rate.Kind = Measured
	case sum && (rate.Kind == Measured || rate.Kind == ExtraOver):
		r.fail(codeBadValue, "kind", "a sum is no "+rate.Kind.Words()+" item", "call it lump sum or provisional, or give a unit of a quantity")
	case !sum && rate.Kind == LumpSum:
		r.fail(codeBadValue, "unit", fmt.Sprintf("a lump sum is not for one %s", rate.Unit), "its unit is sum")
	}
}

// startsNumber tells a stated quantity from the key of a measured one.
var startsNumber = regexp.MustCompile(`^[-+.0-9]`)

func (r *reader) quantity(rate *Rate) {
	switch text := r.row["quantity"]; {
	case rate.Unit.Name == Sum && startsNumber.MatchString(text):
		r.fail(codeBadValue, "quantity", "a sum has no number of its own", "leave it empty, or name the measured quantity that the sum pays for")
	case startsNumber.MatchString(text):
		n := r.number("quantity", text)
		rate.Stated = &n
	case text == "" && rate.Unit.Name != Sum:
		r.fail(codeNoQuantity, "quantity", "neither a measured quantity nor a number", "name one, such as cut, or state it, such as 12.5")
	default:
		rate.Key = text
	}
}

func (r *reader) rate() decimal.Decimal {
	switch text := r.row["rate"]; {
	case text == "":
		r.fail(codeNoRate, "rate", "a row without a rate", "give it; 0 says that the work is paid for elsewhere")
	case strings.HasPrefix(text, "-") && plainDecimal.MatchString(text):
		r.fail(codeNegativeRate, "rate", fmt.Sprintf("the rate %s is below 0", text), "a rate is what one unit costs; a credit does not belong in a bill of quantities")
	default:
		return r.number("rate", text)
	}
	return decimal.Decimal{}
}

// check holds the cells of a row against each other.
func (r *reader) check(rate *Rate) {
	measured := rate.Key != "" && rate.Unit.Name != Sum
	switch {
	case rate.Factor != nil && !measured:
		r.fail(codeBadValue, "factor", "a factor turns a measured quantity, and there is none", "state the quantity as it is paid for, and leave the factor out")
	case rate.Factor != nil && rate.Factor.IsZero():
		r.fail(codeBadValue, "factor", "a factor of 0", "give how many of the rate's unit one unit of the quantity makes")
	case rate.Factor != nil && rate.Basis == "":
		r.fail(codeNoBasis, "basis", "a factor without its basis", "say where it is from, such as loose per bank of wet sand, 1.25")
	case rate.Unit.Name == Tonne && rate.Basis == "":
		r.fail(codeNoBasis, "basis", "a weight without its basis", "say the density and the moisture it goes with, such as 1.9 t/m3 bank at 12 % moisture")
	case !rate.Waste.IsZero() && !measured:
		r.fail(codeBadValue, "waste", "waste on what is not measured", "put it into the quantity or the sum")
	case rate.Minimum != nil && rate.Kind != Measured && rate.Kind != ExtraOver:
		r.fail(codeBadValue, "minimum", "a least amount of a "+rate.Kind.Words()+" item", "it goes with measured items and extras over them")
	}
}

// same is what no two items share.
type same struct{ item, group, key, kind string }

// twice refuses an item that is there already.
func (r *reader) twice(rate *Rate) {
	what := same{rate.Item, rate.Group, rate.Key, string(rate.Kind)}
	if line, ok := r.items[what]; ok {
		r.fail(codeDuplicateRate, "item", fmt.Sprintf("%q is in line %d too, for the same quantity", rate.Item, line), "keep one, or give each its own name")
	}
	r.items[what] = rate.Line
}

// plainDecimal has no exponent, no groups of digits and no currency sign.
var plainDecimal = regexp.MustCompile(`^[+-]?([0-9]{1,15}(\.[0-9]{0,9})?|\.[0-9]{1,9})$`)

// number reads a decimal of at most 15 digits before the point and 9 behind it, not
// below 0.
func (r *reader) number(key, text string) decimal.Decimal {
	if !plainDecimal.MatchString(text) {
		r.fail(codeBadNumber, key, fmt.Sprintf("%q is not a plain number", text), "write it like 1234.50: a decimal point, no groups of digits, no sign of a currency")
		return decimal.Decimal{}
	}
	d, err := decimal.NewFromString(strings.TrimSuffix(text, "."))
	if err != nil || d.IsNegative() {
		r.fail(codeBadValue, key, fmt.Sprintf("%s is below 0", text), "give it as 0 or more")
		return decimal.Decimal{}
	}
	return d
}

// optional reads the number of a column; nil where it is empty.
func (r *reader) optional(column string) *decimal.Decimal {
	if r.row[column] == "" {
		return nil
	}
	d := r.number(column, r.row[column])
	return &d
}

// percent reads a number with or without its sign; 0 where it is empty.
func (r *reader) percent(key, text string) decimal.Decimal {
	if text == "" {
		return decimal.Decimal{}
	}
	return r.number(key, strings.TrimSpace(strings.TrimSuffix(text, "%")))
}

package report

import (
	"fmt"
	"io"
	"math"
	"strings"
	"unicode/utf8"

	"barrow/volume/price"
	"barrow/volume/takeoff"
)

// Bill writes a priced quantity sheet: what has no rate first, then each group with its
// subtotal, contingency, provisional sums apart, totals before tax, and how the figures
// came about. Lines have at most 80 characters. Quantities and amounts are those of the
// bill, rounded by its rules.
func Bill(w io.Writer, r *takeoff.PricedResult) error {
	t := billSheet{r: r, b: r.Bill}
	t.head()
	t.notPriced()
	for i := range t.b.Groups {
		t.group(&t.b.Groups[i])
	}
	t.sums()
	t.remarks("WARNINGS", r.Warnings)
	t.cameAbout()
	t.alone()
	t.remarks("NOTES", r.Notes)
	t.title("NOT MEASURED, and in the bill only as far as an item above names it")
	for _, o := range r.NotMeasured {
		t.point(o.Message)
	}
	t.cautions()
	return t.deliver(w)
}

// BillJSON writes the same as one JSON object and a line feed, as [JSON] does. Amounts
// are whole minor units; rates and rounded quantities are decimals as text.
func BillJSON(w io.Writer, r *takeoff.PricedResult) error { return writeJSON(w, r) }

// billSheet is a priced quantity sheet in the making.
type billSheet struct {
	paper
	r *takeoff.PricedResult
	b *price.Bill
}

// billColumns are where quantity, unit, rate and amount end.
func billColumns() []int { return []int{41, 55, 66, 80} }

func (t *billSheet) head() {
	t.job(t.r.Job)
	t.put("", fmt.Sprintf("Priced quantities, %s %s. %s", t.r.Program.Name, t.r.Program.Version, t.inMoney()))
	t.readWarnings(len(t.r.Warnings))
}

// inMoney says what the amounts are in, and by which rates.
func (t *billSheet) inMoney() string {
	return fmt.Sprintf("Amounts in %s, before tax. Rates: %s.", t.b.Currency.Code, t.r.Rates)
}

// notPriced lists what was measured and is in no total.
func (t *billSheet) notPriced() {
	if len(t.b.NotPriced) == 0 {
		return
	}
	t.title("NOT PRICED, AND IN NO TOTAL BELOW")
	for _, g := range t.b.NotPriced {
		for _, u := range g.Quantities {
			values := []string{t.b.Quantities.Text(u.Rounded, u.Unit), u.Unit.String(), "no rate"}
			if u.Priced.IsPositive() {
				values[2] = "in part"
			}
			t.row(2, u.Words, billColumns(), values...)
			if u.Priced.IsPositive() {
				t.put("      ", fmt.Sprintf("%s of it has a rate, the rest is in no total", u.Priced))
			}
		}
	}
}

func (t *billSheet) group(g *price.Group) {
	if len(g.Lines) == 0 {
		return
	}
	t.tableHead(t.groupName(g))
	t.lines(g.Lines)
	t.sum("subtotal", g.Subtotal)
}

// groupName is the name of a group, or a word for those without one.
func (t *billSheet) groupName(g *price.Group) string {
	switch {
	case g.Name != "":
		return Plain(g.Name)
	case len(t.b.Groups) == 1:
		return "WORKS"
	}
	return "OTHER WORKS"
}

func (t *billSheet) tableHead(title string) {
	t.title(title)
	t.heads(0, "", billColumns(), "quantity", "unit", "rate", t.b.Currency.Code)
}

func (t *billSheet) lines(lines []price.Line) {
	for i := range lines {
		t.entry(&lines[i])
	}
}

// entry writes one line and, below it, where its quantity is from.
func (t *billSheet) entry(l *price.Line) {
	label, amount := l.Item, t.b.Currency.Text(l.Amount)
	switch l.Kind {
	case price.MinimumCharge:
		t.wide("  minimum charge: "+label, amount)
		t.put("      ", "what the line above lacks to "+t.money(*l.Least))
		return
	case price.ExtraOver, price.LumpSum:
		label = l.Kind.Words() + ": " + label
	}
	values := []string{l.Billed.StringFixed(t.places(l)), l.Unit.String(), t.rate(l), amount}
	if fits(values) {
		t.row(2, label, billColumns(), values...)
	} else {
		t.put("  ", label)
		t.put("      ", strings.Join(values[:3], " "))
		t.wide("", amount)
	}
	t.howMuch(l)
}

// fits reports whether values stand in the columns with a blank between.
func fits(values []string) bool {
	end := 0
	for i, v := range values {
		if end += 1 + utf8.RuneCountInString(v); end > billColumns()[i] {
			return false
		}
		end = billColumns()[i]
	}
	return true
}

// places is how many decimals a line's quantity has: as many as the bill's, more where
// the estimator stated more.
func (t *billSheet) places(l *price.Line) int32 {
	return max(t.b.Quantities.Places(l.Unit), -l.Billed.Exponent())
}

// rate is written with the currency's decimals, or more where it has more.
func (t *billSheet) rate(l *price.Line) string {
	return l.Rate.StringFixed(max(t.b.Currency.Digits, -l.Rate.Exponent()))
}

// howMuch says what a line's quantity is, and how it was turned into what is billed.
func (t *billSheet) howMuch(l *price.Line) {
	const lead = "      "
	q := l.Quantity
	if q == nil {
		if l.Unit.Name != price.Sum {
			t.put(lead, "quantity stated by the estimator"+unlessEmpty(": ", l.Basis))
		}
		return
	}
	words := q.Words
	if q.AtLeast {
		words += ", AT LEAST"
	}
	if l.Factor != nil || l.Waste != nil || l.Unit.Name == price.Sum {
		words += fmt.Sprintf(": %s %s", t.b.Quantities.Text(*l.Rounded, q.Unit), q.Unit)
	}
	if l.Factor != nil {
		words += fmt.Sprintf(" x %s", l.Factor)
		if l.Unit != q.Unit {
			words += fmt.Sprintf(" %s per %s", l.Unit, q.Unit)
		}
	}
	if l.Waste != nil {
		words += fmt.Sprintf(", and %s %% waste", l.Waste)
	}
	if l.Unit.Name == price.Load {
		words += ", whole loads"
	}
	t.put(lead, words)
	if l.Basis != "" {
		t.put(lead, l.Basis)
	}
}

func (t *billSheet) money(minor int64) string {
	return t.b.Currency.Code + " " + t.b.Currency.Text(minor)
}

// wide writes a label and an amount, under one another where they do not fit.
func (t *billSheet) wide(label, amount string) {
	at := billColumns()[3]
	if utf8.RuneCountInString(label)+1+utf8.RuneCountInString(amount) > at {
		t.put("", label)
		label = ""
	}
	t.row(0, label, []int{at}, amount)
}

func (t *billSheet) sum(label string, amount int64) {
	label, text := "    "+label, t.b.Currency.Text(amount)
	if at := billColumns()[3]; utf8.RuneCountInString(label)+1+utf8.RuneCountInString(text) > at {
		t.put("", label)
		label = ""
	}
	t.total(0, label, billColumns()[3:], text)
}

// sums writes subtotals, contingency, provisional sums apart, and totals.
func (t *billSheet) sums() {
	b := t.b
	t.title("SUM OF THE WORKS, " + b.Currency.Code)
	for _, g := range b.Groups {
		if len(b.Groups) > 1 && len(g.Lines) > 0 {
			t.wide("  "+t.groupName(&g), b.Currency.Text(g.Subtotal))
		}
	}
	t.sum("works", b.Works)
	if !b.Percent.IsZero() {
		t.sum(fmt.Sprintf("contingency, %s %% of the works", b.Percent), b.Contingency)
		t.sum("works with contingency", b.Firm)
	}
	if len(b.Provisional) > 0 {
		t.tableHead("PROVISIONAL, not known yet and in no sum above")
		t.lines(b.Provisional)
		t.sum("provisional items", b.Provisions)
	}
	t.title("TOTAL BEFORE TAX, " + b.Currency.Code)
	if len(b.Provisional) > 0 {
		t.sum("without provisional items", b.Firm)
		t.sum("with provisional items", b.Total)
	} else {
		t.sum("total", b.Total)
	}
	t.put("    ", "Taxes are not in it."+t.lacking())
	t.sure()
}

// sure says how sure the total is, as far as it hangs on cut and fill.
func (t *billSheet) sure() {
	u := t.r.Uncertainty
	switch {
	case u == nil:
		return
	case u.NotStated != "":
		t.put("    ", "How sure it is: not stated, as cut and fill are not; see the takeoff's sheet.")
		return
	}
	half, what := t.sureTo(u)
	t.put("    ", fmt.Sprintf("The total%s is sure to +/- %s %s (%s %%, %s): what the errors of cut and fill come to in money. Rates, factors, "+
		"topsoil, areas and lengths are taken as they stand.", what, half, t.b.Currency.Code, fixed(100*u.Coverage, 0), sureOf(u.Parts)))
}

// sureTo is the half width of the total's interval, and of which total it is.
func (t *billSheet) sureTo(u *takeoff.PriceUncertainty) (half, what string) {
	width := *u.Total
	if len(t.b.Provisional) > 0 {
		width, what = *u.Firm, " without provisional items"
	}
	return t.b.Currency.Text(int64(math.Round(width))), what
}

func (t *billSheet) lacking() string {
	if len(t.b.NotPriced) == 0 {
		return ""
	}
	return " NEITHER IS WHAT HAS NO RATE: see the top of this sheet."
}

// cameAbout says by what rules the figures came about.
func (t *billSheet) cameAbout() {
	t.title("HOW THE FIGURES CAME ABOUT")
	t.rules()
	t.files(t.r.Scale, t.r.Inputs)
}

// rules says by which rules the figures came about.
func (t *billSheet) rules() {
	t.item("Quantities", "measured, then rounded "+t.b.Quantities.Words()+"; by a factor or with waste, rounded again. Loads go up to whole ones")
	t.item("Amounts", "the quantity as printed times the rate, "+t.b.Amounts.Words()+". Subtotals are sums of the amounts as printed")
	t.item("Measures", "bank is in place before digging, loose in the truck, compacted placed and rolled; a volume without a word is as built. "+
		"None is turned into another but by the factor a line shows")
}

// alone lists what was measured, is in no line, and needs no rate of its own.
func (t *billSheet) alone() {
	if len(t.b.Unasked) == 0 {
		return
	}
	t.title("MEASURED BESIDES, IN NO LINE")
	for _, q := range t.b.Unasked {
		t.row(2, q.Words, billColumns(), t.b.Quantities.Text(q.Rounded(t.b.Quantities), q.Unit), q.Unit.String())
	}
}

// cautions say what a bill of quantities cannot know.
func (t *billSheet) cautions() {
	t.title("CAUTIONS")
	for _, words := range billCautions() {
		t.point(words)
	}
}

func billCautions() []string {
	return []string{
		"This is arithmetic on measured quantities and on the rates of a file, and not an offer. Whoever signs a tender answers for both.",
		"A quantity is no better than its survey, and an amount no better than its quantity: read the takeoff's sheet with this one.",
		"Factors, densities and moisture are as the rates file states them. Weigh, and count loads.",
		"A batter that is measured is no statement that ground will stand: competent people, licensed engineers and local codes come first.",
	}
}

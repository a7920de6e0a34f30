package report

import (
	"encoding/csv"
	"fmt"
	"io"
	"strconv"

	"github.com/shopspring/decimal"

	"barrow/volume/price"
	"barrow/volume/takeoff"
)

// BillCSV writes the lines of a bill, and its sums, as CSV with a header; the column
// kind tells lines from sums. Amounts are in units of the currency, numbers unrounded
// further. A text that a spreadsheet would take for a formula has an apostrophe before
// it.
func BillCSV(w io.Writer, r *takeoff.PricedResult) error {
	t := billTable{b: r.Bill, out: csv.NewWriter(w)}
	t.row("group", "kind", "item", "measured_as", "measured", "measured_unit", "factor", "waste_percent", "basis",
		"quantity", "unit", "rate", "amount", "currency", "row")
	for _, g := range t.b.NotPriced {
		for _, u := range g.Quantities {
			t.row("", "not_priced", harmless(u.Words), harmless(u.Key), u.Rounded.String(), u.Unit.String())
		}
	}
	for _, g := range t.b.Groups {
		t.lines(g.Lines)
		if len(g.Lines) > 0 {
			t.sum(g.Name, "subtotal", g.Subtotal)
		}
	}
	t.sum("", "works", t.b.Works)
	t.sum("", "contingency", t.b.Contingency)
	t.sum("", "works_with_contingency", t.b.Firm)
	t.lines(t.b.Provisional)
	t.sum("", "provisional_sum", t.b.Provisions)
	t.sum("", "total_before_tax", t.b.Total)
	t.out.Flush()
	if err := t.out.Error(); err != nil {
		return fmt.Errorf("report: %w", err)
	}
	return nil
}

// billTable is a bill as CSV in the making; the writer keeps its first error.
type billTable struct {
	b   *price.Bill
	out *csv.Writer
}

func (t *billTable) row(cells ...string) {
	out := make([]string, 15)
	copy(out, cells)
	_ = t.out.Write(out) // the error comes again from Error
}

func (t *billTable) lines(lines []price.Line) {
	for i := range lines {
		l := &lines[i]
		var key, measured, unit string
		if l.Quantity != nil && l.Rounded != nil {
			key, measured, unit = harmless(l.Quantity.Key), l.Rounded.String(), l.Quantity.Unit.String()
		}
		t.row(harmless(l.Group), string(l.Kind), harmless(l.Item), key, measured, unit, decimalCell(l.Factor), decimalCell(l.Waste), harmless(l.Basis),
			l.Billed.String(), l.Unit.String(), l.Rate.String(), t.b.Currency.Text(l.Amount), t.b.Currency.Code, strconv.Itoa(l.Row))
	}
}

func (t *billTable) sum(group, kind string, amount int64) {
	t.row(harmless(group), kind, "", "", "", "", "", "", "", "", "", "", t.b.Currency.Text(amount), t.b.Currency.Code)
}

// decimalCell writes a decimal, and nothing for none.
func decimalCell(d *decimal.Decimal) string {
	if d == nil {
		return ""
	}
	return d.String()
}

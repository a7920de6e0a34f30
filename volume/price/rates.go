package price

import "github.com/shopspring/decimal"

// Kind is the kind of an item.
type Kind string

// Kinds of items.
const (
	Measured      Kind = "measured"       // quantity times rate
	ExtraOver     Kind = "extra_over"     // likewise, on top of an item that prices the same work
	Provisional   Kind = "provisional"    // not known yet: shown apart, in no subtotal of the works
	LumpSum       Kind = "lump_sum"       // one amount whatever the quantity
	MinimumCharge Kind = "minimum_charge" // what an item lacks to its least amount; made by NewBill
)

// Words is the kind in plain words: "extra over".
func (k Kind) Words() string {
	switch k {
	case ExtraOver:
		return "extra over"
	case LumpSum:
		return "lump sum"
	case MinimumCharge:
		return "minimum charge"
	}
	return string(k)
}

// Rates is a rates file.
type Rates struct {
	Name   string // of the file
	SHA256 string // of its bytes, in hexadecimal

	Currency    Currency
	Contingency decimal.Decimal // per cent of the works, provisional sums not counted
	Amounts     AmountRule
	Quantities  QuantityRule
	Items       []Rate
}

// Rate is an item of a rates file. Numbers are not below 0.
type Rate struct {
	Line  int // in the file
	Item  string
	Group string // what it is summed with
	Kind  Kind

	Key    string           // of the measured quantity; empty: Stated, or a sum
	Stated *decimal.Decimal // a quantity that the estimator states

	Unit    Unit
	Rate    decimal.Decimal  // currency for one Unit
	Waste   decimal.Decimal  // per cent of the quantity, bought besides
	Minimum *decimal.Decimal // least amount, where there is any quantity
	Factor  *decimal.Decimal // how many of Unit one unit of the quantity makes
	Basis   string           // where Factor, or a weight, is from
}

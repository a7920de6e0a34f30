package price

import "github.com/shopspring/decimal"

// Quantity is one measured quantity that a rate may be for.
type Quantity struct {
	Key    string  `json:"key"`    // how a rates file names it; a key with a dot names a thing of one job
	Words  string  `json:"words"`  // what it is
	Unit   Unit    `json:"unit"`   // with its measure
	Amount float64 `json:"amount"` // unrounded, not below 0

	// Work is the work that it measures. Every work must be priced by one of its
	// splits: all quantities of that split together make the work. Empty: no rate is
	// asked for.
	Work  string `json:"work,omitempty"`
	Split string `json:"split,omitempty"`

	Bought  bool `json:"bought,omitempty"`   // material that is bought: waste may be added
	AtLeast bool `json:"at_least,omitempty"` // more of it lies where nothing was surveyed
}

// Rounded is the amount to the places of a rule: of the shortest decimal that is this
// float64, the one JSON gives.
func (q *Quantity) Rounded(rule QuantityRule) decimal.Decimal {
	return rule.Round(decimal.NewFromFloat(q.Amount), q.Unit)
}

package price

import "github.com/shopspring/decimal"

// Bill is the rates held against measured quantities. Amounts are whole minor units of
// the currency; taxes are in none of them.
type Bill struct {
	Currency   Currency     `json:"currency"`
	Amounts    AmountRule   `json:"amount_rule"`
	Quantities QuantityRule `json:"quantity_rule"`

	Groups      []Group         `json:"groups"`              // the works, in the order of the rates
	Works       int64           `json:"works"`               // sum of the groups
	Percent     decimal.Decimal `json:"contingency_percent"` // of Works
	Contingency int64           `json:"contingency"`
	Firm        int64           `json:"works_with_contingency"`
	Provisional []Line          `json:"provisional"` // in no group, and under no contingency
	Provisions  int64           `json:"provisional_sum"`
	Total       int64           `json:"total"` // Firm and Provisions

	NotPriced []Gap      `json:"not_priced"`     // works without a rate, or priced in part: not in Total
	Unasked   []Quantity `json:"measured_alone"` // measured, in no line, and no rate is asked for them
	Slopes    []Slope    `json:"slopes"`         // how Total grows with each quantity, by key
}

// Group is items that are summed together.
type Group struct {
	Name     string `json:"name"`
	Lines    []Line `json:"lines"`
	Subtotal int64  `json:"subtotal"` // sum of their amounts
}

// Line is one line of a bill: Billed times Rate is Amount, but for a lump sum and what
// a minimum charge makes up.
type Line struct {
	Row   int    `json:"row"` // of the rates file
	Item  string `json:"item"`
	Group string `json:"group,omitempty"`
	Kind  Kind   `json:"kind"`

	Quantity *Quantity        `json:"quantity,omitempty"` // as measured; absent where stated, or a sum
	Rounded  *decimal.Decimal `json:"rounded,omitempty"`  // Quantity to the bill's places
	Factor   *decimal.Decimal `json:"factor,omitempty"`   // how many of Unit one of the quantity makes
	Waste    *decimal.Decimal `json:"waste_percent,omitempty"`
	Basis    string           `json:"basis,omitempty"`

	Billed decimal.Decimal `json:"billed"` // Rounded by factor and with waste, to the bill's places
	Unit   Unit            `json:"unit"`
	Rate   decimal.Decimal `json:"rate"`
	Least  *int64          `json:"minimum,omitempty"` // of a minimum charge: what the item comes to with it
	Amount int64           `json:"amount"`

	// PerQuantity is how Amount grows with the measured quantity, in minor units for one
	// of its own unit, roundings and whole loads left out: what carries a covariance of
	// quantities on. 0 where the amount hangs on none.
	PerQuantity float64 `json:"amount_per_quantity"`
}

// Gap is a work that the rates do not price, or not all of it.
type Gap struct {
	Work       string     `json:"work"`
	Quantities []Unpriced `json:"quantities"` // without a rate
}

// Unpriced is a measured quantity, and how much of it is priced.
type Unpriced struct {
	Quantity
	Rounded decimal.Decimal `json:"rounded"` // to the bill's places
	Priced  decimal.Decimal `json:"priced"`  // share from 0 to below 1
}

// Slope is how a bill's total grows with a quantity.
type Slope struct {
	Key   string  `json:"key"`
	Firm  float64 `json:"works_with_contingency"` // minor units for one of the quantity's unit
	Total float64 `json:"total"`                  // provisional items too
}

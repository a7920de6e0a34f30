package price

import (
	"math"

	"github.com/shopspring/decimal"
)

// fromMinor turns minor units into units of the currency, exactly.
func fromMinor(minor int64, c Currency) decimal.Decimal { return decimal.New(minor, -c.Digits) }

// toMinor rounds an amount of the currency to minor units; ok is false where there are
// more than an int64 holds.
func toMinor(amount decimal.Decimal, c Currency, rule AmountRule) (minor int64, ok bool) {
	whole := rule.round(amount, c.Digits).Shift(c.Digits).BigInt()
	return whole.Int64(), whole.IsInt64()
}

// sum adds amounts that are not below 0; ok is false where it overflows.
func sum(amounts ...int64) (total int64, ok bool) {
	for _, a := range amounts {
		if a > math.MaxInt64-total {
			return 0, false
		}
		total += a
	}
	return total, true
}

func hundredth(percent decimal.Decimal) decimal.Decimal { return percent.Shift(-2) }

package price

import "github.com/shopspring/decimal"

// AmountRule says how an amount that lies half way between two minor units is rounded.
type AmountRule string

// Rules of amounts.
const (
	HalfAway AmountRule = "half_away" // away from zero
	HalfEven AmountRule = "half_even" // to the even one
)

// Words says the rule as a sheet does.
func (a AmountRule) Words() string {
	if a == HalfEven {
		return "rounded to a whole minor unit, half to the even one"
	}
	return "rounded to a whole minor unit, half away from zero"
}

func (a AmountRule) round(x decimal.Decimal, places int32) decimal.Decimal {
	if a == HalfEven {
		return x.RoundBank(places)
	}
	return x.Round(places)
}

// QuantityRule says to how many places quantities are rounded.
type QuantityRule string

// Rules of quantities.
const (
	Tenths     QuantityRule = "tenths"
	Hundredths QuantityRule = "hundredths"
	Whole      QuantityRule = "whole"
	// IS1200 is that of Indian public works: lengths to 0.01 m, volumes to 0.01 m3 (CPWD
	// Specifications), areas to 0.01 m2 (IS 1200), halves to the even digit (IS 2:1960,
	// from memory). It says nothing of feet.
	IS1200 QuantityRule = "is1200"
)

// Words says the rule as a sheet does.
func (r QuantityRule) Words() string {
	switch r {
	case Whole:
		return "to whole units, half away from zero"
	case Hundredths:
		return "to 0.01 of a unit, half away from zero"
	case IS1200:
		return "to 0.01 m, 0.01 m2 and 0.01 m3 as IS 1200 has it, half to the even digit"
	}
	return "to 0.1 of a unit, half away from zero"
}

// Places is how many decimals a quantity has.
func (r QuantityRule) Places(u Unit) int32 {
	switch {
	case u.Name == Load, u.Name == Sum, r == Whole:
		return 0
	case r == Hundredths, r == IS1200:
		return 2
	}
	return 1
}

// Round rounds a quantity; loads go up to whole ones.
func (r QuantityRule) Round(x decimal.Decimal, u Unit) decimal.Decimal {
	switch {
	case u.Name == Load:
		return x.Ceil()
	case r == IS1200:
		return x.RoundBank(r.Places(u))
	}
	return x.Round(r.Places(u))
}

// Text writes a rounded quantity with its places.
func (r QuantityRule) Text(rounded decimal.Decimal, u Unit) string {
	return rounded.StringFixed(r.Places(u))
}

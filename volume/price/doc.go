// Package price makes a bill of measured quantities: rates, and money in whole
// minor units.
//
// [ReadRates] reads a rates file, plain CSV; [NewBill] holds its rows against a list
// of [Quantity] and gives a [Bill]: lines by group, provisional sums apart,
// contingency and totals before tax, and what was measured and has no rate.
//
// Money is never a float64. Rates are exact decimals. A quantity is rounded to the
// bill's places first, and the amount is that rounded quantity times the rate,
// rounded to a minor unit, so that whoever has the sheet and a calculator gets each
// amount again; subtotals are sums of amounts as printed. [Line.PerQuantity] and
// [Bill.Slopes] tell how amounts grow with the quantities, so that a covariance of
// quantities can be carried on to the bill.
//
// Units are never turned into one another in silence: a rate per loose cubic metre
// on a bank quantity is an error, until the row states a factor and where it is from.
//
// The package measures nothing and knows no prices. It has no taxes in it, and a bill
// is no offer.
package price

package price_test

import (
	"errors"
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"github.com/shopspring/decimal"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"barrow/tin"
	"barrow/volume/price"
)

func unit(t testing.TB, text string) price.Unit {
	t.Helper()
	u, err := price.ParseUnit(text)
	require.NoError(t, err)
	return u
}

func m3(measure price.Measure) price.Unit { return price.Unit{Name: "m3", Measure: measure} }

// quantities is a small job: a cut of 366.04 with its parts, a fill, a layer.
func quantities() []price.Quantity {
	return []price.Quantity{
		{Key: "cut", Words: "cut, as dug", Unit: m3(price.Bank), Amount: 366.04, Work: "cut", Split: "whole"},
		{Key: "outline_cut", Words: "net void", Unit: m3(price.Bank), Amount: 300, Work: "cut", Split: "parts"},
		{Key: "margin_cut", Words: "margins", Unit: m3(price.Bank), Amount: 66.04, Work: "cut", Split: "parts"},
		{Key: "batter_cut", Words: "batters", Unit: m3(price.Bank), Amount: 0, Work: "cut", Split: "parts"},
		{Key: "fill", Words: "fill", Unit: m3(price.Compacted), Amount: 0.04, Work: "fill", Split: "whole"},
		{Key: "perimeter", Words: "length of the outlines", Unit: price.Unit{Name: "m"}, Amount: 80},
		{Key: "layer.a.volume", Words: "a, volume", Unit: m3(price.AsBuilt), Amount: 20, Work: "layer a", Split: "whole", Bought: true},
		{Key: "layer.a.area", Words: "a, area", Unit: price.Unit{Name: "m2"}, Amount: 100, Work: "layer a", Split: "area", Bought: true},
	}
}

func bill(t testing.TB, rates string) (b *price.Bill, notes, warnings []tin.Problem) {
	t.Helper()
	b, notes, warnings, err := price.NewBill(read(t, rates), quantities())
	require.NoError(t, err)
	holds(t, b)
	return b, notes, warnings
}

func codes(problems []tin.Problem) (list []string) {
	for _, p := range problems {
		list = append(list, p.Code)
	}
	return list
}

// Every kind of item, worked by hand:
// 366.0 x 6.50 = 2379.00; over 5 % of it, 18.3 x 30 = 549.00; 366.0 x 1.25 = 457.5 x 3 = 1372.50;
// 20.0 x 2.1 x 1.05 = 44.1 t x 18 = 793.80; 100.0 x 1.10 = 110.0 x 0.335 = 36.85, to 50 lacks 13.15;
// 366.0 x 0.125 = 45.75, 46 loads x 10 = 460.00; sums 1500. 5 % of 7104.30 = 355.215, 355.22.
func TestBillByHand(t *testing.T) {
	b, notes, warnings := bill(t, "contingency,5\n"+head+`
Dig,cut,m3 bank,6.50,,,,,,Earthworks
Rock,cut,m3 bank,30,,extra over,,0.05,5 % is rock,Earthworks
Cart,cut,m3 loose,3,,,,1.25,loose per bank,Earthworks
Stone,layer.a.volume,t,18,5,,,2.1,2.1 t/m3 at 6 % moisture,Layers
Fabric,layer.a.area,m2,0.335,10,,50,,,Layers
Tip,cut,load,10,,,,0.125,8 m3 a load,Earthworks
Set up,,sum,1500
Soft spots,25,m3 bank,40,,provisional
Pump,16.25,h,35,,provisional
`)
	assert.Empty(t, notes)
	assert.Empty(t, warnings)
	var got []string
	for _, g := range b.Groups {
		for _, l := range g.Lines {
			got = append(got, fmt.Sprintf("%s %s %s %s x %s = %s", l.Kind, l.Item, l.Billed, l.Unit, l.Rate, b.Currency.Text(l.Amount)))
		}
		got = append(got, g.Name+" "+b.Currency.Text(g.Subtotal))
	}
	assert.Equal(t, []string{
		"measured Dig 366 m3 bank x 6.5 = 2379.00", "extra_over Rock 18.3 m3 bank x 30 = 549.00",
		"measured Cart 457.5 m3 loose x 3 = 1372.50", "measured Tip 46 load x 10 = 460.00", "Earthworks 4760.50",
		"measured Stone 44.1 t x 18 = 793.80", "measured Fabric 110 m2 x 0.335 = 36.85", "minimum_charge Fabric 1 sum x 13.15 = 13.15", "Layers 843.80",
		"lump_sum Set up 1 sum x 1500 = 1500.00", " 1500.00",
	}, got)
	assert.Equal(t, []int64{710430, 35522, 745952, 156875, 902827}, []int64{b.Works, b.Contingency, b.Firm, b.Provisions, b.Total})
	assert.Empty(t, b.NotPriced)
	require.Len(t, b.Unasked, 1)
	assert.Equal(t, "perimeter", b.Unasked[0].Key)
}

// Halves of a minor unit: 0.5 m x 0.05 = 0.025 and 0.5 m x 0.15 = 0.075.
func TestBillHalves(t *testing.T) {
	q := []price.Quantity{{Key: "perimeter", Unit: price.Unit{Name: "m"}, Amount: 0.5}}
	for rule, want := range map[string][]int64{"half_away": {3, 8}, "half_even": {2, 8}} {
		b, _, _, err := price.NewBill(read(t, "amounts,"+rule+"\n"+head+"a,perimeter,m,0.05\nb,perimeter,m,0.15\n"), q)
		require.NoError(t, err)
		assert.Equal(t, want, []int64{b.Groups[0].Lines[0].Amount, b.Groups[0].Lines[1].Amount}, rule)
		holds(t, b)
	}
}

// The quantity is rounded first: 0.46 m to 0.5 m, then at 100 it is 50.00, not 46.00.
func TestBillRoundsTheQuantityFirst(t *testing.T) {
	q := []price.Quantity{{Key: "perimeter", Unit: price.Unit{Name: "m"}, Amount: 0.46}}
	for rule, want := range map[string]int64{"tenths": 5000, "hundredths": 4600, "whole": 0, "is1200": 4600} {
		b, _, _, err := price.NewBill(read(t, "quantities,"+rule+"\n"+head+"a,perimeter,m,100\n"), q)
		require.NoError(t, err)
		assert.Equal(t, want, b.Total, rule)
	}
}

// Rounding of quantities. IS 1200 and CPWD Specifications: lengths, areas and volumes to
// two decimals (MEAS-1 and MEAS-2 of docs/checks.md); halves to even after IS 2:1960 (from
// memory). The others are ours. A float64 counts as the shortest decimal that is it.
func TestQuantityRules(t *testing.T) {
	for _, tt := range []struct {
		rule price.QuantityRule
		unit string
		x    float64
		want string
	}{
		{price.IS1200, "m", 12.344, "12.34"}, {price.IS1200, "m", 12.346, "12.35"},
		{price.IS1200, "m3 bank", 12.345, "12.34"}, {price.IS1200, "m3 bank", 12.355, "12.36"}, {price.IS1200, "m2", 2.675, "2.68"},
		{price.Hundredths, "m3 bank", 12.345, "12.35"}, {price.Hundredths, "m2", 2.675, "2.68"}, {price.Hundredths, "m2", 1.005, "1.01"},
		{price.Tenths, "m3", 0.05, "0.1"}, {price.Tenths, "m3", 0.25, "0.3"}, {price.Whole, "m3", 0.5, "1"}, {price.Whole, "h", 2.4, "2"},
		{price.Tenths, "load", 45.01, "46"}, {price.IS1200, "load", 45, "45"}, {price.QuantityRule(""), "m3", 1.25, "1.3"},
	} {
		u := unit(t, tt.unit)
		assert.Equal(t, tt.want, tt.rule.Text(tt.rule.Round(decimal.NewFromFloat(tt.x), u), u), "%v", tt)
		assert.NotEmpty(t, tt.rule.Words())
	}
}

// What the rates leave out is told, and in no total.
func TestNotPriced(t *testing.T) {
	const layer = "Lay,layer.a.area,m2,1\n"
	for _, tt := range []struct {
		rates, missing string // keys that lack a rate
		notes          []string
	}{
		{"Dig,cut,m3 bank,1\n" + layer, "", nil},
		{"Dig,outline_cut,m3 bank,1\nMargin,margin_cut,m3 bank,0\n" + layer, "", nil},
		{"Dig,outline_cut,m3 bank,1\n" + layer, "margin_cut", nil},
		{"Dig,cut,sum,1000\n" + layer, "", nil},
		{"Dig,cut,m3 bank,1,,provisional\n" + layer, "", nil},
		{"Rock,cut,m3 bank,9,,,,0.3,test pits\n" + layer, "cut", nil},
		{"Rock,cut,m3 bank,9,,,,0.3,test pits\nClay,cut,m3 bank,5,,,,0.7,test pits\n" + layer, "", nil},
		{"Cart,cut,m3 loose,9,,,,0.9,peat\n" + layer, "", nil},
		{"Rock,cut,m3 bank,9,,extra over\n" + layer, "cut", []string{"extra_over_alone"}},
		{layer, "cut", nil},
		{"Dig,cut,m3 bank,1\n", "layer.a.volume", nil},
		{"Dig,cut,m3 bank,1\nSides,margin_cut,m3 bank,1\n" + layer, "", []string{"priced_twice"}},
		{"Dig,cut,m3 bank,1\nPour,layer.a.volume,m3,1\n" + layer, "", nil},
		{"Dig,cut,m3 bank,1\nRoll,fill,m3 compacted,1\nOther,layer.b.volume,m3,1\n" + layer, "", []string{"prices_nothing", "prices_nothing"}},
	} {
		b, notes, warnings := bill(t, head+tt.rates)
		var missing []string
		for _, g := range b.NotPriced {
			for _, u := range g.Quantities {
				missing = append(missing, u.Key)
			}
		}
		assert.Equal(t, tt.missing, strings.Join(missing, " "), tt.rates)
		assert.Equal(t, tt.notes, codes(notes), tt.rates)
		for _, w := range warnings {
			assert.Equal(t, "not_priced", w.Code)
			assert.Contains(t, w.Message, "("+tt.missing+")")
		}
		assert.Len(t, warnings, len(b.NotPriced))
	}
}

func TestBillErrors(t *testing.T) {
	for _, tt := range []struct {
		rates, code, key string
		line             int
	}{
		{"Dig,cutt,m3 bank,1\n", "unknown_quantity", "quantity", 3},
		{"Cart,cut,m3 loose,1\n", "unit_mismatch", "unit", 3},
		{"Side,batter_cut,m3 loose,1\n", "unit_mismatch", "unit", 3}, // though there is none of it
		{"Dig,cut,m3,1\n", "unit_mismatch", "unit", 3},
		{"Dig,cut,yd3 bank,1\n", "unit_mismatch", "unit", 3},
		{"Tip,cut,t,1,,,,,wet\n", "unit_mismatch", "unit", 3},
		{"Tip,cut,load,1\n", "unit_mismatch", "unit", 3},
		{"Dig,cut,m3 bank,1,5\n", "waste_not_bought", "waste", 3},
		{"Dig,cut,m3 bank,999999999999999\n", "amount_overflow", "", 3},
		{"Dig,cut,m3 bank,1,,,999999999999999\nDig,1,m3 bank,99999999999999999\n", "", "", 0},
		{strings.Repeat("Dig,cut,m3 bank,200000000000000\n", 1) + "Dig 2,cut,m3 bank,200000000000000\n", "amount_overflow", "", 0},
		{"Sum,,sum,90000000000000000\n", "", "", 0},
	} {
		if tt.code == "" {
			_, err := price.ReadRates(strings.NewReader(head+tt.rates), "rates.csv")
			assert.ErrorContains(t, err, "not a plain number")
			continue
		}
		_, _, _, err := price.NewBill(read(t, head+tt.rates), quantities())
		e, ok := errors.AsType[*tin.InputError](err)
		require.True(t, ok, "%s: %v", tt.rates, err)
		assert.Equal(t, []any{tt.code, tt.key, tt.line}, []any{e.Code, e.Key, e.Line}, err)
		assert.NotEmpty(t, e.Hint)
	}
}

// The error on units says how to convert, and never does it.
func TestUnitMismatchSaysHow(t *testing.T) {
	for rate, want := range map[string]string{
		"Cart,cut,m3 loose,1\n": "how many m3 loose one m3 bank makes", "Tip,cut,t,1,,,,,wet\n": "moisture", "Tip,cut,load,1\n": "0.125",
	} {
		_, _, _, err := price.NewBill(read(t, head+rate), quantities())
		assert.ErrorContains(t, err, want)
	}
}

func TestBillOfOddQuantities(t *testing.T) {
	r := read(t, head+"Dig,cut,m3 bank,1\n")
	for _, x := range []float64{-1, math.NaN(), math.Inf(1)} {
		_, _, _, err := price.NewBill(r, []price.Quantity{{Key: "cut", Unit: m3(price.Bank), Amount: x}})
		assert.ErrorContains(t, err, "cut is")
	}
	_, _, _, err := price.NewBill(r, []price.Quantity{{Key: "cut", Unit: m3(price.Bank), Amount: 1e300}})
	assert.ErrorContains(t, err, "64 bits")
	_, _, _, err = price.NewBill(r, append(quantities(), quantities()[0]))
	assert.ErrorContains(t, err, "two quantities have the key cut")
	_, _, _, err = price.NewBill(read(t, "quantities,is1200\n"+head+"Dig,cut,yd3 bank,1\n"),
		[]price.Quantity{{Key: "cut", Unit: unit(t, "yd3 bank"), Amount: 1}})
	assert.ErrorContains(t, err, "feet")
	_, _, _, err = price.NewBill(&price.Rates{}, nil)
	assert.ErrorContains(t, err, "currency")
	_, _, _, err = price.NewBill(&price.Rates{Currency: r.Currency, Items: []price.Rate{{Item: "a", Rate: decimal.New(-1, 0)}}}, nil)
	assert.ErrorContains(t, err, "below 0")
}

// A minimum charge is charged where there is any quantity, and only what lacks.
func TestMinimumCharge(t *testing.T) {
	for rates, want := range map[string]int64{
		"Dig,cut,m3 bank,1,,,366\n": 36600, "Dig,cut,m3 bank,1,,,366.01\n": 36601, "Dig,0,m3 bank,1,,,100\n": 0, "Roll,fill,m3 compacted,1,,,100\n": 0,
		// 366.0 x 0.0001 is 0.0 t, of a quantity that is there
		"Test,cut,t,5,,,100,0.0001,a share\n": 10000,
	} {
		b, _, _ := bill(t, head+rates)
		assert.Equal(t, want, b.Total, rates)
	}
}

// The slopes are those of the total, whatever the kind: by differences of a bill with
// places so many that rounding does not show.
func TestSlopes(t *testing.T) {
	rates := read(t, "contingency,10\nquantities,hundredths\n"+head+`
Dig,cut,m3 bank,6.5
Cart,cut,m3 loose,3,,,,1.25,loose per bank
Stone,layer.a.volume,m3,28,5
Least,layer.a.area,m2,1,,,5000
Pump,perimeter,m,2,,provisional
`)
	total := func(key string, more float64) (firm, total float64) {
		q := quantities()
		for i := range q {
			if q[i].Key == key {
				q[i].Amount = math.Round(q[i].Amount) + more
			}
		}
		b, _, _, err := price.NewBill(rates, q)
		require.NoError(t, err)
		return float64(b.Firm), float64(b.Total)
	}
	b, _, _, err := price.NewBill(rates, quantities())
	require.NoError(t, err)
	got := map[string]price.Slope{}
	for _, s := range b.Slopes {
		got[s.Key] = s
	}
	for _, key := range []string{"cut", "layer.a.volume", "layer.a.area", "perimeter"} {
		f0, t0 := total(key, 0)
		f1, t1 := total(key, 100)
		assert.InDelta(t, (f1-f0)/100, got[key].Firm, 0.02, key)
		assert.InDelta(t, (t1-t0)/100, got[key].Total, 0.02, key)
	}
	assert.InDelta(t, (650+375)*1.1, got["cut"].Total, 1e-9)
	assert.Zero(t, got["perimeter"].Firm)
}

// Random rates and quantities: every amount again by rationals, with every currency's
// digits and both rules.
func TestBillRandom(t *testing.T) {
	rnd := rand.New(rand.NewPCG(1, 2))
	for range 300 {
		var text strings.Builder
		fmt.Fprintf(&text, "currency,%s\namounts,%s\ncontingency,%d.%d\nitem,quantity,unit,rate,minimum,factor,basis,kind\n",
			[]string{"JPY", "EUR", "KWD", "UYW"}[rnd.IntN(4)], []string{"half_away", "half_even"}[rnd.IntN(2)], rnd.IntN(20), rnd.IntN(10))
		for i := range 20 {
			fmt.Fprintf(&text, "i%d,cut,m3 bank,%d.%d,%d,%d.%d,b,%s\n", i, rnd.IntN(100), rnd.IntN(1000), rnd.IntN(2000), 1+rnd.IntN(3), rnd.IntN(1000),
				[]string{"measured", "extra over"}[rnd.IntN(2)])
		}
		q := quantities()
		q[0].Amount = rnd.Float64() * 100
		b, _, _, err := price.NewBill(read(t, text.String()), q)
		require.NoError(t, err)
		holds(t, b)
	}
}

// Whatever the order of the quantities, lines and sums are the same.
func TestBillOrderOfQuantities(t *testing.T) {
	r := read(t, head+"Dig,cut,m3 bank,6.5\nLay,layer.a.area,m2,1\nPour,layer.a.volume,m3,2\n")
	want, _, _, err := price.NewBill(r, quantities())
	require.NoError(t, err)
	q := quantities()
	rand.New(rand.NewPCG(3, 4)).Shuffle(len(q), func(i, k int) { q[i], q[k] = q[k], q[i] })
	got, _, _, err := price.NewBill(r, q)
	require.NoError(t, err)
	assert.Equal(t, want.Groups, got.Groups)
	assert.Equal(t, want.Slopes, got.Slopes)
	assert.Equal(t, want.Total, got.Total)
}

func BenchmarkNewBill(b *testing.B) {
	var text strings.Builder
	text.WriteString(head)
	for i := range 1000 {
		fmt.Fprintf(&text, "i%d,cut,m3 loose,6.%d,,,,1.25,loose per bank\n", i, i)
	}
	rates := read(b, text.String())
	for b.Loop() {
		if _, _, _, err := price.NewBill(rates, quantities()); err != nil {
			b.Fatal(err)
		}
	}
}

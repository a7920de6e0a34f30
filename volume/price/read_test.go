package price_test

import (
	"errors"
	"fmt"
	"math/big"
	"strings"
	"testing"
	"testing/iotest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"barrow/tin"
	"barrow/volume/price"
)

const head = "currency,EUR\nitem,quantity,unit,rate,waste,kind,minimum,factor,basis,group\n"

func read(t testing.TB, text string) *price.Rates {
	t.Helper()
	r, err := price.ReadRates(strings.NewReader(text), "rates.csv")
	require.NoError(t, err)
	return r
}

func TestReadRates(t *testing.T) {
	r := read(t, "\ufeff# a note\r\nCurrency,eur,,,\r\ncontingency,7.5 %\r\nAmounts,half even\r\nquantities,is1200\r\n\r\n,,,\r\n"+
		"Group,Item,Quantity,Unit,Rate,Waste,Kind,Minimum,Factor,Basis\r\n"+
		"A,\"Dig, and heap\",cut,m³ bank,6.50,,,250,,\r\n"+
		"A,Stone,layer.base.volume,t,18,5%,,,2.1,2.1 t/m3 at 6 % moisture\r\n"+
		",Set up,,,1500,,lump sum\r\n"+
		",Digger,8,h,95.,,provisional,,,\r\n"+
		",All of the fill,fill,sum,400\r\n")
	assert.Equal(t, price.Currency{Code: "EUR", Digits: 2}, r.Currency)
	assert.Equal(t, "7.5", r.Contingency.String())
	assert.Equal(t, price.HalfEven, r.Amounts)
	assert.Equal(t, price.IS1200, r.Quantities)
	assert.Len(t, r.SHA256, 64)
	require.Len(t, r.Items, 5)
	dig, stone, setUp, digger, fill := r.Items[0], r.Items[1], r.Items[2], r.Items[3], r.Items[4]
	assert.Equal(t, "Dig, and heap", dig.Item)
	assert.Equal(t, 9, dig.Line)
	assert.Equal(t, "A", dig.Group)
	assert.Equal(t, price.Unit{Name: "m3", Measure: price.Bank}, dig.Unit)
	assert.Equal(t, price.Measured, dig.Kind)
	assert.Equal(t, "250", dig.Minimum.String())
	assert.Equal(t, "5", stone.Waste.String())
	assert.Equal(t, "2.1", stone.Factor.String())
	assert.Equal(t, price.LumpSum, setUp.Kind)
	assert.Equal(t, "sum", setUp.Unit.String())
	assert.Equal(t, "8", digger.Stated.String())
	assert.Equal(t, "95", digger.Rate.String())
	assert.Equal(t, price.Provisional, digger.Kind)
	assert.Equal(t, price.LumpSum, fill.Kind)
	assert.Equal(t, "fill", fill.Key)
}

// The same rates with any separator that spreadsheets write.
func TestReadRatesSeparators(t *testing.T) {
	want := read(t, "currency,EUR\nitem,quantity,unit,rate,kind\nDig,cut,m3 bank,6.5,\nSet up,,sum,9,lump sum\n")
	for _, sep := range []string{";", "\t"} {
		got := read(t, strings.ReplaceAll("currency,EUR\nitem,quantity,unit,rate,kind\nDig,cut,m3 bank,6.5,\nSet up,,sum,9,lump sum\n", ",", sep))
		assert.Equal(t, want.Items, got.Items)
	}
	assert.Equal(t, "Dig; heap", read(t, "currency;EUR\n\"item\";quantity;unit;rate\n\"Dig; heap\";cut;m3 bank;6.5\n").Items[0].Item)
}

func TestReadRatesErrors(t *testing.T) {
	long := "currency,EUR\nitem,quantity,unit,rate\n" + strings.Repeat("x,1,h,1\n", 200_000)
	var many strings.Builder
	many.WriteString("currency,EUR\nitem,quantity,unit,rate\n")
	for i := range 10_001 {
		fmt.Fprintf(&many, "x%d,1,h,1\n", i)
	}
	for _, tt := range []struct {
		text, code, key string
		line            int
	}{
		{"", "no_header", "", 0},
		{"currency,EUR\n", "no_header", "", 0},
		{"# item,rate\n", "no_header", "", 0},
		{"item,rate\nDig,1\n", "no_header", "quantity", 1},
		{"item,quantity,unit,rate\n", "no_currency", "currency", 0},
		{"currency,XXQ\n" + head, "unknown_currency", "currency", 1},
		{"currency,XAU\n" + head, "unknown_currency", "currency", 1},
		{"currency\n" + head, "unknown_currency", "currency", 1},
		{"contingency,5\ncontingency,6\n" + head, "repeated_setting", "contingency", 2},
		{"contingency,-5\n" + head, "bad_value", "contingency", 1},
		{"contingency,101\n" + head, "bad_value", "contingency", 1},
		{"contingency,five\n" + head, "bad_number", "contingency", 1},
		{"contingency,5,6\n" + head, "too_many_fields", "contingency", 1},
		{"amounts,up\n" + head, "bad_value", "amounts", 1},
		{"quantities,0.01\n" + head, "bad_value", "quantities", 1},
		{"curency,EUR\n" + head, "unknown_setting", "curency", 1},
		{"currency,EUR\nitem,quantity,unit,rate,price\n", "unknown_column", "price", 2},
		{"currency,EUR\nitem,quantity,unit,rate,rate\n", "repeated_column", "rate", 2},
		{head + ",cut,m3 bank,1\n", "missing_item", "item", 3},
		{head + "Dig,cut,m3 bank,\n", "missing_rate", "rate", 3},
		{head + "Dig,cut,m3 bank,-6.50\n", "negative_rate", "rate", 3},
		{head + "Dig,cut,m3 bank,6,50\n" + "Dig,cut,m3 bank,6,50,measured,1,1,1,1,1\n", "too_many_fields", "", 4},
		{head + "Dig,cut,m3 bank,1e3\n", "bad_number", "rate", 3},
		{head + "Dig,cut,m3 bank,\"1,234.00\"\n", "bad_number", "rate", 3},
		{head + "Dig,cut,m3 bank,$4\n", "bad_number", "rate", 3},
		{head + "Dig,cut,m3 bank,1234567890123456\n", "bad_number", "rate", 3},
		{head + "Dig,,m3 bank,1\n", "missing_quantity", "quantity", 3},
		{head + "Dig,-3,m3 bank,1\n", "bad_value", "quantity", 3},
		{head + "Dig,3x,m3 bank,1\n", "bad_number", "quantity", 3},
		{head + "Dig,cut,cubic,1\n", "unknown_unit", "unit", 3},
		{head + "Dig,cut,,1\n", "unknown_unit", "unit", 3},
		{head + "Dig,cut,m2 bank,1\n", "unknown_unit", "unit", 3},
		{head + "Dig,cut,m3 wet,1\n", "unknown_unit", "unit", 3},
		{head + "Dig,cut,m3 bank,1,,daywork\n", "bad_value", "kind", 3},
		{head + "Dig,,sum,1,,measured\n", "bad_value", "kind", 3},
		{head + "Dig,cut,m3 bank,1,,lump sum\n", "bad_value", "unit", 3},
		{head + "Dig,2,sum,1\n", "bad_value", "quantity", 3},
		{head + "Dig,cut,m3 loose,1,,,,1.25\n", "missing_basis", "basis", 3},
		{head + "Dig,cut,m3 loose,1,,,,0,none\n", "bad_value", "factor", 3},
		{head + "Dig,3,m3 loose,1,,,,1.25,said\n", "bad_value", "factor", 3},
		{head + "Tip,3,t,1\n", "missing_basis", "basis", 3},
		{head + "Dig,3,m3 bank,1,5\n", "bad_value", "waste", 3},
		{head + "Set up,,sum,1,,,5\n", "bad_value", "minimum", 3},
		{head + "Dig,cut,m3 bank,1\n\nDig,cut,m3 bank,2\n", "duplicate_rate", "item", 5},
		{head + "Dig 6\" pipe,cut,m3 bank,1\n", "bad_csv", "", 3},
		{head + "\"Dig,cut,m3 bank,1\n", "bad_csv", "", 3},
		{head + "Dig,cut,m3 bank,1,,,,,,,too,many\n", "too_many_fields", "", 3},
		{"\xff\xfe", "not_utf8", "", 0},
		{long, "rates_too_long", "", 0},
		{many.String(), "rates_too_long", "", 10_003},
	} {
		_, err := price.ReadRates(strings.NewReader(tt.text), "rates.csv")
		e, ok := errors.AsType[*tin.InputError](err)
		require.True(t, ok, "%.80q: %v", tt.text, err)
		assert.Equal(t, []any{tt.code, tt.key, tt.line, "rates.csv"}, []any{e.Code, e.Key, e.Line, e.File}, "%.80q: %v", tt.text, err)
		assert.NotEmpty(t, e.Hint)
	}
}

func TestReadRatesPassesOnWhatTheReaderMet(t *testing.T) {
	broken := errors.New("broken")
	_, err := price.ReadRates(iotest.ErrReader(broken), "rates.csv")
	assert.ErrorIs(t, err, broken)
}

// What is read can be priced, or is refused: nothing panics, no amount is below 0, every
// line can be had again with a calculator, and sums are of their lines.
func FuzzReadRates(f *testing.F) {
	for _, text := range []string{
		head + "Dig,cut,m3 bank,6.50,,,250\n",
		head + "Cart,cut,m3 loose,3,,,,1.25,loose per bank\nSet up,,sum,1500\n",
		"currency;JPY\ncontingency;5\namounts;half_even\nitem;quantity;unit;rate;kind\nRock;20;m3 bank;85.5;provisional\n",
		"currency,BHD\nquantities,is1200\nitem,quantity,unit,rate,waste\nStone,layer.a.volume,m3,28.1,5\nTip,cut,sum,999999999999999\n",
		"currency,EUR\nitem\trate\n", "\xff", "\"", head + "a,cut,load,1,,,,0.125,8 m3\n",
		head + "Dig,cut,m3 bank,999999999999999.999999999\n",
	} {
		f.Add(text)
	}
	f.Fuzz(func(t *testing.T, text string) {
		r, err := price.ReadRates(strings.NewReader(text), "rates.csv")
		if err != nil {
			return
		}
		b, _, _, err := price.NewBill(r, quantities())
		if err != nil {
			return
		}
		holds(t, b)
	})
}

// holds checks what must hold of every bill, by rationals.
func holds(t testing.TB, b *price.Bill) {
	t.Helper()
	var works, provisions int64
	for _, g := range b.Groups {
		var group int64
		for _, l := range g.Lines {
			calculated(t, b, &l)
			group += l.Amount
		}
		assert.Equal(t, group, g.Subtotal)
		works += group
	}
	for _, l := range b.Provisional {
		calculated(t, b, &l)
		provisions += l.Amount
	}
	assert.Equal(t, works, b.Works)
	assert.Equal(t, provisions, b.Provisions)
	assert.Equal(t, works+b.Contingency, b.Firm)
	assert.Equal(t, b.Firm+provisions, b.Total)
	share := new(big.Rat).Mul(new(big.Rat).SetInt64(works), b.Percent.Rat())
	assert.Equal(t, nearest(share.Mul(share, big.NewRat(1, 100)), b.Amounts == price.HalfEven), b.Contingency)
}

// calculated has a line's amount again from what is printed of it.
func calculated(t testing.TB, b *price.Bill, l *price.Line) {
	t.Helper()
	amount := new(big.Rat).Mul(l.Billed.Rat(), l.Rate.Rat())
	for range b.Currency.Digits {
		amount.Mul(amount, big.NewRat(10, 1))
	}
	assert.Equal(t, nearest(amount, b.Amounts == price.HalfEven), l.Amount, "%+v", l)
	assert.GreaterOrEqual(t, l.Amount, int64(0))
}

// nearest rounds a number not below 0: an independent way of the rules.
func nearest(x *big.Rat, even bool) int64 {
	twice := new(big.Int).Mul(x.Num(), big.NewInt(2))
	twice.Add(twice, x.Denom())
	whole, rest := new(big.Int).DivMod(twice, new(big.Int).Mul(x.Denom(), big.NewInt(2)), new(big.Int))
	if even && rest.Sign() == 0 && whole.Bit(0) == 1 {
		whole.Sub(whole, big.NewInt(1))
	}
	return whole.Int64()
}

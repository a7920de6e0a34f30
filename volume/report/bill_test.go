package report_test

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"errors"
	"math/big"
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"barrow/tin"
	"barrow/volume/price"
	"barrow/volume/report"
	"barrow/volume/takeoff"
	"barrow/volume/uncertainty"
)

// invented are rates of every kind of item for the job of structure; UNIT stands for a
// foot's or a metre's unit.
const invented = `# invented
currency,XTS
contingency,5
group,item,quantity,unit,rate,waste,kind,minimum,factor,basis
Earthworks,Excavate,cut,VOL bank,6.50,,,250,,
Earthworks,hard pan,cut,VOL bank,30,,extra over,,0.05,5 % of the cut: test pits
Earthworks,Cart away,cut,VOL loose,3,,,,1.25,loose per bank of this clay
Earthworks,Tip fee,cut,load,90,,,,0.125,8 a load
Earthworks,Dig footings,thickenings,VOL bank,14,,,3000,,
Earthworks,Fill,backfill,VOL compacted,8.005,,,,,
Slabs,Slab,layer.slab.volume,VOL,140,3,,,,
Slabs,Sub-base,layer.sub-base.area,AREA,4.5,5,,,,
Slabs,A layer of another job,layer.screed.volume,VOL,99,,,,,
,Set up with a name that is too long for the space before the first of the columns,,sum,1500,,lump sum,,,
,Soft spots,25,VOL bank,40,,provisional,,,
,Standing time,7.25,h,95,,provisional,,,
,Dear things,12345678901234,t,0.000000001,,provisional,,,weighed
`

func priced(t *testing.T, r *takeoff.Result, rates string) *takeoff.PricedResult {
	t.Helper()
	rates = strings.NewReplacer("VOL", r.Units.Volume, "AREA", r.Units.Area).Replace(rates)
	file, err := price.ReadRates(strings.NewReader(rates), "rates.csv")
	require.NoError(t, err)
	p, err := takeoff.PriceResult(r, file)
	require.NoError(t, err)
	return p
}

func billText(t *testing.T, p *takeoff.PricedResult) string {
	t.Helper()
	var b bytes.Buffer
	require.NoError(t, report.Bill(&b, p))
	return b.String()
}

func TestBillGolden(t *testing.T) {
	for name, unit := range map[string]tin.Unit{"bill": tin.Metre, "bill_feet": tin.Foot} {
		r := structure(t, unit)
		r.Pads[0].UncoveredArea, r.Total.UncoveredArea = 1, 1 // and what it makes at least
		p := priced(t, r, invented)
		s := billText(t, p)
		golden(t, name+".txt", []byte(s))
		for line := range strings.SplitSeq(s, "\n") {
			assert.LessOrEqual(t, utf8.RuneCountInString(line), 80, line)
		}
		assert.Empty(t, notWords.FindAllString(s, -1))
		var table bytes.Buffer
		require.NoError(t, report.BillCSV(&table, p))
		golden(t, name+".csv", table.Bytes())
		b, err := json.MarshalIndent(p.Bill, "", "  ")
		require.NoError(t, err)
		golden(t, name+".json", append(b, '\n'))
	}
}

// Quantity times rate, as the sheet prints them, is the amount that it prints, and the
// amounts add up to the subtotals: by rationals, from the text alone.
func TestBillByCalculator(t *testing.T) {
	s := billText(t, priced(t, structure(t, tin.Metre), invented))
	subtotal, lines := new(big.Rat), 0
	for line := range strings.SplitSeq(s, "\n") {
		f := strings.Fields(line)
		if len(f) == 0 || len(line) < 70 {
			continue
		}
		amount, ok := new(big.Rat).SetString(f[len(f)-1])
		if !ok {
			continue
		}
		switch {
		case f[0] == "subtotal":
			assert.Zero(t, subtotal.Cmp(amount), line)
			subtotal = new(big.Rat)
			continue
		case f[0] == "SUM", f[0] == "works", f[0] == "contingency,":
			continue
		}
		if strings.Contains(line, "minimum charge") {
			subtotal.Add(subtotal, amount)
			continue
		}
		before := strings.Fields(" 0" + line[:41])
		quantity, isNumber := new(big.Rat).SetString(before[len(before)-1])
		rate, isRate := new(big.Rat).SetString(strings.TrimSpace(line[55:66]))
		if !isNumber || !isRate {
			continue
		}
		lines++
		off := new(big.Rat).Mul(quantity, rate)
		assert.LessOrEqual(t, off.Sub(off, amount).Abs(off).Cmp(big.NewRat(1, 200)), 0, line)
		subtotal.Add(subtotal, amount)
	}
	assert.Equal(t, 11, lines)
}

func TestBillOrder(t *testing.T) {
	s := billText(t, priced(t, structure(t, tin.Metre), invented))
	last := 0
	for _, words := range []string{"before tax", "READ THE", "NOT PRICED, AND IN NO TOTAL BELOW", "no rate", "Earthworks", "extra over: hard pan",
		"loose per bank of this clay", "whole loads", "minimum charge", "subtotal", "Slabs", "3 % waste", "OTHER WORKS", "lump sum: Set up", "SUM OF THE WORKS", "contingency, 5 % of the works",
		"PROVISIONAL", "provisional items", "TOTAL BEFORE TAX", "without provisional items", "Taxes are not in it", "NEITHER IS WHAT HAS NO RATE",
		"WARNINGS", "HOW THE FIGURES CAME ABOUT", "half away from zero", "MEASURED BESIDES", "NOTES", "prices nothing", "CAUTIONS", "not an offer"} {
		i := strings.Index(s[last:], words)
		require.GreaterOrEqual(t, i, 0, words)
		last += i
	}
}

// A bill that has all its rates says nothing of what has none, and one without
// contingency nothing of that.
func TestBillWithoutRest(t *testing.T) {
	rates := strings.Replace(strings.Replace(invented, "contingency,5\n", "", 1), "currency,XTS", "currency,JPY\namounts,half_even\nquantities,is1200", 1) +
		"Rest,Trim,trim_area,AREA,0,,,,,\nRest,Make up,fill,VOL compacted,0,,,,,\nRest,Blinding,layer.blinding.area,AREA,0,,,,,\n"
	p := priced(t, structure(t, tin.Metre), rates)
	assert.Empty(t, p.Bill.NotPriced)
	s := billText(t, p)
	for _, words := range []string{"NOT PRICED", "contingency", "NEITHER"} {
		assert.NotContains(t, s, words)
	}
	assert.Contains(t, s, "half to the even one")
	assert.Contains(t, s, "IS 1200")
	assert.Regexp(t, `(?m)^      total +\d+$|with provisional items +\d+$`, s)
}

// What has a rate for a part of it says so at the top: 0.3 of 621.0 m2 at 0.75.
func TestBillPricedInPart(t *testing.T) {
	s := billText(t, priced(t, structure(t, tin.Metre), invented+"Earthworks,Trim sand,trim_area,AREA,0.75,,,,0.3,test pits\n"))
	assert.Regexp(t, `(?m)^  formation to trim and roll +621\.0 +m2 +in part\n      0\.3 of it has a rate, the rest is in no total$`, s)
	assert.Regexp(t, `Trim sand +186\.3 +m2 +0\.75 +139\.73`, s) // 139.725, half away from zero
}

// A text that a spreadsheet would run is made harmless, and so is what moves a cursor.
func TestBillCSVIsHarmless(t *testing.T) {
	p := priced(t, structure(t, tin.Metre), "currency,XTS\nitem,quantity,unit,rate,group,kind\n"+
		"=1+1,cut,m3 bank,1,@SUM(A1),\n+1,cut,m3 bank,1,-1,\n\"-1, and\x1b[2J\",cut,m3 bank,1,,\n\"a \"\"b\"\"\",cut,m3 bank,1,,\n\"\t=1\",cut,m3 bank,1,,\n")
	var b bytes.Buffer
	require.NoError(t, report.BillCSV(&b, p))
	rows, err := csv.NewReader(&b).ReadAll()
	require.NoError(t, err)
	var items []string
	for _, row := range rows {
		assert.Len(t, row, 15)
		for _, cell := range row {
			assert.NotContains(t, "=+-@\t\r", cell[:min(1, len(cell))]+"|")
			assert.NotContains(t, cell, "\x1b")
		}
		if row[2] != "" && row[1] == "measured" {
			items = append(items, row[2])
		}
	}
	assert.Equal(t, []string{"'=1+1", "'+1", "'-1, and [2J", `a "b"`, "'=1"}, items)
}

func TestBillJSONKeys(t *testing.T) {
	var b bytes.Buffer
	require.NoError(t, report.BillJSON(&b, priced(t, structure(t, tin.Metre), invented)))
	var got map[string]any
	require.NoError(t, json.Unmarshal(b.Bytes(), &got))
	for _, key := range []string{"schema", "program", "units", "inputs", "rates", "quantities", "bill", "notes", "warnings", "not_measured"} {
		assert.Contains(t, got, key)
	}
	assert.NotContains(t, b.String(), "null")
}

type noDisk struct{}

func (noDisk) Write([]byte) (int, error) { return 0, errors.New("disk full") }

func TestBillOnAFullDisk(t *testing.T) {
	p := priced(t, structure(t, tin.Metre), invented)
	assert.Error(t, report.Bill(noDisk{}, p))
	assert.Error(t, report.BillCSV(noDisk{}, p))
	assert.Error(t, report.BillJSON(noDisk{}, p))
}

// How sure the total is: of that without provisional items where there are any.
func TestBillSaysHowSure(t *testing.T) {
	p := priced(t, structure(t, tin.Metre), invented)
	firm, total := 12345.4, 99999.0
	p.Uncertainty = &takeoff.PriceUncertainty{Coverage: 0.95, Factor: 1.96, Firm: &firm, Total: &total, Parts: []takeoff.UncertaintyPart{{Kind: uncertainty.BetweenSpots}}}
	s := strings.Join(strings.Fields(billText(t, p)), " ")
	assert.Contains(t, s, "The total without provisional items is sure to +/- 123.45 XTS (95 %, ground between spots only)")
	p.Bill.Provisional = nil
	assert.Contains(t, strings.Join(strings.Fields(billText(t, p)), " "), "The total is sure to +/- 999.99 XTS")
}

package takeoff

import (
	"context"
	"fmt"
	"math"
	"strconv"
	"strings"

	"barrow/tin"
	"barrow/volume/takeoff/internal/tomltree"
)

// LoadClaim reads a claim from a TOML file with the keys units, cut, fill, measure,
// factor, fill_factor, load, basis and topsoil. Errors are as those of [Load].
func LoadClaim(ctx context.Context, f DataFile, limits Limits) (*Claim, error) {
	l := newLoader(ctx, f.FS, f.Name, newBudget(limits))
	root := l.tomlFile("the claim's file", "it needs a few keys only")
	if l.err != nil {
		return nil, l.err
	}
	c := &Claim{Name: f.Name}
	l.checkKeys(root, "claim")
	c.Units = l.word(root.Get("units"), "m3", "yd3")
	c.Cut, c.CutRounding = l.claimed(root.Get("cut"))
	c.Fill, c.FillRounding = l.claimed(root.Get("fill"))
	c.Measure = l.word(root.Get("measure"), MeasureBank, MeasureLoose, MeasureCompacted, MeasureLoads)
	c.Factor = l.positive(root.Get("factor"), "factor = 1.25")
	c.FillFactor = l.positive(root.Get("fill_factor"), "fill_factor = 1.4")
	c.Load = l.positive(root.Get("load"), "load = 8.0")
	c.Basis = l.word(root.Get("basis"), "as-dug", "net-void")
	c.TopsoilIn = l.word(root.Get("topsoil"), "out", "in") == "in"
	if l.err == nil {
		l.err = l.inClaim(root, c.check())
	}
	if l.err != nil {
		return nil, l.err
	}
	c.Inputs = l.job.Inputs
	return c, nil
}

// inClaim puts an error of a claim at its key in the file.
func (l *loader) inClaim(root *tomltree.Node, err error) error {
	e := asInputError(err)
	if e == nil {
		return err
	}
	placed := *e
	placed.File, placed.Key = l.name, strings.TrimPrefix(e.Key, "claim.")
	if n := root.Get(placed.Key); n != nil {
		placed.Line, placed.Column = n.Line, n.Column
	}
	return &placed
}

// positive reads a number above 0, since 0 stands for none.
func (l *loader) positive(n *tomltree.Node, example string) float64 {
	x := l.number(n, example)
	if l.err == nil && n != nil && !(x > 0) {
		l.fail(n, codeBadValue, formatNumber(x)+" is not above 0", "write it like "+example)
	}
	return x
}

// claimed reads a volume, and half a unit of its last decimal.
func (l *loader) claimed(n *tomltree.Node) (volume *float64, rounding float64) {
	if n == nil {
		return nil, 0
	}
	v := l.number(n, "cut = 1234.5")
	return &v, roundingOf(n.Text)
}

// roundingOf returns half a unit of the last decimal of a number as written, 0 of one
// with an exponent.
func roundingOf(text string) float64 {
	if strings.ContainsAny(text, "eE") {
		return 0
	}
	_, decimals, _ := strings.Cut(strings.ReplaceAll(text, "_", ""), ".")
	return 0.5 * math.Pow10(-len(decimals))
}

// ParseClaim reads the volumes of a claim from a text such as "cut=1234.5,fill=200".
// An error has the key "claim".
func ParseClaim(text string) (*Claim, error) {
	c := &Claim{}
	for part := range strings.SplitSeq(text, ",") {
		name, number, _ := strings.Cut(part, "=")
		v, err := strconv.ParseFloat(strings.TrimSpace(number), 64)
		name = strings.TrimSpace(name)
		to, rounding := &c.Cut, &c.CutRounding
		if name == "fill" {
			to, rounding = &c.Fill, &c.FillRounding
		}
		switch {
		case name != "cut" && name != "fill":
			return nil, claimText(fmt.Sprintf("%q is neither cut nor fill", part))
		case err != nil || !finite(v):
			return nil, claimText(fmt.Sprintf("%q has no number", part))
		case *to != nil:
			return nil, claimText(fmt.Sprintf("%s is there twice", name))
		}
		*to, *rounding = &v, roundingOf(number)
	}
	return c, nil
}

func claimText(message string) error {
	return &tin.InputError{Code: codeBadValue, Key: "claim", Message: message, Hint: `write it like "cut=1234.5,fill=200"`}
}

// LoadShots reads check shots from a file of a survey, and has them in the unit given. Errors
// are as those of [Load]; their keys begin with "check_shots".
func LoadShots(ctx context.Context, f DataFile, unit tin.Unit, limits Limits) (*Shots, error) {
	l := newLoader(ctx, f.FS, f.Name, newBudget(limits))
	l.job.Units = unit
	s := l.surveyPoints(f.named(l), false)
	if l.err != nil {
		return nil, under("check_shots", l.err)
	}
	return &Shots{Name: f.Name, Points: s.points, Inputs: l.job.Inputs, Notes: l.job.Notes, Warnings: l.job.Warnings}, nil
}

// ParseMark reads a mark from a text such as "62.500=10.134", its level in the plans and
// as measured, each a length as in [ParseLength]. An error has no key.
func ParseMark(text string, in tin.Unit) (m Mark, err error) {
	plan, measured, ok := strings.Cut(text, "=")
	if ok {
		if m.Plan, _, err = ParseLength(plan, in); err == nil {
			m.Measured, _, err = ParseLength(measured, in)
		}
	}
	if !ok || err != nil {
		return Mark{}, &tin.InputError{Code: codeBadValue, Message: fmt.Sprintf("%q is not PLAN=MEASURED", text), Hint: "write it like 62.500=10.134", Err: err}
	}
	return m, nil
}

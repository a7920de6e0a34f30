package main

import (
	"bytes"
	"context"
	"errors"
	"flag"
	"fmt"
	"maps"
	"math/big"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"barrow/tin"
	"barrow/volume/price"
	"barrow/volume/report"
	"barrow/volume/takeoff"
)

type balanceOptions struct {
	out, factor, notBelow, notAbove, step, cost, rates string
	bill                                               bool
	pads                                               padNames
}

// padNames are the values of a flag that may be given more than once.
type padNames []string

func (p *padNames) String() string        { return strings.Join(*p, ", ") }
func (p *padNames) Set(name string) error { *p = append(*p, name); return nil }

func (o *balanceOptions) flags(c *console) *flag.FlagSet {
	set := flags("balance")
	set.BoolVar(&c.json, "json", c.json, "")
	set.StringVar(&o.out, "out", "", "")
	set.StringVar(&o.factor, "compacted-per-bank", "", "")
	set.StringVar(&o.notBelow, "not-below", "", "")
	set.StringVar(&o.notAbove, "not-above", "", "")
	set.StringVar(&o.step, "step", "", "")
	set.StringVar(&o.cost, "cost", "", "")
	set.StringVar(&o.rates, "rates", "", "")
	set.BoolVar(&o.bill, "bill", false, "")
	set.Var(&o.pads, "pad", "")
	return set
}

// balanceCommand finds the level at which a job's cut and fill balance.
func balanceCommand(ctx context.Context, c *console, args []string) (warnings bool, err error) {
	var o balanceOptions
	files, err := c.parse(o.flags(c), args)
	if err != nil {
		return false, err
	}
	if len(files) != 1 {
		return false, notOneJob("balance", len(files))
	}
	l, err := c.loadJob(ctx, files[0])
	if err != nil {
		return false, err
	}
	opts, err := o.read(l.job.Units)
	if err != nil {
		return false, err
	}
	if opts.Bill, err = o.billRates(ctx, l); err != nil {
		return false, err
	}
	show, wipe := c.progress()
	opts.Progress = show
	result, err := takeoff.Balance(ctx, l.job, opts)
	wipe()
	if err != nil {
		return false, balanceFlag(l.inRates(err))
	}
	return len(result.Warnings) > 0, c.writeBalance(result, l.inputs, o.out)
}

// read turns flags into options.
func (o *balanceOptions) read(unit tin.Unit) (opts takeoff.BalanceOptions, err error) {
	opts.Pads = o.pads
	if opts.Step, err = lengthFlag("--step", o.step, unit); err != nil {
		return opts, err
	}
	if opts.NotBelow, err = levelFlag("--not-below", o.notBelow, unit); err != nil {
		return opts, err
	}
	if opts.NotAbove, err = levelFlag("--not-above", o.notAbove, unit); err != nil {
		return opts, err
	}
	if o.factor != "" {
		if opts.CompactedPerBank, err = strconv.ParseFloat(o.factor, 64); err != nil || opts.CompactedPerBank == 0 {
			return opts, &tin.InputError{Code: "bad_value", Key: "--compacted-per-bank", Message: quote(o.factor) + " is not a factor above 0", Hint: "write it like 0.9", Err: err}
		}
	}
	if o.cost != "" {
		rates, err := earthRates(o.cost)
		if err != nil {
			return opts, err
		}
		opts.Rates = &rates
	}
	return opts, nil
}

// billRates returns the rates that levels are billed by: of the file that is named, or
// with --bill those of the job; nil where no bill is asked for, which takes longer.
func (o *balanceOptions) billRates(ctx context.Context, l *loadedJob) (*price.Rates, error) {
	switch {
	case o.rates == "" && !o.bill:
		return nil, nil
	case o.cost != "":
		return nil, usageError("--bill and --rates do not go with --cost", "give one of them")
	case o.rates != "":
		if err := l.takeRates(ctx, o.rates); err != nil {
			return nil, err
		}
	case l.job.Rates == nil:
		return nil, usageError("--bill, and the job names no rates", "give --rates FILE, or rates = \"rates.csv\" in the job")
	}
	return l.job.Rates, nil
}

// levelFlag reads a level in the job's unit, nil where none is given.
func levelFlag(flag, text string, unit tin.Unit) (*float64, error) {
	if text == "" {
		return nil, nil
	}
	level, _, err := takeoff.ParseLength(text, unit)
	if err != nil {
		return nil, &tin.InputError{Code: "bad_value", Key: flag, Message: quote(text) + " is not a level", Hint: `write it like 63.150 or "207.2 ft"`, Err: err}
	}
	return &level, nil
}

// plainRate is a rate with no more before the point than money ever has.
var plainRate = regexp.MustCompile(`^[0-9]{1,9}(\.[0-9]{1,4})?$`)

// earthRates reads rates such as currency=XTS,cut=8.50,fill=6.
func earthRates(text string) (rates takeoff.EarthRates, err error) {
	to := map[string]*int64{"cut": &rates.Cut, "fill": &rates.Fill, "spoil": &rates.Spoil, "import": &rates.Import}
	given := map[string]string{}
	for _, part := range strings.Split(text, ",") {
		name, value, _ := strings.Cut(part, "=")
		name = strings.TrimSpace(name)
		if _, twice := given[name]; twice {
			return rates, wrongCost(quote(name) + " is given twice")
		}
		if to[name] == nil && name != "currency" {
			return rates, wrongCost("there is no rate " + quote(name))
		}
		given[name] = strings.TrimSpace(value)
	}
	digits := int32(2)
	if code, ok := given["currency"]; ok {
		c, err := price.ParseCurrency(code)
		if err != nil {
			return rates, wrongCost(quote(code) + " is no currency code of ISO 4217 with a minor unit")
		}
		rates.Currency, digits = &c, c.Digits
		delete(given, "currency")
	}
	for _, name := range slices.Sorted(maps.Keys(given)) {
		if *to[name], err = minorRate(given[name], digits); err != nil {
			return rates, err
		}
	}
	return rates, nil
}

// minorRate reads a rate in minor units, of which a unit of money has so many digits.
func minorRate(text string, digits int32) (int64, error) {
	if !plainRate.MatchString(text) {
		return 0, wrongCost(quote(text) + " is not a rate")
	}
	rate, _ := new(big.Rat).SetString(text)
	scale := new(big.Int).Exp(big.NewInt(10), big.NewInt(int64(digits)), nil)
	if rate.Mul(rate, new(big.Rat).SetInt(scale)); !rate.IsInt() {
		return 0, wrongCost(fmt.Sprintf("%s is not a rate: it has more than %d decimals", quote(text), digits))
	}
	return rate.Num().Int64(), nil
}

func wrongCost(message string) error {
	return &tin.InputError{Code: "bad_value", Key: "--cost", Message: message,
		Hint: "write it like currency=XTS,cut=8.50,fill=6,spoil=22,import=30; without a currency two decimals at most"}
}

// balanceFlag puts an error's place into flags.
func balanceFlag(err error) error {
	e, ok := errors.AsType[*tin.InputError](err)
	if !ok || e.File != "" {
		return err
	}
	out := *e
	switch e.Key {
	case "pads":
		out.Key = "--pad"
	case "step", "not_below", "not_above", "compacted_per_bank", "cost":
		out.Key = "--" + strings.ReplaceAll(e.Key, "_", "-")
	}
	return &out
}

func (c *console) writeBalance(result *takeoff.BalanceResult, inputs []string, out string) error {
	var text, object, curve bytes.Buffer
	if err := report.Balance(&text, result); err != nil {
		return err
	}
	if err := report.BalanceJSON(&object, result); err != nil {
		return err
	}
	if err := report.BalanceSVG(&curve, result); err != nil {
		return err
	}
	return c.answer(&text, &object, "balance", inputs, out, outFile{"balance.svg", curve.Bytes()})
}

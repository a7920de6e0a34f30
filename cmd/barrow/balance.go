package main

import (
	"bytes"
	"context"
	"errors"
	"flag"
	"fmt"
	"math/big"
	"regexp"
	"strconv"
	"strings"

	"barrow/tin"
	"barrow/volume/price"
	"barrow/volume/report"
	"barrow/volume/takeoff"
)

type balanceOptions struct {
	out, factor, notBelow, notAbove, step, cost, rates string
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
		return false, usageError(fmt.Sprintf("%d job files given, wanted one", len(files)), "run \"barrow balance JOB.toml\", or \"barrow demo\" for one to try")
	}
	l, err := loadJob(ctx, files[0])
	if err != nil {
		return false, err
	}
	opts, err := o.read(l.job.Units)
	if err != nil {
		return false, err
	}
	if opts.Bill, err = o.bill(ctx, l); err != nil {
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
		if opts.CompactedPerBank, err = strconv.ParseFloat(o.factor, 64); err != nil || !(opts.CompactedPerBank > 0) {
			return opts, &tin.InputError{Code: "bad_value", Key: "--compacted-per-bank", Message: quote(o.factor) + " is not a factor above 0", Hint: "write it like 0.9", Err: err}
		}
	}
	if o.cost != "" && o.cost != byBill {
		rates, err := earthRates(o.cost)
		if err != nil {
			return opts, err
		}
		opts.Rates = &rates
	}
	return opts, nil
}

// byBill is the cost by a rates file.
const byBill = "bill"

// bill returns the rates of the file that is named, or with --cost bill those of the
// job; nil where none are asked for.
func (o *balanceOptions) bill(ctx context.Context, l *loadedJob) (*price.Rates, error) {
	switch {
	case o.rates == "" && o.cost != byBill:
		return nil, nil
	case o.rates == "" && l.job.Rates == nil:
		return nil, usageError("the job names no rates", "give --rates FILE, or write rates = \"rates.csv\" into the job")
	case o.cost != "" && o.cost != byBill:
		return nil, usageError("--rates does not go with the rates of --cost", "give one of the two")
	case o.rates != "":
		if err := l.takeRates(ctx, o.rates); err != nil {
			return nil, err
		}
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

// plainRate is a rate with two decimals at most, and no more than money ever is.
var plainRate = regexp.MustCompile(`^[0-9]{1,9}(\.[0-9]{1,2})?$`)

// earthRates reads rates such as cut=8.50,fill=6.
func earthRates(text string) (rates takeoff.EarthRates, err error) {
	to := map[string]*int64{"cut": &rates.Cut, "fill": &rates.Fill, "spoil": &rates.Spoil, "import": &rates.Import}
	wrong := func(message string) error {
		return &tin.InputError{Code: "bad_value", Key: "--cost", Message: message, Hint: "write it like cut=8.50,fill=6,spoil=22,import=30, two decimals at most; or bill"}
	}
	for _, part := range strings.Split(text, ",") {
		name, number, _ := strings.Cut(part, "=")
		name, number = strings.TrimSpace(name), strings.TrimSpace(number)
		at, ok := to[name]
		switch {
		case !ok:
			return rates, wrong(fmt.Sprintf("there is no rate %s, or it is given twice", quote(name)))
		case !plainRate.MatchString(number):
			return rates, wrong(quote(number) + " is not a rate")
		}
		minor, _ := new(big.Rat).SetString(number)
		*at = minor.Mul(minor, big.NewRat(100, 1)).Num().Int64()
		delete(to, name)
	}
	return rates, nil
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

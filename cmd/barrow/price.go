package main

import (
	"bytes"
	"context"
	"errors"
	"path/filepath"

	"barrow/tin"
	"barrow/volume/report"
	"barrow/volume/takeoff"
)

// priceCommand prices the quantities of a job file.
func priceCommand(ctx context.Context, c *console, args []string) (warnings bool, err error) {
	var out, rates string
	set := flags("price")
	set.BoolVar(&c.json, "json", c.json, "")
	set.StringVar(&out, "out", "", "")
	set.StringVar(&rates, "rates", "", "")
	files, err := c.parse(set, args)
	if err != nil {
		return false, err
	}
	if len(files) != 1 {
		return false, notOneJob("price", len(files))
	}
	l, err := c.loadJob(ctx, files[0])
	if err != nil {
		return false, err
	}
	switch {
	case rates == "" && l.job.Rates == nil:
		return false, usageError("the job names no rates", "give --rates FILE, or write rates = \"rates.csv\" into the job")
	case rates != "":
		if err := l.takeRates(ctx, rates); err != nil {
			return false, err
		}
	}
	show, wipe := c.progress()
	result, err := takeoff.Price(ctx, l.job, takeoff.Options{Progress: show})
	wipe()
	if err != nil {
		return false, l.inRates(err)
	}
	return len(result.Warnings) > 0, c.writeBill(result, l.inputs, out)
}

// takeRates puts the rates of a file into the job, in place of its own.
func (l *loadedJob) takeRates(ctx context.Context, path string) error {
	if err := checkFile(path, "a rates file"); err != nil {
		return err
	}
	rates, err := takeoff.LoadRates(ctx, fileArg(path), takeoff.Limits{})
	if err != nil {
		return inFolder(err, filepath.Dir(path))
	}
	rates.Name = path
	l.job.Rates, l.rates = rates, path
	l.inputs = append(l.inputs, path)
	return nil
}

// inRates has an error name its file as the user would.
func (l *loadedJob) inRates(err error) error {
	if e, ok := errors.AsType[*tin.InputError](err); ok && l.rates != "" && e.File == l.rates {
		return err
	}
	return l.translate(err)
}

func (c *console) writeBill(result *takeoff.PricedResult, inputs []string, out string) error {
	var text, object, table bytes.Buffer
	if err := report.Bill(&text, result); err != nil {
		return err
	}
	if err := report.BillJSON(&object, result); err != nil {
		return err
	}
	if err := report.BillCSV(&table, result); err != nil {
		return err
	}
	return c.answer(&text, &object, "bill", inputs, out, outFile{"bill.csv", table.Bytes()})
}

package main

import (
	"bytes"
	"context"
	"flag"
	"fmt"
	"strconv"

	"barrow/tin"
	"barrow/volume/report"
	"barrow/volume/takeoff"
)

type gridOptions struct {
	out, units, spacing, across, bearing, formation, topsoil, rule, split string
}

func (o *gridOptions) flags(c *console) *flag.FlagSet {
	set := flags("grid")
	set.BoolVar(&c.json, "json", c.json, "")
	for name, to := range map[string]*string{
		"out": &o.out, "units": &o.units, "spacing": &o.spacing, "across": &o.across, "bearing": &o.bearing,
		"formation": &o.formation, "topsoil": &o.topsoil, "rule": &o.rule, "split": &o.split,
	} {
		set.StringVar(to, name, "", "")
	}
	return set
}

// gridCommand measures a file of corner levels or depths.
func gridCommand(ctx context.Context, c *console, args []string) (warnings bool, err error) {
	var o gridOptions
	files, err := c.parse(o.flags(c), args)
	if err != nil {
		return false, err
	}
	if len(files) != 1 {
		return false, usageError(fmt.Sprintf("%d files given, wanted one", len(files)), "run \"barrow grid CORNERS.csv --units m --spacing 10\"")
	}
	path := files[0]
	opts, err := o.corners()
	if err != nil {
		return false, err
	}
	if err := checkFile(path, "a file of corners"); err != nil {
		return false, err
	}
	result, err := takeoff.MeasureCorners(ctx, fileArg(path), opts, takeoff.Limits{})
	if err != nil {
		err = ofPath(path, err)
		for _, key := range [...]string{"spacing", "across", "bearing", "formation", "topsoil", "rule", "split"} {
			err = ofFlag(key, "--"+key, err)
		}
		return false, err
	}
	result.Name, result.Inputs[0].Path = path, path
	var text, object bytes.Buffer
	if err := report.Corners(&text, result); err != nil {
		return false, err
	}
	if err := report.CornersJSON(&object, result); err != nil {
		return false, err
	}
	return len(result.Warnings) > 0, c.answer(&text, &object, "grid", []string{path}, o.out)
}

// corners reads the flags.
func (o *gridOptions) corners() (opts takeoff.CornersOptions, err error) {
	if opts.Unit, err = unitFlag(o.units); err != nil {
		return opts, err
	}
	if o.spacing == "" {
		return opts, usageError("the side of the cells is missing", "give it with --spacing LENGTH")
	}
	for _, l := range []struct {
		flag, text string
		to         *float64
	}{{"--spacing", o.spacing, &opts.Spacing}, {"--across", o.across, &opts.Across}, {"--topsoil", o.topsoil, &opts.Topsoil}} {
		if *l.to, err = lengthFlag(l.flag, l.text, opts.Unit); err != nil {
			return opts, err
		}
	}
	if o.formation != "" {
		level, _, err := takeoff.ParseLength(o.formation, opts.Unit)
		if err != nil {
			return opts, &tin.InputError{Code: "bad_value", Key: "--formation", Message: quote(o.formation) + " is not a level", Hint: "write it like 20.50", Err: err}
		}
		opts.Formation = &level
	}
	if o.bearing != "" {
		if opts.Bearing, err = strconv.ParseFloat(o.bearing, 64); err != nil {
			return opts, &tin.InputError{Code: "bad_value", Key: "--bearing", Message: quote(o.bearing) + " is not a bearing", Hint: "give degrees from north clockwise", Err: err}
		}
	}
	opts.Rule, opts.Split = o.rule, o.split
	return opts, nil
}

// unitFlag reads --units, which has no default.
func unitFlag(name string) (tin.Unit, error) {
	if name == "" {
		return 0, usageError("the unit of the file is missing", "give it with --units m, ft or ftUS: there is no default")
	}
	unit, err := tin.ParseUnit(name)
	if err != nil {
		return 0, &tin.InputError{Code: "bad_value", Key: "--units", Message: "unknown unit " + quote(name), Hint: "use m, ft (0.3048 m) or ftUS (1200/3937 m)", Err: err}
	}
	return unit, nil
}

package main

import (
	"bytes"
	"context"
	"errors"
	"flag"
	"fmt"
	"os"
	"strings"

	"barrow/tin"
	"barrow/tin/setout"
	"barrow/volume/report"
	"barrow/volume/takeoff"
)

type levelbookOptions struct {
	out, units, perKilometre, perMile, perSetUp, staff, formation, twoPeg string

	unit tin.Unit
}

func (o *levelbookOptions) flags(c *console) *flag.FlagSet {
	set := flags("levelbook")
	set.BoolVar(&c.json, "json", c.json, "")
	set.StringVar(&o.out, "out", "", "")
	set.StringVar(&o.units, "units", "", "")
	set.StringVar(&o.perKilometre, "allow-per-root-km", "", "")
	set.StringVar(&o.perMile, "allow-per-root-mile", "", "")
	set.StringVar(&o.perSetUp, "allow-per-root-setup", "", "")
	set.StringVar(&o.staff, "staff", "", "")
	set.StringVar(&o.formation, "formation", "", "")
	set.StringVar(&o.twoPeg, "two-peg", "", "")
	return set
}

// levelbookCommand reduces a level book, or a two-peg test.
func levelbookCommand(ctx context.Context, c *console, args []string) (warnings bool, err error) {
	var o levelbookOptions
	files, err := c.parse(o.flags(c), args)
	if err != nil {
		return false, err
	}
	if o.units == "" {
		return false, usageError("the unit of the book is not stated", "add --units m, ft or ftUS")
	}
	if o.unit, err = tin.ParseUnit(o.units); err != nil {
		return false, &tin.InputError{Code: "bad_value", Key: "--units", Message: "unknown unit " + quote(o.units), Hint: "use m, ft or ftUS"}
	}
	if o.twoPeg != "" {
		return false, o.pegTest(c, files)
	}
	if len(files) != 1 {
		return false, usageError(fmt.Sprintf("%d files given, wanted one", len(files)), "run \"barrow levelbook BOOK.csv --units m\", or - for stdin")
	}
	opts, err := o.book()
	if err != nil {
		return false, err
	}
	book, err := c.readBook(ctx, files[0], o.unit)
	if err != nil {
		return false, err
	}
	r, err := book.Reduce(opts)
	if err != nil {
		return false, err
	}
	return len(r.Warnings) > 0, c.writeLevelbook(r, files, o.out)
}

// book turns the flags into what a book is held against.
func (o *levelbookOptions) book() (opts setout.BookOptions, err error) {
	for _, f := range []struct {
		name, text string
		to         func(setout.Decimal)
	}{
		{"staff", o.staff, func(d setout.Decimal) { opts.Staff = setout.Given(d) }},
		{"formation", o.formation, func(d setout.Decimal) { opts.Formation = setout.Given(d) }},
		{"allow-per-root-km", o.perKilometre, func(d setout.Decimal) { opts.Allowance = setout.Allowance{Constant: d, Per: setout.PerKilometre} }},
		{"allow-per-root-mile", o.perMile, func(d setout.Decimal) { opts.Allowance = setout.Allowance{Constant: d, Per: setout.PerMile} }},
		{"allow-per-root-setup", o.perSetUp, func(d setout.Decimal) { opts.Allowance = setout.Allowance{Constant: d, Per: setout.PerSetUp} }},
	} {
		if f.text == "" {
			continue
		}
		before := opts.Allowance.Per
		d, err := o.length(f.name, f.text)
		if err != nil {
			return opts, err
		}
		if f.to(d); before != setout.NotStated && before != opts.Allowance.Per {
			return opts, usageError("two allowances are stated", "give one of --allow-per-root-km, --allow-per-root-mile, --allow-per-root-setup")
		}
	}
	return opts, nil
}

// length reads a length of a flag into the unit of the book.
func (o *levelbookOptions) length(name, text string) (setout.Decimal, error) {
	length, _, err := takeoff.ParseLength(text, o.unit)
	if err == nil {
		var d setout.Decimal
		if d, err = setout.DecimalOf(length); err == nil {
			return d, nil
		}
	}
	return 0, &tin.InputError{Code: "bad_value", Key: "--" + name, Message: quote(text) + " is not a length that can be used",
		Hint: "write it like 12mm, 0.05ft, or as a number in the unit of the book", Err: err}
}

func (c *console) readBook(ctx context.Context, name string, unit tin.Unit) (*setout.Book, error) {
	if name == "-" {
		return setout.ReadBook(readUntil(ctx, c.stdin), "stdin", unit)
	}
	if err := checkFile(name, "a level book"); err != nil {
		return nil, err
	}
	file, err := os.Open(name)
	if err != nil {
		return nil, unreadable(name, err)
	}
	defer file.Close()
	return setout.ReadBook(file, name, unit)
}

// writeLevelbook answers with the sheet or the object, and writes both, and the points of
// a book that is sound, into a folder.
func (c *console) writeLevelbook(r *setout.Reduction, inputs []string, out string) error {
	var text, object, points bytes.Buffer
	if err := errors.Join(report.LevelBook(&text, r), report.LevelBookJSON(&object, r)); err != nil {
		return err
	}
	var more []outFile
	if list, _ := r.Points(); out != "" && r.Sound() && len(list) > 0 {
		if err := report.PointsCSV(&points, list); err != nil {
			return err
		}
		more = append(more, outFile{"points.csv", points.Bytes()})
	}
	return c.answer(&text, &object, "levelbook", inputs, out, more...)
}

// pegTest reads --two-peg and answers with its result.
func (o *levelbookOptions) pegTest(c *console, files []string) error {
	if len(files) > 0 || o.perKilometre+o.perMile+o.perSetUp+o.staff+o.formation != "" {
		return usageError("a two-peg test goes without a book and what it is held against", "run it apart")
	}
	test, err := o.pegSights()
	if err != nil {
		return err
	}
	r, err := setout.TwoPeg(test)
	if err != nil {
		return err
	}
	var text, object bytes.Buffer
	if err := errors.Join(report.TwoPeg(&text, test, r, o.unit), report.TwoPegJSON(&object, test, r, o.unit)); err != nil {
		return err
	}
	return c.answer(&text, &object, "two-peg", nil, o.out)
}

// pegSights reads four sights, reading@distance.
func (o *levelbookOptions) pegSights() (test setout.PegTest, err error) {
	bad := &tin.InputError{Code: "bad_value", Key: "--two-peg", Message: quote(o.twoPeg) + " are not four sights",
		Hint: "write READING@DISTANCE four times with commas between: to A and B from midway, then to A and B from near one of them"}
	sights := strings.Split(o.twoPeg, ",")
	to := []*setout.PegSight{&test.A1, &test.B1, &test.A2, &test.B2}
	if len(sights) != len(to) {
		return test, bad
	}
	for i, s := range sights {
		reading, distance, _ := strings.Cut(strings.TrimSpace(s), "@")
		if to[i].Reading, _, err = setout.ParseDecimal(reading); err != nil {
			return test, bad
		}
		if to[i].Distance, _, err = setout.ParseDecimal(distance); err != nil {
			return test, bad
		}
	}
	return test, nil
}

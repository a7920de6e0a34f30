package geotiff

import (
	"context"
	"errors"
	"fmt"
	"io"

	"barrow/tin"
	"barrow/tin/internal/limited"
	"barrow/tin/raster"
)

// Read reads an elevation raster. The name is used in messages only. Bad content
// is a [*tin.InputError] that names the tag or the block. The file is read whole;
// besides it and the levels no more than a row of a block is held. A cancelled
// context ends the reading with its error.
func Read(ctx context.Context, r io.Reader, name string, opts raster.Options) (*raster.Grid, error) {
	data, err := readAll(ctx, r, name, opts.MaxBytes)
	if err != nil {
		return nil, err
	}
	f, err := open(name, data)
	if err != nil {
		return nil, err
	}
	g := &raster.Grid{Name: name}
	if err := f.read(ctx, g, opts); err != nil {
		return nil, err
	}
	return g, nil
}

// read fills the grid from the first image of the file.
func (f *file) read(ctx context.Context, g *raster.Grid, opts raster.Options) error {
	d, notes, err := f.image()
	if err != nil {
		return err
	}
	g.Notes = notes
	l, err := d.layout()
	if err != nil {
		return err
	}
	if l.bands > 1 {
		g.Notes = append(g.Notes, tin.Problem{Code: "several_bands", Message: fmt.Sprintf("the first of %d bands was read", l.bands)})
	}
	if err := opts.Fits(f.name, int64(l.columns), int64(l.rows)); err != nil {
		return err
	}
	if err := d.checkEmpty(l); err != nil {
		return err
	}
	place, err := d.place(l, g)
	if err != nil {
		return err
	}
	values, err := d.values(&l.samples, g)
	if err != nil {
		return err
	}
	g.Columns, g.Rows = l.columns, l.rows
	g.Levels, err = d.decode(ctx, l, opts.Progress)
	if err != nil {
		return err
	}
	if !place.southUp {
		g.TurnRows()
	}
	values.dropNoData(g.Levels)
	g.DropMarks()
	values.toLevels(g.Levels)
	if err := f.stopped(ctx); err != nil {
		return err
	}
	return g.Check(opts)
}

// readAll reads r to its end, within a number of bytes.
func readAll(ctx context.Context, r io.Reader, name string, most int64) ([]byte, error) {
	data, err := io.ReadAll(limited.NewReader(ctx, r, most))
	switch {
	case errors.Is(err, limited.ErrTooLong):
		return nil, &tin.InputError{
			Code: "too_many_bytes", File: name,
			Message: fmt.Sprintf("the file is longer than %d bytes, the most allowed", most),
			Hint:    "cut the site out of it, or take a coarser grid",
		}
	case err != nil:
		return nil, fmt.Errorf("geotiff: %s: %w", name, err)
	}
	return data, nil
}

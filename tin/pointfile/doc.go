// Package pointfile reads survey points from delimited text files, and writes
// a small strict form of them.
//
// [Read] takes files as they come from the field: with or without a header;
// separated by commas, semicolons, tabs or blanks; with a decimal point or a
// decimal comma; any line end; a byte order mark; comments (#, //, and ; where
// that is not the separator); blank lines. What it assumed or left out comes
// back counted in [File.Notes]; what could mean two things is a
// [tin.InputError] that says how to state it.
//
// The order of columns is never guessed. It is read from the header, or stated
// in [Options.Columns]:
//
//	f, err := pointfile.Read(ctx, r, "ground.csv", pointfile.Options{
//		Columns: "number, easting, northing, level, code",
//	})
//
// Coordinates and levels stay in the unit of the file. A point without a level
// (an empty field, NaN, -999, -9999, asterisks) is a plan-only point: its level
// is NaN, never 0.
//
// Start with [Read]. [Describe] says what a file holds: extent, spacing, codes,
// points at one place, and spots that look wrong. [Swapped] tells a caller who
// has an outline that easting and northing have changed places. [Write] writes
// what Read reads back to the same bits.
//
// The package converts no units, knows no geographic coordinates, makes no
// lines out of codes, and builds no surface: see package tin.
package pointfile

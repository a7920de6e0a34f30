// Package las reads the ground points of a LAS file, and writes points as LAS:
// the open exchange format of the American Society for Photogrammetry and
// Remote Sensing for points scanned from the air or the ground.
//
// [Read] takes versions 1.2 to 1.4 and point formats 0 to 10 from a stream,
// without going back in it. By default it keeps what is classed as ground, and
// nothing else: a file without any is an error that lists the classes it holds.
// With [Thinning] one point of each square cell is kept while the file is read,
// so that memory follows the cells and not the points:
//
//	f, err := las.Read(ctx, r, "site.las", las.Options{
//		Thin: &las.Thinning{Cell: 0.5, Keep: las.KeepNearest},
//	})
//
// A coordinate is a whole number times a scale plus an offset. Where scale and
// offset are decimals, as they nearly always are, it becomes the float64 nearest
// to the decimal: the same points read from a text file have the same bits.
//
// Coordinates and levels stay in the unit of the file, which is [File.Unit]
// where the file states one. Compressed files (LAZ) are refused. The package
// classifies nothing, converts no units and knows no projections: it carries
// the name and EPSG code of the coordinate system, and refuses degrees.
//
// Start with [Read]. [Write] writes what Read reads back to the same bits.
package las

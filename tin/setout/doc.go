// Package setout has the levels of a site in the hands of those who measure and
// dig it.
//
// A level book is read by [ReadBook] and reduced by [Book.Reduce], by height of
// collimation and by rise and fall, with the arithmetic checks, the misclosure on
// benchmarks and its distribution. [Reduction.Points] gives the reduced points to a
// survey. [TwoPeg] finds how far a level's line of sight is out of level.
//
// [Outline.Pegs] finds the pegs of a pad and numbers them so that the numbers stay;
// [Instrument.Sight] says what the staff reads on a level, and where a laser's receiver
// goes.
//
// Finished work is held against the levels asked for by [Conform]: each shot's deviation
// and how it stands to a tolerance, what they say together, and whether they are enough.
//
// Start with [ReadBook], [Outline.Pegs] or [Conform]. Readings and levels of a book and of an
// instrument are [Decimal]: what a check adds up is
// exact, and a level is the decimal that a person works out on paper. All lengths are
// in the unit of the book, of pegs in that of their outline.
//
// The package does not adjust networks by least squares, corrects no reading for
// curvature, refraction or a staff's temperature, and builds no surface: see package
// tin.
package setout

// Package robust gives the exact sign of the two questions a triangulation in
// plan asks: which way do three points turn, and does a fourth lie inside the
// circle through them.
//
// Axes are right-handed: x east, y north. Anticlockwise turns are positive.
//
//	  c                       b
//	 / \    Orient = +1      /   \    d inside: InCircle = +1
//	a---b                   c  d  a   (a, b, c anticlockwise)
//
// # Which form to call
//
//   - [OrientWhole] and [InCircleWhole] where every coordinate is a whole number
//     and all differences stay below [WholeLimit]: decimals counted in whole
//     units of the last digit. Fastest, and a tie costs nothing extra.
//   - [Orient] and [InCircle] for any other doubles within the range of [InRange].
//
// Both kinds answer exactly for the numbers they are given. They do not know
// what the numbers stand for: 0.1 is not a double, so three points in line on
// paper need not be in line as doubles. As whole tenths they are.
//
// # How
//
// [Orient] and [InCircle] go in stages, each of which may say "not sure":
//
//  1. a floating-point filter: the sign stands if the value is greater than a
//     bound on its rounding error;
//  2. if every coordinate difference came out exact, which is usual where the
//     points are close together far from the origin, arithmetic on the
//     differences;
//  3. floating-point expansions (Shewchuk, Adaptive precision floating-point
//     arithmetic and fast robust geometric predicates, Discrete & Computational
//     Geometry 18, 1997; theorem numbers are quoted from memory).
//
// No stage allocates. Products that are added later are written float64(x*y),
// since the language allows x*y + z to be rounded once instead of twice.
//
// # What it does not do
//
// It gives signs, never a length, an area or a point. It does not break ties:
// zero means exactly in line, or exactly on the circle, and what to do then is
// the caller's rule. It checks nothing: outside its range the answer is some
// number among -1, 0 and +1, without panic.
package robust

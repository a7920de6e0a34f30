// Package tintest helps to test what is built on surfaces: ground with volumes
// known in closed form, point sets that break careless geometry, and a proof
// that a surface is what package tin promises.
//
// Start at [Solids] for ground to measure, at [Sets] for points that must not
// break anything, and call [Check] at the end of every test that builds a
// surface. The package imports nothing of tin but its public face, and shares
// no predicate with it: signs are found again in whole numbers of any size.
//
// It is for tests only: clear rather than fast.
package tintest

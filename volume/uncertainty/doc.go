// Package uncertainty says how sure cut and fill are: their standard deviations and
// covariance from the random errors of levels, from errors that all levels of a survey
// share, and from the ground between spots, which nobody measured.
//
// It is not for blunders, for features that no spot touches (a heap, a hole, a bank
// without a breakline), nor for factors and rates: those stay with who makes them, who
// asks [Covariance.Of] for the standard deviation of what is linear in cut and fill.
//
// Start at [Estimate]. What the weights are is told in package volume.
//
// # The ground between spots
//
// Each spot inside is left out, and its level held against the mesh of its neighbours:
// differences in which any trend cancels. They fit a generalised covariance, of rough
// and of smooth ground in one family, which gives the variance of the volume's own
// error: the mesh reproduces every plane, so that in that error a trend cancels too
// (extension variance and intrinsic random functions, Matheron 1973, from memory;
// docs/methods.md).
//
// The figures hold for spots placed without regard to levels. Breakline vertices stay
// out of the fit: they were chosen. With too few spots there is no figure at all.
//
// Standard deviations are combined and expanded by the GUM (JCGM 100:2008).
package uncertainty

// Package material turns volumes dug and volumes to fill into materials: what is
// loose in the truck, what is left when it is rolled, what of the cut becomes fill,
// what leaves the site and what is bought, in how many loads, over what distance and
// in how many machine hours.
//
// It is arithmetic on volumes that somebody measured. It looks at no surface, finds no
// price, and does not know which ground is what: the caller says so.
//
// Start at [Reckon], which takes a [Site] to a [Result]; [Haul] finds the least plan of
// moving cut into fill. The formulae stand alone too: [Factors] between the measures,
// [Truck.Loads], [Machine.Rate], [Fleet.Rate].
//
// # Units
//
// Volumes are in any one unit, cubic metres or cubic yards, the same throughout; their
// measure is their type: [Bank] in place before digging, [Loose] in the bucket and the
// truck, [Compacted] placed and rolled. Masses are tonnes, densities tonnes in one unit
// of bank volume, times seconds or hours as named, distances in one unit of length.
package material

// Package takeoff takes one job to one result: the surveys make the ground, the
// pads are laid out over it, and cut and fill of each are measured, with all
// that is needed to check the figures by hand.
//
// A [Job] is plain values, all in the job's unit. Fill one in and call [Run]:
//
//	job := &takeoff.Job{
//		Surveys: []takeoff.Survey{{Points: points}},
//		Pads: []takeoff.Pad{{
//			Name: "store", Outline: outline, Finished: 63.150,
//			Layers: []takeoff.Layer{{Name: "concrete slab", Thickness: 0.175}},
//		}},
//	}
//	result, err := takeoff.Run(ctx, job, takeoff.Options{})
//
// or read one from a job file in TOML with [Load]; docs/formats.md lists its
// keys. Loading opens nothing outside the file system it is given, and [Limits]
// bound what it reads.
//
// # Job file
//
// A length or level is a number in the job's unit, or a text with a unit, such
// as "175 mm" or "6 in". Paths are relative to the job file.
//
//	name, units ("m", "ft" or "ftUS"; no default), scale
//	plan_to_site = { plan, site }  two places of a drawing, and the same two on
//	                               the site: turns and shifts every pad's outline
//	                               given in coordinates or by a file, with its
//	                               fall.at, spots and breaklines; not boundary
//	                               and voids; a pad may have its own
//	[[survey]]  points, columns, state, ignore_codes, line_codes, breaklines,
//	            benchmark, check, check_tolerance
//	[ground]    boundary, voids, max_edge, duplicates, crossing_tolerance,
//	            topsoil = { depth, beyond, within, areas }, or a depth
//	[[pad]]     name, outline, finished, layers, fall, plan_to_site,
//	            margin, batter = { cut, fill }, berm = { every, width },
//	            edges = [ { from, to, face, margin, batter } ]
//	            levels, spots, breaklines: finished levels of its own
//	            not_below, not_above: bounds of its finished level in Balance
//	[[clearance]]  name, stay ("inside" or "outside"), shape, distance: what the
//	               works must keep to; a shape is an outline, GeoJSON of any kind,
//	               { line } of places or a point file, or { point }
//	[[alignment]]  name, line, start, interval, at, reach: where Sections cuts; a
//	               line is a GeoJSON or point file, { file, columns, name }, or
//	               places in order
//	rates       what Price prices the job by: a CSV file, see package price
//
// An outline (a boundary, a void) is the name of a point file with the corners
// in order or of a GeoJSON file, { file, columns, name } with the order of a
// file's columns or the name of one polygon of several, [[E, N], ...] or a list
// of such rings, { points } of the survey by name, or { corner, bearing,
// length, width } with the width to the right. Codes are met whether in
// capitals or not. A line of a line code ends at the first point that has
// another code.
//
// A pad's own levels are finished levels: one for each corner in the outline's
// order (levels = [63.15, 63.15, 62.95, 62.95], or one such list for each ring
// where there are holes), or levels = "outline" where the outline's file carries
// them; spots (a point file or [[E, N, level], ...]) and breaklines (GeoJSON
// files or [[E, N, level], ...]) add more inside.
//
// A [Result] holds every number a sheet shows, in the job's unit and unrounded,
// and is the JSON result as it is. Package report writes it out.
//
// # Plan
//
// [Options].Plan asks for what a plan of the works shows, in Result.Plan: the works by
// depth with their areas, contours and spots, on a sheet at a round scale. Package report
// draws it.
//
// # Comparison
//
// [Compare] measures what was cut and filled between two surveyed surfaces, given as
// a [Comparison] or read by [LoadComparison]; the outcome is a [Compared].
//
// # Sections
//
// [Sections] measures the works of a job a second time, by vertical cuts along an
// alignment: areas, profiles, and two sums over them beside the prisms of [Run].
//
// # Balance
//
// [Balance] moves the pads of a job up and down and finds the level at which cut, after
// a factor, makes the fill, and the level of least cost.
//
// # Set-out
//
// [SetOut] finds the pegs of a job and the levels to work to, with what the staff reads on
// them; [LoadPegTops] reads measured tops of pegs.
//
// # Surfaces
//
// [Surfaces] gives ground and works as triangles, with their lines, for other programs.
//
// # Crosscheck
//
// [Crosscheck] measures a job by prisms, sections and a grid, and [CrosscheckSurveys] what
// lies between two surveys. A [Claim] and [Shots] may be held against them; [LoadClaim],
// [ParseClaim] and [LoadShots] read those.
//
// # Materials
//
// A job that says what its ground is, in [[material]], has Result.Materials too: what is
// loose, what becomes fill, what is over or short, loads, hauls and machine hours; see
// package material. Other keys for that are [import], [[truck]] and [[machine]]. Without
// a material no factor is used anywhere, and nothing is called surplus or short.
//
// # Price
//
// [Price] makes a bill of a job's quantities by its rates, [PriceResult] of a result that
// is there already. [Quantities] lists all that can be priced, with the keys that a rates
// file names them by.
//
// # Report
//
// [Report] makes the outcome of [Run], [Crosscheck], [Sections], [SetOut] and [Price] from
// one takeoff, with a grid of depths.
package takeoff

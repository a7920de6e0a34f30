package takeoff

import (
	"cmp"
	"slices"

	"barrow/volume/price"
)

// marks are what else there is to say of a quantity.
type marks int

const (
	onGround marks = 1 << iota // more of it lies where a pad has no ground
	onWorks                    // or where batters run off the ground
	bought                     // material that is bought
)

// where keeps the marks that hold where so much area has no ground and batters run off it
// over so much length.
func (m marks) where(uncovered, open float64) marks {
	if uncovered == 0 {
		m &^= onGround
	}
	if uncovered == 0 && open == 0 {
		m &^= onWorks
	}
	return m
}

// quantityRow is one priceable quantity of a result.
type quantityRow struct {
	key, words string
	unit       price.Unit
	amount     float64
	work       string // empty: no rate is asked for
	split      string
	marks      marks
}

// The ways in which a work is split into quantities.
const (
	inWhole    = "whole"
	byArea     = "area"  // by the area, where the thickness is given
	byPart     = "parts" // net void, margin and batters
	byPad      = "pads"
	byName     = "names"
	byMaterial = "materials"
)

// Quantities lists all that can be priced of a result, in a fixed order, with the keys
// that rates files name them by (docs/formats.md lists them). Every quantity without a
// name of its own is there, 0 where the job has none of it. To add one, add its row.
func Quantities(r *Result) []price.Quantity {
	rows := slices.Concat(totalRows(r), layerRows(r), thickeningRows(r), materialRows(r))
	for i := range rows {
		rows[i].marks = rows[i].marks.where(r.Total.UncoveredArea, r.Total.OpenLength)
	}
	rows = append(rows, padRows(r)...)
	list := make([]price.Quantity, len(rows))
	for i, q := range rows {
		list[i] = price.Quantity{
			Key: q.key, Words: q.words, Unit: q.unit, Work: q.work, Split: q.split,
			Amount: max(q.amount, 0), // by rounding a part that is 0 may be below it
			Bought: q.marks&bought != 0, AtLeast: q.marks&(onGround|onWorks) != 0,
		}
	}
	return list
}

// units are the units of a result, as rates have them.
type units struct{ length, area, bank, loose, compacted, built, haul price.Unit }

func (r *Result) priceUnits() units {
	v := r.Units.Volume
	return units{
		length: price.Unit{Name: r.Units.Length}, area: price.Unit{Name: r.Units.Area},
		bank: price.Unit{Name: v, Measure: price.Bank}, loose: price.Unit{Name: v, Measure: price.Loose}, compacted: price.Unit{Name: v, Measure: price.Compacted},
		built: price.Unit{Name: v, Measure: price.AsBuilt}, haul: price.Unit{Name: v + "." + r.Units.Length},
	}
}

// totalRows are the quantities of the whole job.
func totalRows(r *Result) []quantityRow {
	u, t := r.priceUnits(), &r.Total
	left, respread := 0.0, 0.0
	if t.TopsoilLeft != nil {
		left = *t.TopsoilLeft
	}
	for _, a := range t.Respread {
		respread += a.Volume
	}
	var outline, formed, perimeter, crest, toe, margin, batter float64
	for i := range r.Pads {
		p := &r.Pads[i]
		outline, formed, perimeter = outline+p.OutlineArea, formed+p.FormationArea, perimeter+p.Perimeter
		crest, toe = crest+p.CrestLength, toe+p.ToeLength
		if p.Backfill != nil {
			margin, batter = margin+p.Backfill.Margin, batter+p.Backfill.Batter
		}
	}
	return []quantityRow{
		{"cut", "cut, as dug", u.bank, t.Cut, "cut", inWhole, onWorks},
		{"outline_cut", "cut inside the outlines, net void", u.bank, t.OutlineCut, "cut", byPart, onGround},
		{"margin_cut", "cut in the margins", u.bank, t.MarginCut, "cut", byPart, onGround},
		{"batter_cut", "cut in the batters", u.bank, t.BatterCut, "cut", byPart, onWorks},
		{"fill", "fill, the space to be filled", u.compacted, t.Fill, "fill", inWhole, onWorks},
		{"outline_fill", "fill inside the outlines", u.compacted, t.OutlineFill, "fill", byPart, onGround},
		{"margin_fill", "fill in the margins", u.compacted, t.MarginFill, "fill", byPart, onGround},
		{"batter_fill", "fill in the batters", u.compacted, t.BatterFill, "fill", byPart, onWorks},
		{"makeup_fill", "of the fill, make-up for topsoil", u.compacted, t.MakeupFill, "", "", onWorks},
		{"topsoil", "topsoil stripped", u.bank, t.Topsoil, "topsoil", inWhole, onWorks},
		{"strip_area", "area stripped", u.area, t.StripArea, "topsoil", byArea, onWorks},
		{"respread", "topsoil spread again", u.built, respread, "topsoil spread again", inWhole, onGround},
		{"topsoil_left", "topsoil left over, without factors", u.bank, max(left, 0), "", "", onWorks},
		{"topsoil_lacking", "topsoil lacking, without factors", u.bank, max(-left, 0), "", "", onWorks},
		{"trim_area", "formation to trim and roll", u.area, t.TrimArea, "trimming of the formation", inWhole, onGround},
		{"thickenings", "thickenings, dug below formation", u.bank, t.ThickeningVolume, "thickenings", inWhole, onGround},
		{"backfill", "backfill, as dug", u.compacted, t.BackfillAsDug, "backfill", inWhole, onWorks},
		{"backfill_net_void", "backfill inside the outlines", u.compacted, t.BackfillNetVoid, "backfill", byPart, onGround},
		{"backfill_margin", "backfill in the margins", u.compacted, margin, "backfill", byPart, onGround},
		{"backfill_batter", "backfill in the batters", u.compacted, batter, "backfill", byPart, onWorks},
		{"outline_area", "area of the outlines", u.area, outline, "", "", 0},
		{"formation_area", "area of the outlines with their margins", u.area, formed, "", "", 0},
		{"batter_area", "area of the batters in plan", u.area, t.BatterArea, "", "", onWorks},
		{"works_area", "area of all works in plan", u.area, t.WorksArea, "", "", onWorks},
		{"perimeter", "length of the outlines", u.length, perimeter, "", "", 0},
		{"crest_length", "length of crest in plan", u.length, crest, "", "", onWorks},
		{"toe_length", "length of toe in plan", u.length, toe, "", "", onWorks},
	}
}

// layerRows are the layers of all pads by name, as built.
func layerRows(r *Result) (rows []quantityRow) {
	u := r.priceUnits()
	for _, l := range r.Total.Layers {
		work := "layer " + cmp.Or(l.Name, "without a name")
		rows = append(rows,
			quantityRow{"layer." + l.Name + ".volume", l.Name + ", volume as built", u.built, l.Volume, work, inWhole, bought},
			quantityRow{"layer." + l.Name + ".area", l.Name + ", area in plan", u.area, l.Area, work, byArea, bought})
	}
	return rows
}

// thickeningRows are the thickenings of all pads by name.
func thickeningRows(r *Result) []quantityRow {
	u := r.priceUnits()
	var rows []quantityRow
	at := map[string]int{} // of the first row of a name; looked up only
	for i := range r.Pads {
		for _, t := range r.Pads[i].Thickenings {
			key := "thickening." + t.Name
			k, ok := at[t.Name]
			if !ok {
				k = len(rows)
				at[t.Name], rows = k, append(rows,
					quantityRow{key + ".volume", t.Name + ", dug below formation", u.bank, 0, "thickenings", byName, onGround},
					quantityRow{key + ".length", t.Name + ", length in plan", u.length, 0, "", "", 0})
			}
			rows[k].amount += t.Volume
			rows[k+1].amount += t.Length
		}
	}
	return rows
}

// padRows are the quantities of each pad.
func padRows(r *Result) (rows []quantityRow) {
	u := r.priceUnits()
	for i := range r.Pads {
		p := &r.Pads[i]
		backfill := 0.0
		if p.Backfill != nil {
			backfill = p.Backfill.AsDug
		}
		for _, q := range []quantityRow{
			{"cut", "cut, as dug", u.bank, p.Cut, "cut", byPad, onWorks},
			{"fill", "fill, the space to be filled", u.compacted, p.Fill, "fill", byPad, onWorks},
			{"trim_area", "formation to trim and roll", u.area, p.TrimArea, "trimming of the formation", byPad, onGround},
			{"thickenings", "thickenings, dug below formation", u.bank, p.ThickeningVolume, "thickenings", byPad, onGround},
			{"backfill", "backfill, as dug", u.compacted, backfill, "backfill", byPad, onWorks},
			{"outline_area", "area of the outline", u.area, p.OutlineArea, "", "", 0},
			{"formation_area", "area of the outline with its margin", u.area, p.FormationArea, "", "", 0},
			{"batter_area", "area of the batters in plan", u.area, p.BatterArea, "", "", onWorks},
			{"perimeter", "length of the outline", u.length, p.Perimeter, "", "", 0},
			{"crest_length", "length of crest in plan", u.length, p.CrestLength, "", "", onWorks},
			{"toe_length", "length of toe in plan", u.length, p.ToeLength, "", "", onWorks},
		} {
			q.key, q.words = "pad."+p.Name+"."+q.key, p.Name+": "+q.words
			q.marks = q.marks.where(p.UncoveredArea, p.OpenLength)
			rows = append(rows, q)
		}
	}
	return rows
}

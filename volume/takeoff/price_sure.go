package takeoff

import (
	"slices"

	"barrow/volume/material"
	"barrow/volume/price"
	"barrow/volume/uncertainty"
)

// PriceUncertainty is how sure a bill's totals are, as far as they hang on cut and fill.
// Amounts are minor units of money, not rounded.
type PriceUncertainty struct {
	Coverage float64 `json:"coverage"` // 0.95
	Factor   float64 `json:"factor"`   // half width / standard deviation

	Firm  *float64 `json:"works_with_contingency,omitempty"` // half widths; nil: not stated
	Total *float64 `json:"total,omitempty"`

	NotStated uncertainty.Reason `json:"not_stated,omitempty"` // why the half widths are not
	Parts     []UncertaintyPart  `json:"parts"`                // of the errors of cut and fill, in the unit of volume

	// By how much the totals grow with one volume of cut and of fill, whole loads and
	// minimum charges smoothed over a standard deviation either way.
	FirmPerVolume  [2]float64 `json:"works_per_volume"`
	TotalPerVolume [2]float64 `json:"total_per_volume"`
}

// sureOfPrice carries the covariance of cut and fill into money: the bill is made again
// with the cut, then the fill, one standard deviation more and less (GUM, JCGM 100:2008,
// 5.1.3, note 2). Parts, pads and materials keep their shares; spoil, import, loads and
// hours follow. nil: there are no works.
func sureOfPrice(r *Result, rates *price.Rates) (*PriceUncertainty, error) {
	u := r.Uncertainty
	if u == nil {
		return nil, nil
	}
	out := &PriceUncertainty{Coverage: u.Coverage, Factor: u.Factor, NotStated: u.NotStated, Parts: u.Parts}
	if u.NotStated != "" {
		return out, nil
	}
	for i, volume := range []float64{r.Total.Cut, r.Total.Fill} {
		deviation := u.Covariance.Of(gradients()[i])
		if volume == 0 || deviation == 0 {
			continue
		}
		most, least := volume+deviation, max(0, volume-deviation)
		more, err := billWith(r, rates, i, most/volume)
		if err != nil {
			return nil, err
		}
		less, err := billWith(r, rates, i, least/volume)
		if err != nil {
			return nil, err
		}
		out.FirmPerVolume[i] = float64(more.Firm-less.Firm) / (most - least)
		out.TotalPerVolume[i] = float64(more.Total-less.Total) / (most - least)
	}
	firm, total := u.Factor*u.Covariance.Of(out.FirmPerVolume), u.Factor*u.Covariance.Of(out.TotalPerVolume)
	out.Firm, out.Total = &firm, &total
	return out, nil
}

// billWith makes the bill of a result whose cut, or fill, is some times as great.
func billWith(r *Result, rates *price.Rates, which int, times float64) (*price.Bill, error) {
	scaled, err := r.withVolumes(which, times)
	if err != nil {
		return nil, err
	}
	bill, _, _, err := price.NewBill(rates, Quantities(scaled))
	return bill, err
}

// withVolumes returns a result whose cut (0) or fill (1) is some times as great, in all
// its parts. Haul on the site stays.
func (r *Result) withVolumes(which int, times float64) (*Result, error) {
	out := *r
	t := &out.Total
	scale(times, [][]*float64{
		{&t.Cut, &t.OutlineCut, &t.MarginCut, &t.BatterCut},
		{&t.Fill, &t.OutlineFill, &t.MarginFill, &t.BatterFill, &t.MakeupFill},
	}[which])
	out.Pads = slices.Clone(r.Pads)
	for i := range out.Pads {
		p := &out.Pads[i]
		scale(times, [][]*float64{{&p.Cut}, {&p.Fill}}[which])
	}
	if r.Materials == nil {
		return &out, nil
	}
	site := r.site
	site.Fill = material.Compacted(t.Fill + t.BackfillAsDug)
	site.Materials = slices.Clone(site.Materials)
	for i := range site.Materials {
		if m := &site.Materials[i]; which == 0 && !m.Topsoil {
			m.Dug = m.Thickenings + material.Bank(times)*(m.Dug-m.Thickenings)
		}
	}
	var err error
	if out.Materials, err = material.Reckon(site); err != nil {
		return nil, err
	}
	out.Materials.Haul = r.Materials.Haul
	return &out, nil
}

func scale(times float64, volumes []*float64) {
	for _, v := range volumes {
		*v *= times
	}
}

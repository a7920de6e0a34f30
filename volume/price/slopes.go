package price

// slopes adds up how the totals grow with each quantity, in the order of the lines.
func (b *biller) slopes() {
	more := 1 + hundredth(b.bill.Percent).InexactFloat64() // contingency grows with the works
	for _, g := range b.bill.Groups {
		for _, l := range g.Lines {
			b.slope(&l, float64(l.PerQuantity*more), float64(l.PerQuantity*more))
		}
	}
	for _, l := range b.bill.Provisional {
		b.slope(&l, 0, l.PerQuantity)
	}
}

func (b *biller) slope(l *Line, firm, total float64) {
	if l.Quantity == nil || l.PerQuantity == 0 {
		return
	}
	i, ok := b.slopesOf[l.Quantity.Key]
	if !ok {
		i = len(b.bill.Slopes)
		b.slopesOf[l.Quantity.Key], b.bill.Slopes = i, append(b.bill.Slopes, Slope{Key: l.Quantity.Key})
	}
	b.bill.Slopes[i].Firm += firm
	b.bill.Slopes[i].Total += total
}

package setout

// Check is one arithmetic check: two sums that must be equal, to the last digit.
type Check struct {
	What        string // which sums, in words
	Left, Right Decimal
	Booked      bool // it is of figures booked, not of those reduced here
}

// Holds reports whether the two sums are equal.
func (c *Check) Holds() bool { return c.Left == c.Right }

// check makes the arithmetic checks: first those of the reduction, then those of the
// figures that the book itself carries.
func (r *Reduction) check() {
	rows, s := r.Rows, r.Sums
	first, last := rows[0].ByCollimation, rows[len(rows)-1]
	sights := s.Backsights - s.Foresights
	levels, lines, differ := Decimal(0), Decimal(0), 0
	for i := range rows {
		if i > 0 {
			levels += rows[i].ByCollimation
		}
		if rows[i].ByCollimation != rows[i].ByRiseAndFall {
			differ++
		}
	}
	for _, u := range r.SetUps {
		lines += u.Collimation * Decimal(u.Sights)
	}
	r.Checks = append(r.Checks,
		Check{"backsights less foresights = last level less first, by collimation", sights, last.ByCollimation - first, false},
		Check{"levels but the first = collimation x sights, less intermediates and foresights", levels, lines - s.Intermediates - s.Foresights, false},
		Check{"backsights less foresights = rises less falls", sights, s.Rises - s.Falls, false},
		Check{"rises less falls = last level less first, by rise and fall", s.Rises - s.Falls, last.ByRiseAndFall - first, false},
		Check{"rows whose level differs between the two methods = 0", Decimal(differ) * millionths, 0, false})
	r.checkBookedSums(sights)
	for i := range r.Checks {
		if c := &r.Checks[i]; !c.Holds() {
			last := &r.Book.Rows[len(rows)-1]
			r.warn(last, "arithmetic_check", c.What+": "+c.Left.Text(r.Book.Places)+" and "+c.Right.Text(r.Book.Places))
		}
	}
}

// checkBookedSums makes the checks of the booked figures, where the book has the
// columns for them.
func (r *Reduction) checkBookedSums(sights Decimal) {
	rises, steps := Decimal(0), false
	rows := r.Book.Rows
	for i := range rows {
		b := &rows[i].Booked
		steps = steps || b.Rise.Given || b.Fall.Given
		rises += b.Rise.Value - b.Fall.Value
	}
	if steps {
		r.Checks = append(r.Checks, Check{"backsights less foresights = booked rises less falls", sights, rises, true})
	}
	first, last := rows[0].Booked.Reduced, rows[len(rows)-1].Booked.Reduced
	if !first.Given {
		first = rows[0].Known
	}
	if last.Given {
		r.Checks = append(r.Checks, Check{"backsights less foresights = last booked level less first", sights, last.Value - first.Value, true})
	}
}

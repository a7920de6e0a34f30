package setout

import (
	"cmp"
	"fmt"
	"math/big"
	"slices"
	"strings"
)

// swaps returns the numbers that d turns into when two digits next to each other
// change places.
func swaps(d Decimal, places int) (list []Decimal) {
	digits := []byte(d.Text(places))
	before := -1
	for i, digit := range digits {
		if digit == '.' || digit == '-' {
			continue
		}
		if before >= 0 && digits[before] != digit {
			other := slices.Clone(digits)
			other[before], other[i] = other[i], other[before]
			if swapped, _, err := ParseDecimal(string(other)); err == nil {
				list = append(list, swapped)
			}
		}
		before = i
	}
	return list
}

// swapped reports whether two numbers differ by two digits that changed places.
func swapped(a, b Decimal, places int) bool { return slices.Contains(swaps(a, places), b) }

// mostNamed keeps a warning readable.
const mostNamed = 5

// slip is a reading with two digits in each other's place, perhaps.
type slip struct {
	row        int
	what       string
	read, want Decimal
	left       Decimal // misclosure that would be left
}

// suspect names the readings on the line of change points in which two digits that
// changed places would explain a misclosure: with them put right, it is within the
// allowance or, where none is stated, nothing. It is a hint where to look
// first, and no proof.
func (r *Reduction) suspect(c *Closure) {
	var n *big.Rat
	if c.Judged {
		n = r.length(c)
	}
	var found []slip
	for i := c.From; i <= c.To; i++ {
		row := &r.Book.Rows[i]
		if i < c.To && row.Backsight.Given {
			found = append(found, r.slips(c, n, i, "backsight", row.Backsight.Value, 1)...)
		}
		if i > c.From && (row.Foresight.Given || i == c.To) {
			found = append(found, r.slips(c, n, i, row.what(), row.reading(), -1)...)
		}
	}
	slices.SortStableFunc(found, func(a, b slip) int { return cmp.Compare(a.left.abs(), b.left.abs()) })
	for _, s := range found[:min(len(found), mostNamed)] {
		others := "no other reading would do as well"
		if len(found) > 1 {
			others = fmt.Sprintf("%s of this kind would do, and other mistakes too", count(len(found), "slip"))
		}
		r.warn(&r.Book.Rows[s.row], "transposed_digits", fmt.Sprintf("perhaps two digits changed places: %s %s in place of %s "+
			"would leave a misclosure of %s; look here first, it is no proof (%s)", s.what, s.want.Text(r.Book.Places),
			s.read.Text(r.Book.Places), r.Book.text(s.left), others))
	}
}

// slips returns the ways in which a reading can explain a misclosure; sign is +1 where
// a greater reading makes later levels higher.
func (r *Reduction) slips(c *Closure, n *big.Rat, row int, what string, read, sign Decimal) (found []slip) {
	for _, want := range swaps(read, r.Book.Places) {
		if staff := r.Options.Staff; staff.Given && want.abs() > staff.Value {
			continue
		}
		left := c.Misclosure + sign*(want-read)
		if left == 0 || n != nil && r.Options.Allowance.allows(left, n) {
			found = append(found, slip{row, what, read, want, left})
		}
	}
	return found
}

// what is the word for the sight that gives the row its level.
func (r *Row) what() string {
	if r.Foresight.Given {
		return "foresight"
	}
	return "intermediate sight"
}

// explained says what would explain that a booked figure is not that of the readings.
func (r *Reduction) explained(booked, reduced Decimal, slips []slip) string {
	places := r.Book.Places
	var words []string
	if swapped(booked, reduced, places) {
		words = append(words, "two digits of the booked figure changed places")
	}
	for _, s := range slips {
		if swapped(s.read, s.want, places) {
			words = append(words, fmt.Sprintf("%s %s in place of %s in line %d (two digits changed places)",
				s.what, s.want.Text(places), s.read.Text(places), r.Book.Rows[s.row].Line))
		}
	}
	if len(words) == 0 {
		return "the reading or the booked figure is wrong"
	}
	return "this would explain it: " + strings.Join(words, "; or ")
}

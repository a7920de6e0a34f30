package price

import (
	"fmt"
	"slices"
	"strings"

	"github.com/shopspring/decimal"

	"barrow/tin"
)

// cover finds the works that the rates leave out, and the quantities in no line.
func (b *biller) cover() {
	lines := map[string]bool{}
	for _, r := range b.rates.Items {
		lines[r.Key] = true
	}
	var works []*work
	byName := map[string]*work{}
	for _, q := range b.quantities {
		rounded := q.Rounded(b.rates.Quantities)
		switch {
		case rounded.IsZero():
		case q.Work == "" && !lines[q.Key] && !named(q.Key):
			b.bill.Unasked = append(b.bill.Unasked, q)
		case q.Work != "":
			w := byName[q.Work]
			if w == nil {
				w = &work{name: q.Work}
				works, byName[q.Work] = append(works, w), w
			}
			w.add(Unpriced{q, rounded, b.share[q.Key]})
		}
	}
	for _, w := range works {
		b.gap(w)
		b.twice(w)
	}
	b.alone(byName)
}

// named reports whether a key is of a thing that one job has: a layer, a pad.
func named(key string) bool { return strings.Contains(key, ".") }

// work is a work with its splits; quantities of none are left out.
type work struct {
	name   string
	splits []split
}

type split struct {
	name   string
	lacks  []Unpriced // not priced, or not whole
	priced []Quantity // in whole or in part
}

func (w *work) add(u Unpriced) {
	i := slices.IndexFunc(w.splits, func(s split) bool { return s.name == u.Split })
	if i < 0 {
		i = len(w.splits)
		w.splits = append(w.splits, split{name: u.Split})
	}
	s := &w.splits[i]
	if u.Priced.LessThan(decimal.New(1, 0)) {
		s.lacks = append(s.lacks, u)
	}
	if u.Priced.IsPositive() {
		s.priced = append(s.priced, u.Quantity)
	}
}

// gap tells of a work none of whose splits is priced whole: by what lacks of the first
// that is priced in part, else of the first.
func (b *biller) gap(w *work) {
	best := &w.splits[0]
	for i := range w.splits {
		s := &w.splits[i]
		if len(s.lacks) == 0 {
			return
		}
		if len(s.priced) > 0 && len(best.priced) == 0 {
			best = s
		}
	}
	b.bill.NotPriced = append(b.bill.NotPriced, Gap{w.name, best.lacks})
	var words []string
	for _, u := range best.lacks {
		words = append(words, b.lack(&u))
	}
	message := w.name + " is NOT PRICED and not in the total: no rate for " + strings.Join(words, "; ")
	if len(best.priced) > 0 {
		message = w.name + " is priced in part: no rate, or not for all, of " + strings.Join(words, "; ")
	}
	b.warnings = append(b.warnings, tin.Problem{Code: WarnNotPriced, Message: message})
}

func (b *biller) lack(u *Unpriced) string {
	words := fmt.Sprintf("%s, %s %s", u.Words, b.rates.Quantities.Text(u.Rounded, u.Unit), u.Unit)
	if u.Priced.IsPositive() {
		words += fmt.Sprintf(", priced to %s of it", u.Priced)
	}
	return words + " (" + u.Key + ")"
}

// twice tells of a work that is priced by quantities of two splits in one unit: one is
// part of the other.
func (b *biller) twice(w *work) {
	for i := range w.splits {
		for k := range i {
			for _, q := range firstOfUnits(w.splits[i].priced) {
				for _, p := range firstOfUnits(w.splits[k].priced) {
					if p.Unit == q.Unit {
						b.note(NotePricedTwice, fmt.Sprintf("%s is priced by %s and by %s: see that nothing is paid for twice", w.name, p.Key, q.Key))
						return
					}
				}
			}
		}
	}
}

// firstOfUnits keeps the first quantity of each unit.
func firstOfUnits(list []Quantity) (out []Quantity) {
	for _, q := range list {
		if !slices.ContainsFunc(out, func(p Quantity) bool { return p.Unit == q.Unit }) {
			out = append(out, q)
		}
	}
	return out
}

// alone tells of extras over a work that no item prices.
func (b *biller) alone(works map[string]*work) {
	for i := range b.rates.Items {
		r := &b.rates.Items[i]
		at, ok := b.keys[r.Key]
		if !ok || r.Kind != ExtraOver {
			continue
		}
		w := works[b.quantities[at].Work]
		if w != nil && !slices.ContainsFunc(w.splits, func(s split) bool { return len(s.priced) > 0 }) {
			b.note(NoteExtraOverAlone, fmt.Sprintf("line %d, %s: it is over an item that the rates do not have", r.Line, r.Item))
		}
	}
}

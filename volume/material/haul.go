package material

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/optimize/convex/lp"

	"barrow/tin"
)

// CodeHaulPlaces is the code of the error for more than [MostHaulPlaces].
const CodeHaulPlaces = "too_many_haul_places"

// MostHaulPlaces is how many places to dig, and how many to fill, [Haul] takes at most:
// its linear program has a variable for each pair of them, and a dense matrix of those
// by their number.
const MostHaulPlaces = 40

// Source is a place where material for fill is dug.
type Source struct {
	At     [2]float64 // easting and northing
	Amount Compacted  // it makes
	Rank   int        // lower ones are used up first
}

// Sink is a place that is filled.
type Sink struct {
	At     [2]float64
	Amount Compacted
}

// Move is what is hauled from one place to another.
type Move struct {
	From     [2]float64 `json:"from"`
	To       [2]float64 `json:"to"`
	Amount   Compacted  `json:"amount"`
	Distance float64    `json:"distance"` // straight, in plan
}

// HaulPlan is the least plan of hauls on the site.
type HaulPlan struct {
	Volume         Compacted `json:"volume"`          // hauled
	VolumeDistance float64   `json:"volume_distance"` // sum of volume x distance, the least there is
	MeanDistance   float64   `json:"mean_distance"`   // the one over the other
	GreatestHaul   float64   `json:"greatest_distance"`
	Cell           float64   `json:"cell,omitempty"` // side of the cells that the places stand for, if they do
	Moves          []Move    `json:"moves"`
}

// Haul finds the plan that fills the sinks from the sources with the least sum of
// volume by distance, straight and in plan: the transport problem of linear
// programming. As much is moved as both allow. Sources of lower rank are used up first,
// even where others are nearer. The plan does not depend on the order of either; where
// several are least, it is one of them. More than [MostHaulPlaces] sources or sinks are
// refused.
func Haul(sources []Source, sinks []Sink) (HaulPlan, error) {
	t, err := newTransport(sources, sinks)
	if err != nil || t.sum == 0 {
		return HaulPlan{}, err
	}
	flow, err := t.solve()
	if err != nil {
		return HaulPlan{}, fmt.Errorf("material: the haul plan: %w", err)
	}
	return t.plan(flow), nil
}

// transport is a balanced problem: the lesser side has a place more, which stands for
// what is not moved.
type transport struct {
	sources  []Source
	sinks    []Sink
	from, to []float64 // amounts, each summing to 1; the last of one of them may stand for no place
	sum      float64   // what 1 stands for
	cost     []float64 // of a unit from i to j, row by row
}

func newTransport(sources []Source, sinks []Sink) (*transport, error) {
	t := &transport{}
	var supply, demand float64
	for _, s := range sources {
		if err := notBelow(0, "haul", float64(s.Amount)); err != nil {
			return nil, err
		}
		if s.Amount > 0 {
			t.sources = append(t.sources, s)
		}
	}
	for _, s := range sinks {
		if err := notBelow(0, "haul", float64(s.Amount)); err != nil {
			return nil, err
		}
		if s.Amount > 0 {
			t.sinks = append(t.sinks, s)
		}
	}
	if most := max(len(t.sources), len(t.sinks)); most > MostHaulPlaces {
		return nil, &tin.InputError{Code: CodeHaulPlaces, Message: fmt.Sprintf("%d places to dig or to fill, more than %d", most, MostHaulPlaces), Hint: "take larger cells"}
	}
	if len(t.sources) == 0 || len(t.sinks) == 0 {
		return t, nil
	}
	slices.SortFunc(t.sources, func(a, b Source) int {
		return cmp.Or(cmp.Compare(a.Rank, b.Rank), comparePlaces(a.At, b.At), cmp.Compare(a.Amount, b.Amount))
	})
	slices.SortFunc(t.sinks, func(a, b Sink) int { return cmp.Or(comparePlaces(a.At, b.At), cmp.Compare(a.Amount, b.Amount)) })
	for _, s := range t.sources {
		supply += float64(s.Amount)
		t.from = append(t.from, float64(s.Amount))
	}
	for _, s := range t.sinks {
		demand += float64(s.Amount)
		t.to = append(t.to, float64(s.Amount))
	}
	t.balance(supply, demand)
	t.price()
	return t, nil
}

func comparePlaces(a, b [2]float64) int {
	return cmp.Or(cmp.Compare(a[0], b[0]), cmp.Compare(a[1], b[1]))
}

// balance adds what is not moved, and scales both sides to 1.
func (t *transport) balance(supply, demand float64) {
	t.sum = max(supply, demand)
	if rest := (supply - demand) / t.sum; rest > 1e-12 {
		t.to = append(t.to, supply-demand)
	} else if rest < -1e-12 {
		t.from = append(t.from, demand-supply)
	}
	for _, side := range [][]float64{t.from, t.to} {
		all := 0.0
		for _, a := range side {
			all += a
		}
		for i := range side {
			side[i] /= all
		}
	}
}

// price sets the costs: the distance, and where nothing is moved 0, or so much more for
// every rank lower that no saving of distance pays for it.
func (t *transport) price() {
	greatest := 0.0
	for _, a := range t.sources {
		for _, b := range t.sinks {
			greatest = max(greatest, distance(a.At, b.At))
		}
	}
	dear := greatest * float64(len(t.from)+len(t.to))
	ranks := ranksOf(t.sources)
	for i := range t.from {
		for j := range t.to {
			switch {
			case i < len(t.sources) && j < len(t.sinks):
				t.cost = append(t.cost, distance(t.sources[i].At, t.sinks[j].At))
			case i < len(t.sources):
				t.cost = append(t.cost, dear*float64(ranks[len(ranks)-1]-ranks[i]))
			default:
				t.cost = append(t.cost, 0)
			}
		}
	}
}

// ranksOf numbers the ranks of sorted sources from 0, without gaps.
func ranksOf(sources []Source) []int {
	ranks := make([]int, len(sources))
	for i := 1; i < len(sources); i++ {
		ranks[i] = ranks[i-1]
		if sources[i].Rank != sources[i-1].Rank {
			ranks[i]++
		}
	}
	return ranks
}

func distance(a, b [2]float64) float64 { return math.Hypot(a[0]-b[0], a[1]-b[1]) }

// solve returns the flow from i to j, row by row, as parts of 1. The last row of the
// constraints follows from the others and is left out.
func (t *transport) solve() ([]float64, error) {
	m, n := len(t.from), len(t.to)
	rows := mat.NewDense(m+n-1, m*n, nil)
	for i := range m {
		for j := range n {
			rows.Set(i, i*n+j, 1)
			if j < n-1 {
				rows.Set(m+j, i*n+j, 1)
			}
		}
	}
	limits := append(append([]float64{}, t.from...), t.to[:n-1]...)
	scale := slices.Max(t.cost)
	cost := slices.Clone(t.cost)
	for i := range cost {
		cost[i] = over(cost[i], scale)
	}
	_, flow, err := lp.Simplex(cost, rows, limits, 1e-12, t.start())
	return flow, err
}

// start is a plan to begin from, the north-west corner rule: as much as goes from the
// first source to the first sink, and on with the next of whichever is exhausted. Its
// m + n - 1 pairs are a tree, and so a basis.
func (t *transport) start() (pairs []int) {
	m, n := len(t.from), len(t.to)
	left, room := t.from[0], t.to[0]
	for i, j := 0, 0; ; {
		pairs = append(pairs, i*n+j)
		switch {
		case i == m-1 && j == n-1:
			return pairs
		case j == n-1 || i < m-1 && left <= room:
			room -= left
			i++
			left = t.from[i]
		default:
			left -= room
			j++
			room = t.to[j]
		}
	}
}

// plan writes down a flow. What rounding left of a flow that is none is left out.
func (t *transport) plan(flow []float64) HaulPlan {
	p := HaulPlan{Moves: []Move{}}
	for i, a := range t.sources {
		for j, b := range t.sinks {
			f := flow[i*len(t.to)+j]
			if f < 1e-12 {
				continue
			}
			v, d := f*t.sum, distance(a.At, b.At)
			p.Moves = append(p.Moves, Move{a.At, b.At, Compacted(v), d})
			p.Volume += Compacted(v)
			p.VolumeDistance += float64(v * d)
			p.GreatestHaul = max(p.GreatestHaul, d)
		}
	}
	p.MeanDistance = over(p.VolumeDistance, float64(p.Volume))
	return p
}

package material_test

import (
	"encoding/json"
	"math"
	"math/rand"
	"os"
	"runtime"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"barrow/tin"
	"barrow/volume/material"
)

// The reference: testdata/haul.py made haul.json with scipy 1.10.1.
func TestHaulAgreesWithAnotherLibrary(t *testing.T) {
	data, err := os.ReadFile("testdata/haul.json")
	require.NoError(t, err)
	var file struct {
		Cases []struct {
			Sources, Sinks [][3]float64
			Volume, Least  float64
			EarthMovers    float64 `json:"earth_movers"`
		}
	}
	require.NoError(t, json.Unmarshal(data, &file))
	require.Len(t, file.Cases, 10)
	for i, c := range file.Cases {
		var sources []material.Source
		var sinks []material.Sink
		for _, a := range c.Sources {
			sources = append(sources, material.Source{At: [2]float64{a[0], a[1]}, Amount: material.Compacted(a[2])})
		}
		for _, b := range c.Sinks {
			sinks = append(sinks, material.Sink{At: [2]float64{b[0], b[1]}, Amount: material.Compacted(b[2])})
		}
		p := haul(t, sources, sinks)
		assert.InEpsilon(t, c.Volume, float64(p.Volume), 1e-9, "case %d", i)
		assert.InEpsilon(t, c.Least, p.VolumeDistance, 1e-8, "case %d", i)
		assert.InEpsilon(t, c.Least/c.Volume, p.MeanDistance, 1e-8, "case %d", i)
		if c.EarthMovers > 0 {
			assert.InEpsilon(t, c.EarthMovers, p.VolumeDistance, 1e-8, "case %d", i)
		}
	}
}

// Of whole units, a least plan is a least pairing of units: all of them are tried.
func TestHaulAgainstAllPairings(t *testing.T) {
	rng := rand.New(rand.NewSource(1))
	for range 300 {
		m, n := 1+rng.Intn(4), 1+rng.Intn(4)
		var sources []material.Source
		var sinks []material.Sink
		var from, to [][2]float64
		place := func() [2]float64 { return [2]float64{float64(rng.Intn(12)), float64(rng.Intn(12))} }
		for range m {
			s := material.Source{At: place(), Amount: material.Compacted(1 + rng.Intn(2))}
			sources = append(sources, s)
			for range int(s.Amount) {
				from = append(from, s.At)
			}
		}
		for range n {
			s := material.Sink{At: place(), Amount: material.Compacted(1 + rng.Intn(2))}
			sinks = append(sinks, s)
			for range int(s.Amount) {
				to = append(to, s.At)
			}
		}
		if len(from) > len(to) {
			from, to = to, from
		}
		p := haul(t, sources, sinks)
		assert.InDelta(t, float64(len(from)), float64(p.Volume), 1e-9)
		assert.InDelta(t, leastPairing(from, to, make([]bool, len(to))), p.VolumeDistance, 1e-9, "%v %v", sources, sinks)
	}
}

// leastPairing tries every way to pair all of from with some of to.
func leastPairing(from, to [][2]float64, used []bool) float64 {
	if len(from) == 0 {
		return 0
	}
	least := math.Inf(1)
	for j := range to {
		if !used[j] {
			used[j] = true
			d := math.Hypot(from[0][0]-to[j][0], from[0][1]-to[j][1])
			least = min(least, d+leastPairing(from[1:], to, used))
			used[j] = false
		}
	}
	return least
}

func haul(t *testing.T, sources []material.Source, sinks []material.Sink) material.HaulPlan {
	t.Helper()
	p, err := material.Haul(sources, sinks)
	require.NoError(t, err)
	return p
}

func randomPlaces(rng *rand.Rand, m, n int) (sources []material.Source, sinks []material.Sink) {
	place := func() [2]float64 { return [2]float64{500000 + 100*rng.Float64(), 5800000 + 100*rng.Float64()} }
	for range m {
		sources = append(sources, material.Source{At: place(), Amount: material.Compacted(rng.Float64() * 50), Rank: rng.Intn(3)})
	}
	for range n {
		sinks = append(sinks, material.Sink{At: place(), Amount: material.Compacted(rng.Float64() * 50)})
	}
	return sources, sinks
}

func TestHaulDoesNotDependOnOrderOrThreads(t *testing.T) {
	rng := rand.New(rand.NewSource(2))
	defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(1))
	for range 10 {
		sources, sinks := randomPlaces(rng, 12, 9)
		first := haul(t, sources, sinks)
		runtime.GOMAXPROCS(4)
		rng.Shuffle(len(sources), func(i, j int) { sources[i], sources[j] = sources[j], sources[i] })
		slices.Reverse(sinks)
		assert.Equal(t, first, haul(t, sources, sinks))
		runtime.GOMAXPROCS(1)
	}
}

// A plan takes from no place more than it has, brings to none more than it wants, and
// cutting a place in two changes nothing.
func TestHaulLaws(t *testing.T) {
	rng := rand.New(rand.NewSource(3))
	for range 40 {
		sources, sinks := randomPlaces(rng, 1+rng.Intn(10), 1+rng.Intn(10))
		p := haul(t, sources, sinks)
		from, to := map[[2]float64]float64{}, map[[2]float64]float64{}
		for _, m := range p.Moves {
			from[m.From] += float64(m.Amount)
			to[m.To] += float64(m.Amount)
		}
		var supply, demand float64
		for _, s := range sources {
			supply += float64(s.Amount)
			assert.LessOrEqual(t, from[s.At], float64(s.Amount)+1e-9)
		}
		for _, s := range sinks {
			demand += float64(s.Amount)
			assert.LessOrEqual(t, to[s.At], float64(s.Amount)+1e-9)
		}
		assert.InDelta(t, min(supply, demand), float64(p.Volume), 1e-9)

		half := sources[0]
		half.Amount /= 2
		parts := append([]material.Source{half, half}, sources[1:]...)
		assert.InDelta(t, p.VolumeDistance, haul(t, parts, sinks).VolumeDistance, 1e-6)
	}
}

func TestHaulUsesLowerRanksFirst(t *testing.T) {
	near := material.Source{At: [2]float64{10, 0}, Amount: 5, Rank: 1}
	far := material.Source{At: [2]float64{90, 0}, Amount: 5}
	p := haul(t, []material.Source{near, far}, []material.Sink{{At: [2]float64{0, 0}, Amount: 6}})
	assert.InDelta(t, 5*90+1*10, p.VolumeDistance, 1e-9)
	assert.InDelta(t, 90, p.GreatestHaul, 1e-12)
}

func TestHaulOfNothing(t *testing.T) {
	p := haul(t, []material.Source{{Amount: 3}}, nil)
	assert.Zero(t, p)
	p = haul(t, []material.Source{{Amount: 0}}, []material.Sink{{Amount: 2}})
	assert.Zero(t, p)
	p = haul(t, []material.Source{{Amount: 3}}, []material.Sink{{Amount: 2}})
	assert.InDelta(t, 2, float64(p.Volume), 1e-12)
	assert.Zero(t, p.VolumeDistance)
}

func TestHaulRefuses(t *testing.T) {
	var e *tin.InputError
	_, err := material.Haul([]material.Source{{Amount: -1}}, []material.Sink{{Amount: 1}})
	require.ErrorAs(t, err, &e)
	assert.Equal(t, "bad_amount", e.Code)
	_, err = material.Haul([]material.Source{{Amount: 1}}, []material.Sink{{Amount: material.Compacted(math.NaN())}})
	require.ErrorAs(t, err, &e)
	assert.Equal(t, "bad_amount", e.Code)

	sources, sinks := randomPlaces(rand.New(rand.NewSource(4)), material.MostHaulPlaces+1, 1)
	_, err = material.Haul(sources, sinks)
	require.ErrorAs(t, err, &e)
	assert.Equal(t, "too_many_haul_places", e.Code)
}

func BenchmarkHaul(b *testing.B) {
	sources, sinks := randomPlaces(rand.New(rand.NewSource(5)), material.MostHaulPlaces, material.MostHaulPlaces)
	for b.Loop() {
		if _, err := material.Haul(sources, sinks); err != nil {
			b.Fatal(err)
		}
	}
}

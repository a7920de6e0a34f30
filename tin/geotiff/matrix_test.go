package geotiff_test

import (
	"bytes"
	"encoding/binary"
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"

	"barrow/tin/geotiff"
	"barrow/tin/raster"
)

// Every combination of what is read gives the same levels.
func TestEveryCombination(t *testing.T) {
	kinds := []kind{{8, 1}, {8, 2}, {16, 1}, {16, 2}, {32, 1}, {32, 2}, {32, 3}, {64, 3}}
	tried := 0
	for _, k := range kinds {
		levels := levelsOf(k, 21*19)
		for _, order := range []binary.ByteOrder{binary.LittleEndian, binary.BigEndian} {
			for _, compression := range []int{1, 5, 8, 32946, 32773} {
				for predictor := 1; predictor <= 3; predictor++ {
					if predictor == 3 && k.format != 3 {
						continue
					}
					for _, tile := range []int{0, 16} {
						for bands := 1; bands <= 3; bands += 2 {
							for _, apart := range []bool{false, true} {
								m := plain()
								m.order, m.big, m.columns, m.rows, m.bands, m.apart = order, tried%2 == 1, 21, 19, bands, apart
								m.tile, m.strip, m.compression, m.predictor, m.kind, m.levels = tile, 5, compression, predictor, k, levels
								tried++
								g, err := geotiff.Read(t.Context(), bytes.NewReader(m.bytes()), "a.tif", raster.Options{})
								require.NoError(t, err)
								for i, want := range levels {
									if got := g.Level(i%21, 18-i/21); got != want {
										t.Fatalf("%+v, %v, big %v, compression %d, predictor %d, tile %d, %d bands, apart %v: sample %d is %v, want %v",
											k, order, m.big, compression, predictor, tile, bands, apart, i, got, want)
									}
								}
							}
						}
					}
				}
			}
		}
	}
	require.Equal(t, 1440, tried)
}

// levelsOf makes levels that use the whole range of a kind, within what is ground,
// with runs.
func levelsOf(k kind, n int) []float64 {
	rng := rand.New(rand.NewPCG(uint64(k.bits), uint64(k.format)))
	levels := make([]float64, n)
	for i := range levels {
		if i > 0 && rng.IntN(3) == 0 {
			levels[i] = levels[i-1]
			continue
		}
		v := rng.Float64()
		switch {
		case k.format == 3 && k.bits == 32:
			v = float64(float32(1000 * (v - 0.5)))
		case k.format == 3:
			v = 1000 * (v - 0.5)
		case k.format == 1:
			v = math.Floor(v * min(1e9, math.Pow(2, float64(k.bits))-3))
		default:
			v = math.Floor((v-0.5)*min(2e9, math.Pow(2, float64(k.bits))-8)) + 2
		}
		levels[i] = v
	}
	return levels
}

// A long run and noise fill the LZW table several times over.
func TestLZWTable(t *testing.T) {
	m := plain()
	m.columns, m.rows, m.strip, m.compression, m.kind = 300, 200, 200, 5, kind{16, 1}
	m.levels = levelsOf(m.kind, 300*200)
	for i := range 10000 {
		m.levels[i] = 7
	}
	g, err := geotiff.Read(t.Context(), bytes.NewReader(m.bytes()), "a.tif", raster.Options{})
	require.NoError(t, err)
	for i, want := range m.levels {
		require.Equal(t, want, g.Level(i%300, 199-i/300))
	}
}

func BenchmarkRead(b *testing.B) {
	for _, n := range []int{1000, 4000} {
		for _, compression := range []int{1, 8} {
			for _, predictor := range []int{1, 3} {
				m := plain()
				m.columns, m.rows, m.strip, m.compression, m.predictor = n, n, 16, compression, predictor
				m.levels = make([]float64, n*n)
				for i := range m.levels {
					c, r := float64(i%n), float64(i/n)
					m.levels[i] = math.Round(100*(60+5*math.Sin(c/300)+4*math.Cos(r/200)+0.02*math.Sin(c*r))) / 100
				}
				data := m.bytes()
				m.levels = nil
				b.Run(fmt.Sprintf("n=%dx%d/compression=%d/predictor=%d", n, n, compression, predictor), func(b *testing.B) {
					b.SetBytes(int64(4 * n * n))
					b.ReportAllocs()
					for b.Loop() {
						g, err := geotiff.Read(b.Context(), bytes.NewReader(data), "a.tif", raster.Options{})
						if err != nil || len(g.Levels) != n*n {
							b.Fatal(err)
						}
					}
				})
			}
		}
	}
}

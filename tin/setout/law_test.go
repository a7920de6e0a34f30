package setout_test

import (
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"barrow/tin"
	"barrow/tin/setout"
)

// levelled makes a book over ground of known levels: readings are what a staff at each
// place would show, to the millimetre, some places being above the line of sight.
func levelled(random *rand.Rand, rows int) (b *setout.Book, levels []setout.Decimal) {
	const mm = 1000
	b = &setout.Book{Unit: tin.Metre, Places: 3}
	level := setout.Decimal(random.IntN(100_000)) * mm
	line := setout.Decimal(0)
	for i := range rows {
		row := setout.Row{Line: i + 2, Distance: setout.Given(setout.Decimal(i) * 10 * mm * mm)}
		if i > 0 {
			reading := setout.Decimal(random.IntN(9000)-3000) * mm
			level = line - reading
			if i < rows-1 && random.IntN(3) > 0 {
				row.Intermediate = setout.Given(reading)
			} else {
				row.Foresight = setout.Given(reading)
			}
		}
		if i < rows-1 && !row.Intermediate.Given {
			row.Backsight = setout.Given(setout.Decimal(random.IntN(4000)) * mm)
			line = level + row.Backsight.Value
		}
		if i == 0 || i == rows-1 {
			row.Known = setout.Given(level)
		}
		b.Rows = append(b.Rows, row)
		levels = append(levels, level)
	}
	return b, levels
}

// A book levelled over known ground gives that ground back to the last digit; with the
// datum moved it moves along; and with the last known level off, the misclosure is that
// and is spread without a step: corrections go one way, from nothing to all of it.
func TestLaws(t *testing.T) {
	random := rand.New(rand.NewPCG(6, 1))
	for range 300 {
		b, levels := levelled(random, 2+random.IntN(40))
		opts := setout.BookOptions{Allowance: setout.Allowance{Constant: 1e6, Per: setout.Root(1 + random.IntN(3))}}
		r, err := b.Reduce(opts)
		require.NoError(t, err)
		require.Empty(t, r.Warnings)
		last := len(levels) - 1
		for i := range levels {
			require.Equal(t, levels[i], r.Rows[i].Level)
		}
		off := setout.Decimal(random.IntN(41)-20) * 1000
		b.Rows[0].Known.Value += 7e6
		b.Rows[last].Known.Value += 7e6 - off
		moved, err := b.Reduce(opts)
		require.NoError(t, err)
		require.True(t, moved.Distributed)
		require.Equal(t, off, moved.Closures[0].Misclosure)
		require.Equal(t, b.Rows[last].Known.Value, moved.Rows[last].Level)
		before := setout.Decimal(0)
		for i := range levels {
			require.Equal(t, levels[i]+7e6, moved.Rows[i].ByCollimation)
			require.Zero(t, moved.Rows[i].Correction%1000, "corrections have the decimals of the book")
			if b.Rows[i].Intermediate.Given {
				require.Equal(t, moved.Rows[moved.SetUps[moved.Rows[i].SetUp].Row].Correction, moved.Rows[i].Correction)
				continue
			}
			step := moved.Rows[i].Correction - before
			assert.LessOrEqual(t, step*off, setout.Decimal(0))
			before = moved.Rows[i].Correction
		}
	}
}

func BenchmarkReduce(b *testing.B) {
	book, _ := levelled(rand.New(rand.NewPCG(6, 1)), 10_000)
	b.ReportAllocs()
	for b.Loop() {
		if _, err := book.Reduce(setout.BookOptions{Allowance: setout.Allowance{Constant: 1e6, Per: setout.PerSetUp}}); err != nil {
			b.Fatal(err)
		}
	}
}

package setout_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"barrow/tin"
	"barrow/tin/setout"
)

// A book is read and reduced or refused with a code; what is reduced is the same by
// both methods, holds its own checks, and ends on the levels that are known.
func FuzzReadBook(f *testing.F) {
	for _, text := range []string{lev1, lev1Booked, line4, "", "point,bs,fs,level\n", "bs;fs;level;ignored\n1;;10;x\n;-1 inverted;11\n",
		"backsight,foresight,level,distance\n1,,10,0\n1,1,,0\n,1,10.5,0\n", "backsight,foresight,level\n999,,99999\n,-999,\n", "\"a\n\",b"} {
		f.Add(text, int64(5000), uint8(3))
	}
	f.Fuzz(func(t *testing.T, text string, constant int64, per uint8) {
		b, err := setout.ReadBook(strings.NewReader(text), "book.csv", tin.Metre)
		if err != nil {
			refused(t, err)
			return
		}
		opts := setout.BookOptions{Allowance: setout.Allowance{Constant: setout.Decimal(constant % 1e12), Per: setout.Root(per % 4)}, Staff: setout.Given(5e6)}
		r, err := b.Reduce(opts)
		if err != nil {
			refused(t, err)
			return
		}
		for i := range r.Rows {
			require.Equal(t, r.Rows[i].ByCollimation, r.Rows[i].ByRiseAndFall)
		}
		for _, c := range r.Checks {
			require.True(t, c.Booked || c.Holds(), c.What)
		}
		for _, c := range r.Closures {
			if r.Distributed && !c.Intermediate {
				require.Equal(t, c.Known, r.Rows[c.To].Level)
			}
		}
	})
}

func refused(t *testing.T, err error) {
	t.Helper()
	var e *tin.InputError
	require.ErrorAs(t, err, &e)
	require.NotEmpty(t, e.Code)
}

func FuzzParseDecimal(f *testing.F) {
	for _, text := range []string{"1.432", "-2.956", ".5", "5.", "", "1000000", "-", "0.0000001"} {
		f.Add(text)
	}
	f.Fuzz(func(t *testing.T, text string) {
		d, places, err := setout.ParseDecimal(text)
		if err != nil {
			return
		}
		again, _, err := setout.ParseDecimal(d.Text(places))
		require.NoError(t, err)
		require.Equal(t, d, again)
	})
}

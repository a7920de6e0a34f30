package formation_test

import (
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"barrow/tin"
	"barrow/tin/formation"
)

func TestParseSlope(t *testing.T) {
	for text, want := range map[string]float64{
		"1:80":     0.0125,
		" 1 : 80 ": 0.0125,
		"1:1":      1,
		"1:66.5":   1 / 66.5,
		"1.0:100":  0.01,
		"1.25 %":   0.0125,
		"1.25%":    0.0125,
		"1.1 %":    0.011, // 1.1 / 100 in doubles is not
		"100 %":    1,
		"0 %":      0,
		".5%":      0.005,
		"0.0125":   0.0125,
		"0":        0,
		"0.25":     0.25,
		"50 %":     0.5,
	} {
		got, err := formation.ParseSlope(text)
		if assert.NoError(t, err, text) {
			assert.Equal(t, want, got, text)
		}
	}
}

func TestParseSlopeRefuses(t *testing.T) {
	for _, c := range []struct{ text, message, hint string }{
		{"", "empty", "1:80"},
		{"  ", "empty", "1:80"},
		{"1V:80H", "letters of a batter", "1:80"},
		{"1v:80h", "letters of a batter", "1:80"},
		{"-1:80", "sign", "180 degrees"},
		{"-1 %", "sign", "180 degrees"},
		{"+1 %", "not a number", "1.25 %"},
		{"1,25 %", "comma", "point"},
		{"80:1", "does not start with 1", `did you mean "1:80"?`},
		{"2:100", "does not start with 1", `write it as "1:50"`},
		{"0:80", "does not start with 1", "1:80"},
		{"0:0", "does not start with 1", "1:80"},
		{"1:0.5", "steeper than 1:1", "1:80"},
		{"1:0", "steeper than 1:1", "1:80"},
		{"1:", "not a ratio", "1:80"},
		{":80", "not a ratio", "1:80"},
		{"1:2:3", "not a ratio", "1:80"},
		{"1:-80", "not a ratio", "1:80"},
		{"1:1e2", "not a ratio", "1:80"},
		{"1:" + strings.Repeat("9", 400), "not a ratio", "1:80"},
		{"101 %", "steeper than 100 %", "1.25 %"},
		{"%", "not a number", "1.25 %"},
		{"1 %%", "not a number", "1.25 %"},
		{"1.2.3 %", "not a number", "1.25 %"},
		{"1.25", "steeper than 1:1", `did you mean "1.25 %" or "1:1.25"?`},
		{"0.5", "per cent", `write "0.5 %" or "50 %"`},
		{"1", "per cent", `write "1 %"`},
		{"1e-2", "cannot be read", "1:80"},
		{"0x1p-7", "cannot be read", "1:80"},
		{"1_0", "cannot be read", "1:80"},
		{"nan", "cannot be read", "1:80"},
		{"inf", "cannot be read", "1:80"},
		{"1 in 80", "cannot be read", "1:80"},
		{"1/80", "cannot be read", "1:80"},
		{".", "cannot be read", "1:80"},
		{"level", "cannot be read", "1:80"},
		{"1 : 80 %", "not a ratio", "1:80"},
	} {
		t.Run(c.text, func(t *testing.T) {
			_, err := formation.ParseSlope(c.text)
			in := inputErr(t, err, formation.CodeBadSlope)
			assert.Contains(t, in.Message, c.message)
			assert.Contains(t, in.Hint, c.hint)
			assert.Empty(t, in.Key)
			assert.Less(t, len(in.Error()), 250)
		})
	}
}

func TestParseBatter(t *testing.T) {
	for text, want := range map[string]float64{
		"1V:2H":       2,
		"1v:2h":       2,
		" 1 V : 2 H ": 2,
		"1V:0H":       0,
		"1V:0.75H":    0.75,
		"1.0V:1.5H":   1.5,
	} {
		got, err := formation.ParseBatter(text)
		if assert.NoError(t, err, text) {
			assert.Equal(t, want, got, text)
			again, err := formation.ParseBatter(formation.Batter{Along: got}.String())
			assert.NoError(t, err)
			assert.Equal(t, got, again)
		}
	}
}

func TestParseBatterRefuses(t *testing.T) {
	for _, c := range []struct{ text, message, hint string }{
		{"", "empty", "1V:2H"},
		{"1:2", "different things in different countries", `write "1V:2H" or "1V:0.5H"`},
		{" 1 : 1.5 ", "different things in different countries", `"1V:1.5H"`},
		{"1:1", "has no letters", `write "1V:1H"`},
		{"2:2", "has no letters", `write "1V:1H"`},
		{"2H:1V", "does not start with 1V", `write "1V:2H"`},
		{"2V:1H", "does not start with 1V", `write "1V:0.5H"`},
		{"1H:0V", "cannot be read", "1V:2H"},
		{"0V:1H", "cannot be read", "1V:2H"},
		{"1V:2V", "cannot be read", "1V:2H"},
		{"1V:2", "cannot be read", "1V:2H"},
		{"1:2H", "cannot be read", "1V:2H"},
		{"1V", "cannot be read", "1V:2H"},
		{"2H", "cannot be read", "1V:2H"},
		{"1V:H", "cannot be read", "1V:2H"},
		{"V:2H", "cannot be read", "1V:2H"},
		{"1V:-2H", "cannot be read", "1V:2H"},
		{"-1V:2H", "cannot be read", "1V:2H"},
		{"1V:2H:3", "cannot be read", "1V:2H"},
		{"1V:1 2H", "cannot be read", "1V:2H"},
		{"1V:1,5H", "comma", "point"},
		{"1V:1e1H", "cannot be read", "1V:2H"},
		{"1V:infH", "cannot be read", "1V:2H"},
		{"45", "cannot be read", "1V:2H"},
		{"1V:" + strings.Repeat("9", 400) + "H", "cannot be read", "1V:2H"},
		{"upright", "cannot be read", "1V:2H"},
		{"1V:2Hé", "cannot be read", "1V:2H"},
	} {
		t.Run(c.text, func(t *testing.T) {
			_, err := formation.ParseBatter(c.text)
			in := inputErr(t, err, formation.CodeBadBatter)
			assert.Contains(t, in.Message, c.message)
			assert.Contains(t, in.Hint, c.hint)
			assert.Empty(t, in.Key)
		})
	}
}

func FuzzParseSlope(f *testing.F) {
	for _, s := range []string{"1:80", "1.25 %", "0.0125", "1V:80H", "80:1", "2:100", "1:" + strings.Repeat("0", 50), "-1", "é:1", "\xff%"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		got, err := formation.ParseSlope(s)
		if err != nil {
			inputErr(t, err, formation.CodeBadSlope)
			return
		}
		require.True(t, got >= 0 && got <= 1, "%q is %g", s, got)
		require.NotContains(t, strings.ToUpper(s), "V")
		if !strings.ContainsAny(s, ":%") {
			require.LessOrEqual(t, got, 0.25)
		}
	})
}

func FuzzParseBatter(f *testing.F) {
	for _, s := range []string{"1V:2H", "1v:.5h", "1:2", "2H:1V", "1V:-2H", "1V:2H:", "V:H", "\xffV:1H"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		got, err := formation.ParseBatter(s)
		if err != nil {
			inputErr(t, err, formation.CodeBadBatter)
			return
		}
		require.True(t, got >= 0 && !math.IsInf(got, 0), "%q is %g", s, got)
		require.Contains(t, strings.ToUpper(s), "V")
		require.Contains(t, strings.ToUpper(s), "H")
		again, err := formation.ParseBatter(formation.Batter{Along: got}.String())
		require.NoError(t, err)
		require.Equal(t, got, again)
	})
}

// inputErr requires an input error with a code, a message and a way to mend it.
func inputErr(t *testing.T, err error, code string) *tin.InputError {
	t.Helper()
	var in *tin.InputError
	require.ErrorAs(t, err, &in)
	assert.Equal(t, code, in.Code, in.Error())
	assert.NotEmpty(t, in.Message)
	assert.NotEmpty(t, in.Hint)
	return in
}

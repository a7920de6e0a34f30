package pointfile

import (
	"context"
	"fmt"
	"math/rand/v2"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"barrow/tin"
)

// readSlowly reads as Read does, but never takes the quick way.
func readSlowly(text, columns string) (*File, error) {
	stated, stateErr := parseColumns(columns)
	if stateErr != nil {
		stateErr.File = "p"
		return nil, stateErr
	}
	p := &parser{lines: lines{ctx: context.Background(), r: strings.NewReader(text), name: "p"}, file: &File{Name: "p"}}
	block, err := p.lines.next()
	if err != nil {
		return nil, err
	}
	if err := p.layOut(block, stated); err != nil {
		return nil, err
	}
	p.slowOnly = true
	for block != nil {
		if err := p.block(block); err != nil {
			return nil, err
		}
		if block, err = p.lines.next(); err != nil {
			return nil, err
		}
	}
	if err := p.finish(); err != nil {
		return nil, err
	}
	return p.file, nil
}

func assertSame(t *testing.T, text, columns string) {
	t.Helper()
	want, wantErr := readSlowly(text, columns)
	got, err := Read(t.Context(), strings.NewReader(text), "p", Options{Columns: columns})
	require.Equal(t, wantErr, err, "%q %q", columns, text)
	if err != nil {
		return
	}
	assert.Equal(t, dump(want), dump(got), "%q %q", columns, text)
}

func dump(f *File) string {
	c := *f
	c.Points = nil
	return fmt.Sprintf("%+v %+v", c, append([]tin.Point{}, f.Points...))
}

// The quick way and the other must read every line alike, notes included.
func TestFastIsSlow(t *testing.T) {
	rng := rand.New(rand.NewPCG(5, 6))
	pieces := []string{
		"1", "500.5", "600.25", "7", "-999", "-9999.0", "nan", "***", "", " ", "\t", ",", ";", "\"", "GRD", "a b", "#", "//",
		"5.", ".5", "5,5", "1,234", "1e3", "é", "\xC4", "\x1a", "\r", "500000.12345", "1e10", "9007199254740993", "\"a,b\"", "\"500,5\"", "3\" PIPE",
	}
	orders := []string{"number, easting, northing, level, code", "easting, northing", "code, northing, easting, level",
		"number, description, easting, northing, code", "easting, northing, level, ignored"}
	for range 8000 {
		sep := []string{",", ";", "\t", " "}[rng.IntN(4)]
		order := orders[rng.IntN(len(orders))]
		var b strings.Builder
		for range 1 + rng.IntN(3) {
			for i, word := range strings.Split(order, ", ") {
				if i > 0 {
					b.WriteString(sep)
				}
				switch {
				case rng.IntN(8) == 0:
					b.WriteString(pieces[rng.IntN(len(pieces))])
				case word == "easting" || word == "northing" || word == "level":
					b.WriteString(pieces[1+rng.IntN(3)])
				default:
					b.WriteString([]string{"12", "GRD"}[rng.IntN(2)])
				}
			}
			b.WriteString("\n")
		}
		assertSame(t, b.String(), order)
		if t.Failed() {
			return
		}
	}
}

func FuzzFastIsSlow(f *testing.F) {
	f.Add("1,500,600,7,GRD\n2,500.5,600.5,,\n", "number,easting,northing,level,code")
	f.Add("1;500,5;600;7;GRD\n", "number,easting,northing,level,code")
	f.Add("e n z\n1 2 3\n4\t5 6 \n", "")
	f.Fuzz(func(t *testing.T, text, columns string) {
		if len(text) < 4096 && len(columns) < 256 {
			assertSame(t, text, columns)
		}
	})
}

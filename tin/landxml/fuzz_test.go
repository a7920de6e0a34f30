package landxml_test

import (
	"bytes"
	"errors"
	"os"
	"path/filepath"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"

	"barrow/tin"
	"barrow/tin/landxml"
)

// FuzzRead reads anything without a panic: bad input is an InputError with a code
// and a hint; what was read is sound, and comes back from what is written of it.
func FuzzRead(f *testing.F) {
	files, err := filepath.Glob("testdata/*.xml")
	require.NoError(f, err)
	for _, name := range files {
		text, err := os.ReadFile(name)
		require.NoError(f, err)
		f.Add(text)
	}
	for _, text := range []string{
		document(tri), surface(square, "<F>1 2 3 4</F>"), surface(square, "<F>1 2 3</F><F>1 2 4</F>"),
		source("<DataPoints><PntList3D>1 2 3 &#32;4<!-- -->5 6<![CDATA[7 8]]> 9</PntList3D></DataPoints>"),
		document("<CgPoints><CgPoint name='a' pntRef='b'/><CgPoint name='b' pntRef='a'/></CgPoints>"),
		document("<Parcels><Parcel name='p'><CoordGeom>" + arc("cw", 0, 10, 0, 0, 10, 0) + "</CoordGeom></Parcel></Parcels>"),
		"<!DOCTYPE x [<!ENTITY a 'b'>]><LandXML>&a;</LandXML>", "\xFF\xFE<\x00", "<?xml version='1.0' encoding='Shift_JIS'?><LandXML/>",
	} {
		f.Add([]byte(text))
	}
	f.Fuzz(func(t *testing.T, text []byte) {
		got, err := landxml.Read(t.Context(), bytes.NewReader(text), "f.xml", landxml.Options{MaxPoints: 20_000})
		if err != nil {
			var e *tin.InputError
			if !errors.As(err, &e) || e.Code == "" || e.Message == "" || e.Hint == "" || e.File != "f.xml" {
				t.Fatalf("%#v", err)
			}
			return
		}
		sound(t, got)
		got.Features = slices.DeleteFunc(got.Features, func(x landxml.Feature) bool { return x.Err != nil })
		if len(got.Surfaces)+len(got.Points)+len(got.NotGround)+len(got.Features) == 0 {
			return
		}
		got.Date, got.Time = "2020-01-01", "00:00:00"
		var b bytes.Buffer
		if landxml.Write(&b, got) != nil {
			return // read more kindly than written: names twice, no unit
		}
		again, err := landxml.Read(t.Context(), &b, "f.xml", landxml.Options{})
		require.NoError(t, err)
		sound(t, again)
		require.Equal(t, len(got.Surfaces), len(again.Surfaces))
		for i := range got.Surfaces {
			require.Equal(t, got.Surfaces[i].Faces, again.Surfaces[i].Faces)
			require.Len(t, again.Surfaces[i].Points, len(got.Surfaces[i].Points))
		}
	})
}

// sound checks what Read promises of a file.
func sound(t *testing.T, f *landxml.File) {
	for i := range f.Surfaces {
		s := &f.Surfaces[i]
		sides := make(map[[2]int32]bool)
		named := make([]bool, len(s.Points))
		for _, face := range s.Faces {
			for k, v := range face {
				require.True(t, v >= 0 && int(v) < len(s.Points))
				require.True(t, s.Points[v].HasLevel())
				side := [2]int32{v, face[(k+1)%3]}
				require.False(t, sides[side], "two faces on one side of an edge")
				sides[side] = true
				named[v] = true
			}
		}
		if s.Faces != nil {
			require.NotContains(t, named, false, "a point in no face")
		}
	}
	for _, x := range f.Features {
		require.Equal(t, x.Err == nil, len(x.Vertices) > 1)
	}
	for _, n := range f.Notes {
		require.NotEmpty(t, n.Code)
		require.NotEmpty(t, n.Message)
	}
}

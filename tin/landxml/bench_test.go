package landxml_test

import (
	"bytes"
	"context"
	"fmt"
	"io"
	"math"
	"testing"

	"barrow/tin"
	"barrow/tin/landxml"
)

// grid is a surface of columns by rows points and two faces a cell, with
// millimetres in every number.
func grid(columns, rows int) *landxml.File {
	s := landxml.Surface{Name: "ground"}
	for j := range rows {
		for i := range columns {
			s.Points = append(s.Points, tin.Point{
				E: 312000 + float64(i) + 0.001*float64(i%7), N: 5812000 + float64(j) + 0.001*float64(j%5),
				Level: math.Round(1000*(60+math.Sin(float64(i)/30)+math.Cos(float64(j)/20))) / 1000,
			})
		}
	}
	for j := range rows - 1 {
		for i := range columns - 1 {
			a := int32(j*columns + i)
			b, c, d := a+1, a+int32(columns)+1, a+int32(columns)
			s.Faces = append(s.Faces, [3]int32{a, b, d}, [3]int32{b, c, d})
		}
	}
	return &landxml.File{Date: "2020-01-01", Time: "00:00:00", Unit: tin.Metre, Surfaces: []landxml.Surface{s}}
}

func BenchmarkRead(b *testing.B) {
	for _, side := range []int{32, 317, 1000} {
		f := grid(side, side)
		var text bytes.Buffer
		if err := landxml.Write(&text, f); err != nil {
			b.Fatal(err)
		}
		b.Run(fmt.Sprintf("points=%d", side*side), func(b *testing.B) {
			b.SetBytes(int64(text.Len()))
			b.ReportAllocs()
			for b.Loop() {
				got, err := landxml.Read(context.Background(), bytes.NewReader(text.Bytes()), "b.xml", landxml.Options{})
				if err != nil || len(got.Surfaces[0].Faces) != 2*(side-1)*(side-1) {
					b.Fatal(err)
				}
			}
		})
	}
}

func BenchmarkWrite(b *testing.B) {
	f := grid(1000, 1000)
	b.ReportAllocs()
	for b.Loop() {
		if err := landxml.Write(io.Discard, f); err != nil {
			b.Fatal(err)
		}
	}
}

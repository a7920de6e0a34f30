package pointfile_test

import (
	"bytes"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"math/rand/v2"
	"strconv"
	"testing"

	"barrow/tin"
	"barrow/tin/pointfile"
)

// surveyFile makes a file of n points: number, easting, northing, level, code.
func surveyFile(n int) []byte {
	rng := rand.New(rand.NewPCG(1, 2))
	var b bytes.Buffer
	b.WriteString("number,easting,northing,level,code\n")
	codes := []string{"GRD", "KB", "TB", "FENCE"}
	for i := range n {
		fmt.Fprintf(&b, "%d,%.3f,%.3f,%.3f,%s\n", i+1, 312000+1000*rng.Float64(), 5812000+1000*rng.Float64(),
			60+10*rng.Float64(), codes[rng.IntN(len(codes))])
	}
	return b.Bytes()
}

func BenchmarkRead(b *testing.B) {
	for _, n := range []int{1e4, 1e5, 1e6} {
		data := surveyFile(n)
		b.Run(fmt.Sprintf("n=%d", n), func(b *testing.B) {
			b.SetBytes(int64(len(data)))
			b.ReportAllocs()
			for b.Loop() {
				f, err := pointfile.Read(b.Context(), bytes.NewReader(data), "b.csv", pointfile.Options{})
				if err != nil || len(f.Points) != n {
					b.Fatal(err, len(f.Points))
				}
			}
		})
		b.Run(fmt.Sprintf("encoding-csv/n=%d", n), func(b *testing.B) {
			b.SetBytes(int64(len(data)))
			b.ReportAllocs()
			for b.Loop() {
				points, err := readCSV(data)
				if err != nil || len(points) != n {
					b.Fatal(err, len(points))
				}
			}
		})
	}
}

// readCSV is the plain way with the standard library, without any check.
func readCSV(data []byte) ([]tin.Point, error) {
	r := csv.NewReader(bytes.NewReader(data))
	r.ReuseRecord = true
	if _, err := r.Read(); err != nil {
		return nil, err
	}
	var points []tin.Point
	for {
		rec, err := r.Read()
		if errors.Is(err, io.EOF) {
			return points, nil
		}
		if err != nil {
			return nil, err
		}
		p := tin.Point{Name: rec[0], Code: rec[4]}
		for i, dst := range []*float64{&p.E, &p.N, &p.Level} {
			if *dst, err = strconv.ParseFloat(rec[1+i], 64); err != nil {
				return nil, err
			}
		}
		points = append(points, p)
	}
}

func BenchmarkDescribe(b *testing.B) {
	for _, n := range []int{1e4, 1e5, 1e6} {
		f, err := pointfile.Read(b.Context(), bytes.NewReader(surveyFile(n)), "b.csv", pointfile.Options{})
		if err != nil {
			b.Fatal(err)
		}
		b.Run(fmt.Sprintf("n=%d", n), func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				if d, err := pointfile.Describe(b.Context(), f); err != nil || d.Points != n {
					b.Fatal(err, d.Points)
				}
			}
		})
	}
}

package geojson_test

import (
	"fmt"
	"strings"
	"testing"

	"barrow/tin/geojson"
)

func BenchmarkReadLines(b *testing.B) {
	for _, n := range []int{1e3, 1e4, 1e5} {
		var s strings.Builder
		s.WriteString(`{"type":"LineString","coordinates":[[312000,5812000]`)
		for i := range n - 1 {
			fmt.Fprintf(&s, ",\n[%d.125,%d.25,62.5]", 312001+i, 5812000+i)
		}
		s.WriteString("]}")
		text := s.String()
		b.Run(fmt.Sprintf("n=%d", n), func(b *testing.B) {
			b.SetBytes(int64(len(text)))
			b.ReportAllocs()
			for b.Loop() {
				lines, err := geojson.ReadLines(strings.NewReader(text), "b.geojson", geojson.Options{})
				if err != nil || len(lines[0].Vertices) != n {
					b.Fatal(err)
				}
			}
		})
	}
}

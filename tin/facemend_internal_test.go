package tin

import (
	"context"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Faces that rounding has spoilt become such as Build takes, over the same area.
func TestMend(t *testing.T) {
	at := func(values ...float64) (points []Point) {
		for i := 0; i < len(values); i += 2 {
			points = append(points, Point{E: values[i], N: values[i+1], Level: values[i]})
		}
		return points
	}
	square := []float64{0, 0, 10, 0, 10, 10, 0, 10}
	tests := []struct {
		name  string
		s     Source
		area  float64
		faces int
	}{
		{"nothing to mend", Source{Points: at(square...), Faces: [][3]int32{{0, 1, 2}, {0, 2, 3}}}, 100, 2},
		{"flat within", Source{Points: at(append(square, 5, 5)...), Faces: [][3]int32{{0, 1, 4}, {1, 2, 4}, {0, 4, 2}, {0, 2, 3}}}, 100, 4},
		{"turned within", Source{Points: at(append(square, 5.001, 5)...), Faces: [][3]int32{{0, 1, 4}, {1, 2, 4}, {0, 2, 3}, {2, 0, 4}}}, 100, 4},
		{"flat at the rim", Source{Points: at(append(square, 5, 0)...), Faces: [][3]int32{{0, 1, 4}, {4, 1, 2}, {0, 4, 3}, {4, 2, 3}}}, 100, 3},
		{"two flat beside one another", Source{Points: at(append(square, 4, 4, 6, 6)...),
			Faces: [][3]int32{{0, 1, 4}, {1, 5, 4}, {1, 2, 5}, {0, 4, 5}, {0, 5, 2}, {0, 2, 3}}}, 100, 6},
		{"two points at one place", Source{Points: at(append(square, 5, 5, 5, 5)...),
			Faces: [][3]int32{{0, 1, 4}, {1, 5, 4}, {1, 2, 5}, {4, 5, 3}, {0, 4, 3}, {5, 2, 3}}}, 100, 4},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			got, err := tt.s.mend()
			require.NoError(t, err)
			s, err := Build(context.Background(), []Source{got}, Options{})
			require.NoError(t, err)
			assert.Equal(t, tt.faces, s.Stats().Triangles)
			assert.InDelta(t, tt.area, s.Stats().Area, 1e-9)
		})
	}
}

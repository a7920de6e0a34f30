package takeoff

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

func TestNearestWord(t *testing.T) {
	words := []string{"margin", "outline", "finished", "points"}
	for word, want := range map[string]string{
		"mragin": "margin", "margn": "margin", "marginn": "margin", "outlines": "outline", "finish": "finished",
		"point": "points", "batter": "", "x": "", "": "",
	} {
		assert.Equal(t, want, NearestWord(word, words), word)
	}
}

func TestEditDistance(t *testing.T) {
	for _, tt := range []struct {
		a, b string
		want int
	}{{"", "", 0}, {"abc", "", 3}, {"abc", "abc", 0}, {"abc", "acb", 1}, {"kitten", "sitting", 3}, {"ca", "abc", 3}} {
		assert.Equal(t, tt.want, editDistance(tt.a, tt.b), "%s %s", tt.a, tt.b)
		assert.Equal(t, tt.want, editDistance(tt.b, tt.a), "%s %s", tt.b, tt.a)
	}
}

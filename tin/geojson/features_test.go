package geojson_test

import (
	"bytes"
	"encoding/json"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"barrow/tin"
	"barrow/tin/geojson"
)

func TestWriteFeatures(t *testing.T) {
	hostile := "</script><!-- \"\\ \u202e\u0000\n\u2028 ä"
	features := []geojson.Feature{
		{
			Properties: []geojson.Property{{Key: "kind", Value: "crest"}, {Key: "name", Value: hostile}, {Key: "level", Value: 1.5}, {Key: "index", Value: true}, {Key: "n", Value: 3}},
			Points:     []tin.Point{{E: 100, N: 200, Level: 1.0 / 3}, {E: 300, N: 400, Level: math.NaN()}},
		},
		{Points: []tin.Point{{E: 1e6, N: 5.8e6, Level: 63.1}}},
	}
	var b bytes.Buffer
	require.NoError(t, geojson.WriteFeatures(&b, `ft"US`, features))
	assert.True(t, json.Valid(b.Bytes()))
	assert.NotContains(t, b.String(), "</script>")
	assert.NotContains(t, b.String(), "\x00")
	var top struct {
		Unit     string `json:"unit"`
		Are      string `json:"coordinates_are"`
		Features []struct {
			Properties map[string]any
		}
	}
	require.NoError(t, json.Unmarshal(b.Bytes(), &top))
	assert.Equal(t, `ft"US`, top.Unit)
	assert.Equal(t, geojson.SiteGrid, top.Are)
	assert.Equal(t, map[string]any{"kind": "crest", "name": hostile, "level": 1.5, "index": true, "n": 3.0}, top.Features[0].Properties)
	assert.Nil(t, top.Features[1].Properties)

	got, err := geojson.ReadShapes(&b, "w", geojson.Options{})
	require.NoError(t, err)
	require.Len(t, got.Lines, 1)
	require.Len(t, got.Points, 1)
	assert.Equal(t, 1.0/3, got.Lines[0].Vertices[0].Level)
	assert.False(t, got.Lines[0].Vertices[1].HasLevel())
	assert.Equal(t, 63.1, got.Points[0].Level)

	again, once := bytes.Buffer{}, bytes.Buffer{}
	require.NoError(t, geojson.WriteFeatures(&again, "m", features))
	require.NoError(t, geojson.WriteFeatures(&once, "m", features))
	assert.Equal(t, once.String(), again.String())
}

func TestWriteFeaturesErrors(t *testing.T) {
	at := []tin.Point{{E: 1, N: 2}}
	property := func(key string, value any) geojson.Feature {
		return geojson.Feature{Points: at, Properties: []geojson.Property{{Key: "kind", Value: "spot"}, {Key: key, Value: value}}}
	}
	for want, f := range map[string]geojson.Feature{
		"feature 2: it has no place": {},
		"not finite":                 {Points: []tin.Point{{E: math.Inf(1)}}},
		"stands for a missing one":   {Points: []tin.Point{{Level: -9999}, {}}},
		`"kind" is empty or stands`:  property("kind", "a"),
		`"" is empty or stands`:      property("", "a"),
		"not UTF-8":                  property("name", "\xff"),
		"is not UTF-8":               property("\xff", 1),
		`the property "level"`:       property("level", math.NaN()),
	} {
		err := geojson.WriteFeatures(&bytes.Buffer{}, "", []geojson.Feature{{Points: at}, f})
		assert.ErrorContains(t, err, want)
	}
}

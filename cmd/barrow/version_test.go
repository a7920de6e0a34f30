package main

import (
	"bytes"
	"encoding/json"
	"runtime/debug"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestVersionOfABuild(t *testing.T) {
	info := &debug.BuildInfo{Main: debug.Module{Version: "v1.2.3"}, Settings: []debug.BuildSetting{
		{Key: "vcs.revision", Value: "abc"}, {Key: "vcs.time", Value: "2026-03-01T07:00:00Z"}, {Key: "vcs.modified", Value: "true"},
	}}
	var text, object bytes.Buffer
	require.NoError(t, buildOf(info).write(&text))
	assert.Contains(t, text.String(), "\nmodule v1.2.3\nrevision abc of 2026-03-01T07:00:00Z, modified\nbuilt with go")
	require.NoError(t, buildOf(info).writeJSON(&object))
	var got struct{ Build map[string]any }
	require.NoError(t, json.Unmarshal(object.Bytes(), &got))
	assert.Equal(t, true, got.Build["modified"])
	text.Reset()
	require.NoError(t, buildOf(nil).write(&text))
	assert.Contains(t, text.String(), "\nmodule not known\nrevision not known\nbuilt with go")
}

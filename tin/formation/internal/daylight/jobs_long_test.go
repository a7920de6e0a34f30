//go:build long

package daylight

import "testing"

func TestManyFindsAgreeWithARaster(t *testing.T) {
	jobs := 10 * len(kinds)
	if testing.Short() {
		jobs /= 10
	}
	compareJobs(t, len(kinds), len(kinds)+jobs)
}

func TestManySmallJobsAgreeWithARaster(t *testing.T) {
	to := 6000
	if testing.Short() {
		to = 1200
	}
	compareSmall(t, 600, to)
}

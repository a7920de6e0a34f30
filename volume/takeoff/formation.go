package takeoff

import (
	"context"

	"barrow/tin"
)

// Formation returns what is there when a job's works are done, as surfaces in metres:
// pads and batters out to where they meet the stripped ground. Mostly it is one; see
// [barrow/tin/formation.Dig.Surfaces] for what parts them. Errors are those of [Run].
func Formation(ctx context.Context, job *Job, opts Options) ([]*tin.Surface, error) {
	r := newRun(ctx, job, opts)
	if err := r.do(job.check, r.build, r.findTopsoil, r.lay, r.findWorks); err != nil {
		return nil, err
	}
	return r.dig.Surfaces(ctx)
}

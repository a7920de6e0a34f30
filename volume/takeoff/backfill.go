package takeoff

import (
	"fmt"

	"barrow/tin"
	"barrow/tin/formation"
	"barrow/volume"
)

// voids is the space outside the structure on a pad that is filled up again.
type voids struct {
	outline, margin, batter volume.Void
}

// backfill measures what is filled up again round the structures of all pads.
func (r *run) backfill() error {
	r.voids = make([]voids, len(r.layout.Pads))
	for i := range r.job.Pads {
		b := r.job.Pads[i].Backfill
		if b == nil {
			continue
		}
		top, err := r.top(i)
		if err != nil {
			return err
		}
		around, err := r.layout.Around(r.ground, i, scaleMultiPolygon(b.Around, r.unit))
		if err != nil {
			return err
		}
		v := &r.voids[i]
		if v.outline, err = volume.VoidOverFacets(r.ctx, r.ground, around, top); err != nil {
			return err
		}
		if v.margin, err = volume.VoidOverFacets(r.ctx, r.ground, r.layout.Pads[i].Margin, top); err != nil {
			return err
		}
		v.batter = volume.VoidUnderFaces(r.ground.Frame(), r.dig.Pads[i].Faces, top)
	}
	return nil
}

// top returns what the backfill of a pad goes up to, in metres.
func (r *run) top(i int) (volume.Top, error) {
	pad := &r.job.Pads[i]
	switch b := pad.Backfill; b.UpTo {
	case BackfillStripped:
		return volume.Top{UpTo: volume.ToStripped}, nil
	case BackfillGround:
		return volume.Top{UpTo: volume.ToGround}, nil
	case BackfillLevel:
		if !finite(b.Level) {
			return volume.Top{}, badJob(formation.CodeBadLevel, fmt.Sprintf("pad[%d].backfill.to", i), "the backfill goes up to no level", "give it as a finite number")
		}
		return volume.Top{UpTo: volume.ToPlane, Plane: tin.LevelPlane(b.Level * r.unit)}, nil
	case BackfillFinished:
		if pad.Levels != nil {
			return volume.Top{}, badJob(codeBackfillFinished, fmt.Sprintf("pad[%d].backfill.to", i), finishedOfOwn, finishedOfOwnHint)
		}
		plane := r.layout.Pads[i].Plane
		plane.Level += float64(pad.layers().Thickness() * r.unit)
		return volume.Top{UpTo: volume.ToPlane, Plane: plane}, nil
	}
	return volume.Top{}, badJob(codeBadValue, fmt.Sprintf("pad[%d].backfill.to", i), fmt.Sprintf("backfill up to %q", pad.Backfill.UpTo), "use one of the constants")
}

// codeBackfillFinished is an error: backfill to the finished surface of a pad with
// levels of its own.
const codeBackfillFinished = "backfill_finished"

const (
	finishedOfOwn     = "the finished surface of a pad with levels of its own does not go on outside its outline"
	finishedOfOwnHint = `give a level, or to = "stripped ground"`
)

// backfillOf returns the backfill of a pad in the job's unit, nil without.
func (r *run) backfillOf(i int) *BackfillResult {
	b := r.job.Pads[i].Backfill
	if b == nil {
		return nil
	}
	v, vol := &r.voids[i], r.volumeUnit()
	out := &BackfillResult{To: b.UpTo, NetVoid: v.outline.Volume / vol, Margin: v.margin.Volume / vol, Batter: v.batter.Volume / vol,
		Area: (v.outline.Area + v.margin.Area + v.batter.Area) / r.areaUnit()}
	out.AsDug = out.NetVoid + out.Margin + out.Batter
	if b.UpTo == BackfillLevel {
		level := b.Level
		out.Level = &level
	}
	return out
}

// besideCut reports whether a job has volumes that are neither cut nor fill:
// thickenings below formation, or backfill.
func (r *run) besideCut() bool {
	for _, pad := range r.thick {
		for _, t := range pad {
			if len(t.Pieces)+len(t.Batter) > 0 {
				return true
			}
		}
	}
	for _, v := range r.voids {
		if v.outline.Volume+v.margin.Volume+v.batter.Volume > 0 {
			return true
		}
	}
	return false
}

package takeoff

import (
	"fmt"

	"barrow/volume"
	"barrow/volume/uncertainty"
)

// checkDeviations refuses standard deviations that are none.
func (j *Job) checkDeviations() error {
	check := func(v float64, key string) error {
		if !(v >= 0) || !finite(v) {
			return badJob(codeBadValue, key, fmt.Sprintf("a standard deviation of %g is none", v), "give a length, or 0 if it is not known")
		}
		return nil
	}
	for i := range j.Surveys {
		if err := check(j.Surveys[i].SpotDeviation, fmt.Sprintf("survey[%d].sd", i)); err != nil {
			return err
		}
		if err := check(j.Surveys[i].BenchmarkDeviation, fmt.Sprintf("survey[%d].benchmark.sd", i)); err != nil {
			return err
		}
	}
	for i := range j.Pads {
		for k, l := range j.Pads[i].Layers {
			if err := check(l.Deviation, fmt.Sprintf("pad[%d].layers[%d].sd", i, k)); err != nil {
				return err
			}
		}
	}
	return check(j.Ground.Topsoil.Deviation, "ground.topsoil.sd")
}

// sureness says how sure cut and fill are, as dug.
func (r *run) sureness() error { return r.surenessOf(true) }

// surenessOf says how sure cut and fill are, as dug or inside the outlines alone.
func (r *run) surenessOf(dug bool) error {
	r.tell("how sure", 0, 1)
	sensor := volume.NewSensor(r.ground)
	in := uncertainty.Input{Ground: r.ground}
	for i := range r.layout.Pads {
		p := &r.layout.Pads[i]
		if err := sensor.Facets(r.ctx, p.Facets); err != nil {
			return err
		}
		if dug {
			if err := sensor.Facets(r.ctx, p.Margin); err != nil {
				return err
			}
			sensor.Faces(r.dig.Pads[i].Faces)
		}
		c := r.measured[i].formed()
		in.OffGround = in.OffGround || uncovered(p, &c) > 0 || r.dig.Pads[i].OpenLength > 0
	}
	in.Sensitivity = sensor.Result()
	if len(in.Sensitivity.Weights) == 0 {
		return nil
	}
	for i := range r.surveys {
		s := &r.job.Surveys[i]
		in.Surveys = append(in.Surveys, uncertainty.Survey{Spot: s.SpotDeviation * r.unit, Common: s.BenchmarkDeviation * r.unit})
		for range r.surveys[i].sources {
			in.SurveyOf = append(in.SurveyOf, i)
		}
	}
	in.Others = r.otherInputs(&in.Sensitivity)
	u, err := uncertainty.Estimate(r.ctx, in)
	if err != nil {
		return err
	}
	r.sure = &u
	r.tell("how sure", 1, 1)
	return nil
}

// otherInputs are the inputs that the job gives standard deviations of: topsoil, and
// layers by name, whose errors all pads share.
func (r *run) otherInputs(s *volume.Sensitivity) (list []uncertainty.Other) {
	if d := r.job.Ground.Topsoil.Deviation; d > 0 && hasTopsoil(r.soil) {
		list = append(list, uncertainty.Other{Name: "topsoil", Gradient: [2]float64{-s.StrippedCut, s.StrippedFill}, Deviation: d * r.unit})
	}
	type layer struct {
		name      string
		deviation float64
	}
	index := map[layer]int{}
	for i := range r.job.Pads {
		c := r.measured[i].all()
		for _, l := range r.job.Pads[i].Layers {
			if l.Deviation == 0 {
				continue
			}
			key := layer{l.Name, l.Deviation}
			k, seen := index[key]
			if !seen {
				k = len(list)
				index[key] = k
				list = append(list, uncertainty.Other{Name: l.Name, Deviation: l.Deviation * r.unit})
			}
			list[k].Gradient[0] += c.CutArea
			list[k].Gradient[1] -= c.FillArea
		}
	}
	return list
}

// layerDeviations counts the layers of all pads, and those with a standard deviation.
func (r *run) layerDeviations() (layers, known int) {
	for i := range r.job.Pads {
		for _, l := range r.job.Pads[i].Layers {
			layers++
			if l.Deviation > 0 {
				known++
			}
		}
	}
	return layers, known
}

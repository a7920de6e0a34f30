package daylight

import "math"

func hypot(x, y float64) float64 { return math.Sqrt(float64(x*x) + float64(y*y)) }

package outing

import "math"

// Vec is a point or a step on the ground, metres.
type Vec struct{ X, Z float64 }

func (a Vec) plus(b Vec) Vec             { return Vec{a.X + b.X, a.Z + b.Z} }
func (a Vec) minus(b Vec) Vec            { return Vec{a.X - b.X, a.Z - b.Z} }
func (a Vec) times(k float64) Vec        { return Vec{a.X * k, a.Z * k} }
func (a Vec) dot(b Vec) float64          { return a.X*b.X + a.Z*b.Z }
func (a Vec) length() float64            { return math.Hypot(a.X, a.Z) }
func (a Vec) angle() float64             { return math.Atan2(a.Z, a.X) }
func (a Vec) distance(b Vec) float64     { return a.minus(b).length() }
func forward(heading float64) Vec        { return Vec{math.Cos(heading), math.Sin(heading)} }
func left(heading float64) Vec           { return Vec{-math.Sin(heading), math.Cos(heading)} }
func clamp(x, low, high float64) float64 { return min(high, max(low, x)) }

// towards moves x to goal by at most step.
func towards(x, goal, step float64) float64 { return x + clamp(goal-x, -step, step) }

// turnTowards moves a heading to goal the short way, by at most step.
func turnTowards(heading, goal, step float64) float64 {
	return heading + clamp(math.Remainder(goal-heading, 2*math.Pi), -step, step)
}

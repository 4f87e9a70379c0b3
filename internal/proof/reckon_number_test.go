package proof

import (
	"fmt"
	"math"
	"slices"
)

// z is the normal quantile of 0.975.
var z = math.Sqrt2 * math.Erfinv(0.95)

// share is k of n with the interval of Wilson (1927), by its formula.
func share(k, n int) m {
	if n == 0 {
		return m{"k": k, "n": n, "value": nil, "low": nil, "high": nil}
	}
	p, N := float64(k)/float64(n), float64(n)
	middle := (p + z*z/(2*N)) / (1 + z*z/N)
	half := z / (1 + z*z/N) * math.Sqrt(p*(1-p)/N+z*z/(4*N*N))
	return m{"k": k, "n": n, "value": p, "low": middle - half, "high": middle + half}
}

// atMost is the chance of at most k events where mean are expected.
func atMost(k int, mean float64) float64 {
	term, total := math.Exp(-mean), 0.0
	for i := range k + 1 {
		if i > 0 {
			term *= mean / float64(i)
		}
		total += term
	}
	return total
}

// halving finds where a rising function crosses 0 between low and high.
func halving(low, high float64, f func(float64) float64) float64 {
	for range 200 {
		if mid := (low + high) / 2; f(mid) < 0 {
			low = mid
		} else {
			high = mid
		}
	}
	return (low + high) / 2
}

// rate is a count per minute with the exact Poisson interval of Garwood (1936):
// the means at which as many events or more, or as few or fewer, come about with
// a chance of 2.5 %.
func rate(count int, minutes float64) m {
	if minutes == 0 {
		return m{"count": count, "minutes": minutes, "value": nil, "low": nil, "high": nil}
	}
	low := 0.0
	if count > 0 {
		low = halving(0, 1000, func(mean float64) float64 { return 1 - atMost(count-1, mean) - 0.025 })
	}
	high := halving(0, 1000, func(mean float64) float64 { return 0.025 - atMost(count, mean) })
	return m{"count": count, "minutes": minutes, "value": float64(count) / minutes, "low": low / minutes, "high": high / minutes}
}

// twoRates compares two rates by the exact test that is conditional on the sum:
// of all events so many are in the first, a binomial share.
func twoRates(k1 int, t1 float64, k2 int, t2 float64) m {
	out := m{"with": rate(k1, t1), "without": rate(k2, t2), "ratio": nil, "low": nil, "high": nil, "p": nil}
	if t1 == 0 || t2 == 0 || k1 == 0 || k2 == 0 {
		panic("the script has breaks with and without distraction")
	}
	n := k1 + k2
	upTo := func(k int, p float64) float64 {
		total := 0.0
		for i := range k + 1 {
			ways := 1.0
			for j := range i {
				ways *= float64(n-j) / float64(j+1)
			}
			total += ways * math.Pow(p, float64(i)) * math.Pow(1-p, float64(n-i))
		}
		return total
	}
	odds := func(p float64) float64 { return p / (1 - p) * t2 / t1 }
	out["ratio"] = (float64(k1) / t1) / (float64(k2) / t2)
	out["low"] = odds(halving(0, 1, func(p float64) float64 { return 1 - upTo(k1-1, p) - 0.025 }))
	out["high"] = odds(halving(0, 1, func(p float64) float64 { return 0.025 - upTo(k1, p) }))
	even := t1 / (t1 + t2)
	out["p"] = min(1, 2*min(upTo(k1, even), 1-upTo(k1-1, even)))
	return out
}

// life is how long something went on, from an age at which it was first seen;
// it ends, or only goes out of sight. Ages are microseconds.
type life struct {
	entry, exit int64
	ends        bool
}

// step is one age at which lives ended: how many of how many at risk, the share
// that goes on after it, and Greenwood's sum.
type step struct {
	age          int64
	ended, risk  int
	after, green float64
}

// curve is the estimate of Kaplan and Meier (1958).
func curve(lives []life) []step {
	var out []step
	after, green := 1.0, 0.0
	for _, l := range byExit(lives) {
		if !l.ends || len(out) > 0 && out[len(out)-1].age == l.exit {
			continue
		}
		s := step{age: l.exit, risk: atRisk(lives, l.exit)}
		for _, o := range lives {
			if o.ends && o.exit == l.exit {
				s.ended++
			}
		}
		after *= 1 - float64(s.ended)/float64(s.risk)
		green += float64(s.ended) / float64(s.risk) / float64(s.risk-s.ended)
		s.after, s.green = after, green
		out = append(out, s)
	}
	return out
}

func byExit(lives []life) []life {
	sorted := slices.Clone(lives)
	slices.SortFunc(sorted, func(a, b life) int { return int(a.exit - b.exit) })
	return sorted
}

func atRisk(lives []life, age int64) int {
	n := 0
	for _, l := range lives {
		if l.entry < age && age <= l.exit || age == 0 && l.entry == 0 {
			n++
		}
	}
	return n
}

// medianOf is the first age at which less than half go on; where exactly half
// do, the middle between reaching that and the next step. Seconds, or nothing.
func medianOf(lives []life) any {
	steps := curve(lives)
	for i, s := range steps {
		switch {
		case math.Abs(s.after-0.5) < 1e-12:
			next := byExit(lives)[len(lives)-1].exit
			if i+1 < len(steps) {
				next = steps[i+1].age
			}
			return float64(s.age+next) / 2e6
		case s.after < 0.5:
			return float64(s.age) / 1e6
		}
	}
	return nil
}

// pointAt is the curve at an age, with the log–log interval; nothing beyond what
// was seen.
func pointAt(lives []life, age int64) any {
	last := byExit(lives)[len(lives)-1].exit
	now := step{after: 1}
	for _, s := range curve(lives) {
		if s.age <= age {
			now = s
		}
	}
	if age > last && now.after > 0 {
		return nil
	}
	out := m{"value": now.after, "low": nil, "high": nil, "at_risk": atRisk(lives, age)}
	if now.after > 0 && now.after < 1 {
		se := math.Sqrt(now.green) / math.Abs(math.Log(now.after))
		out["low"] = math.Pow(now.after, math.Exp(z*se))
		out["high"] = math.Pow(now.after, math.Exp(-z*se))
	}
	return out
}

// quantile is of type 7 (Hyndman and Fan 1996); nothing of nothing.
func quantile(values []float64, p float64) any {
	if len(values) == 0 {
		return nil
	}
	sorted := slices.Sorted(slices.Values(values))
	place := p * float64(len(sorted)-1)
	below := int(place)
	if below+1 == len(sorted) {
		return sorted[below]
	}
	return sorted[below] + (place-float64(below))*(sorted[below+1]-sorted[below])
}

// differences lists where two decoded JSON values differ, numbers by more than a
// billionth.
func differences(path string, got, want any) []string {
	g, isMap := got.(m)
	w, wantMap := want.(m)
	if isMap && wantMap {
		var out []string
		keys := map[string]bool{}
		for k := range g {
			keys[k] = true
		}
		for k := range w {
			keys[k] = true
		}
		for k := range keys {
			a, there := g[k]
			b, needed := w[k]
			switch {
			case !there:
				out = append(out, fmt.Sprintf("%s.%s is missing, want %v", path, k, b))
			case !needed:
				out = append(out, fmt.Sprintf("%s.%s = %v is more than was worked out", path, k, a))
			default:
				out = append(out, differences(path+"."+k, a, b)...)
			}
		}
		slices.Sort(out)
		return out
	}
	gl, isList := got.([]any)
	wl, wantList := want.([]any)
	if isList && wantList {
		if len(gl) != len(wl) {
			return []string{fmt.Sprintf("%s has %d entries, want %d:\n  got  %v\n  want %v", path, len(gl), len(wl), gl, wl)}
		}
		var out []string
		for i := range gl {
			out = append(out, differences(fmt.Sprintf("%s[%d]", path, i), gl[i], wl[i])...)
		}
		return out
	}
	a, isNumber := got.(float64)
	b, wantNumber := want.(float64)
	if isNumber && wantNumber && math.Abs(a-b) <= 1e-9*max(1, math.Abs(b)) {
		return nil
	}
	if !isMap && !wantMap && !isList && !wantList && got == want {
		return nil
	}
	return []string{fmt.Sprintf("%s = %v, want %v", path, got, want)}
}

package stat

import (
	"errors"
	"math"
	"slices"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"
)

// These rows are worked by hand from the definitions beside the functions,
// unless a row names another source.

func TestWilsonEdges(t *testing.T) {
	for _, row := range []struct {
		name    string
		k, n    int
		conf    float64
		want    Estimate
		ok, bad bool
	}{
		{name: "nobody", k: 0, n: 0, conf: Conf95},
		// (z²/n)/(1+z²/n) with z² = 3.841458820694124
		{name: "none of one: lower limit exactly 0", k: 0, n: 1, conf: Conf95, ok: true, want: Estimate{0, 0, 0.7934506856227626}},
		{name: "one of one: upper limit exactly 1", k: 1, n: 1, conf: Conf95, ok: true, want: Estimate{1, 0.2065493143772374, 1}},
		{name: "more than all", k: 3, n: 2, conf: Conf95, bad: true},
		{name: "negative", k: -1, n: 2, conf: Conf95, bad: true},
		{name: "of a negative number", k: 0, n: -1, conf: Conf95, bad: true},
		{name: "no confidence", k: 1, n: 2, conf: 0, bad: true},
		{name: "certainty", k: 1, n: 2, conf: 1, bad: true},
		{name: "confidence is NaN", k: 1, n: 2, conf: math.NaN(), bad: true},
	} {
		t.Run(row.name, func(t *testing.T) {
			got, ok, err := Wilson(row.k, row.n, row.conf)
			if ok != row.ok || errors.Is(err, ErrInput) != row.bad {
				t.Fatalf("Wilson(%d, %d, %v) = _, %v, %v, want ok %v, bad input %v", row.k, row.n, row.conf, ok, err, row.ok, row.bad)
			}
			if diff := cmp.Diff(row.want, got, within(1e-9)); diff != "" {
				t.Errorf("Wilson(%d, %d, %v) (-want +got):\n%s", row.k, row.n, row.conf, diff)
			}
			if row.ok && row.k == 0 && got.Low != 0 || row.ok && row.k == row.n && got.High != 1 {
				t.Errorf("Wilson(%d, %d, %v) = %v, want the outer limit exactly 0 or 1", row.k, row.n, row.conf, got)
			}
		})
	}
}

func TestGarwoodEdges(t *testing.T) {
	for _, row := range []struct {
		name     string
		count    int
		exposure float64
		conf     float64
		want     Estimate
		bad      bool
	}{
		// −ln(0.025) / 2, the two-sided limit; −ln(0.05) = 2.9957 would be one-sided.
		{name: "no event in two minutes", count: 0, exposure: 2, conf: Conf95, want: Estimate{0, 0, 1.8444397270569681}},
		{name: "no exposure", count: 0, exposure: 0, conf: Conf95, bad: true},
		{name: "events without exposure", count: 3, exposure: 0, conf: Conf95, bad: true},
		{name: "negative exposure", count: 3, exposure: -1, conf: Conf95, bad: true},
		{name: "exposure is NaN", count: 3, exposure: math.NaN(), conf: Conf95, bad: true},
		{name: "exposure is infinite", count: 3, exposure: math.Inf(1), conf: Conf95, bad: true},
		{name: "exposure so small that the rate would be infinite", count: 3, exposure: 5e-324, conf: Conf95, bad: true},
		{name: "negative count", count: -1, exposure: 1, conf: Conf95, bad: true},
		{name: "certainty", count: 1, exposure: 1, conf: 1, bad: true},
	} {
		t.Run(row.name, func(t *testing.T) {
			got, err := Garwood(row.count, row.exposure, row.conf)
			if errors.Is(err, ErrInput) != row.bad {
				t.Fatalf("Garwood(%d, %v, %v) = _, %v, want bad input %v", row.count, row.exposure, row.conf, err, row.bad)
			}
			if diff := cmp.Diff(row.want, got, within(1e-9)); diff != "" {
				t.Errorf("Garwood(%d, %v, %v) (-want +got):\n%s", row.count, row.exposure, row.conf, diff)
			}
		})
	}
}

func TestTwoRatesEdges(t *testing.T) {
	for _, row := range []struct {
		name       string
		n1         int
		t1         float64
		n2         int
		t2         float64
		ratio      Number
		low, high  Number
		p, minlike float64
		bad        bool
	}{
		{name: "both 0", n1: 0, t1: 1, n2: 0, t2: 3, low: Finite(0), high: Infinite, p: 1, minlike: 1},
		// n1 of 1 is binomial with p = ½: both tails reach ½, doubled 1. The limit
		// of the share is 1 − 0.025, of the ratio 0.975/0.025 = 39.
		{name: "first 0, second 1", n1: 0, t1: 2, n2: 1, t2: 2, ratio: Finite(0), low: Finite(0), high: Finite(39), p: 1, minlike: 1},
		{name: "first 1, second 0", n1: 1, t1: 2, n2: 0, t2: 2, ratio: Infinite, low: Finite(1. / 39), high: Infinite, p: 1, minlike: 1},
		// Equal counts in equal time: each tail is above ½, so the doubled one is
		// above 1 and capped. The limits solve 1 − (1−q)² = 0.025 and q² = 0.975.
		{name: "equal", n1: 1, t1: 2, n2: 1, t2: 2, ratio: Finite(1), low: Finite((1 - math.Sqrt(0.975)) / math.Sqrt(0.975)), high: Finite(math.Sqrt(0.975) / (1 - math.Sqrt(0.975))), p: 1, minlike: 1},
		// 5 of 5 with p = ½: 2/32 both ways; the two ends are equally probable and
		// must both count in the minlike sum. The limit solves q⁵ = 0.025.
		{name: "equal probabilities", n1: 5, t1: 1, n2: 0, t2: 1, ratio: Infinite, low: Finite(1 / (math.Pow(0.025, -0.2) - 1)), high: Infinite, p: 0.0625, minlike: 0.0625},
		{name: "no first exposure", n1: 1, t1: 0, n2: 1, t2: 2, bad: true},
		{name: "no second exposure", n1: 1, t1: 1, n2: 1, t2: 0, bad: true},
		{name: "negative count", n1: 1, t1: 1, n2: -1, t2: 1, bad: true},
		{name: "exposure is NaN", n1: 1, t1: math.NaN(), n2: 1, t2: 1, bad: true},
	} {
		t.Run(row.name, func(t *testing.T) {
			got, err := TwoRates(row.n1, row.t1, row.n2, row.t2, Conf95)
			minlike, err2 := MinlikeP(row.n1, row.t1, row.n2, row.t2)
			if errors.Is(err, ErrInput) != row.bad || errors.Is(err2, ErrInput) != row.bad {
				t.Fatalf("errors = %v, %v, want bad input %v", err, err2, row.bad)
			}
			if row.bad {
				return
			}
			want := RateRatio{
				Rate1: float64(row.n1) / row.t1, Rate2: float64(row.n2) / row.t2,
				Ratio: row.ratio, Low: row.low, High: row.high, P: row.p,
			}
			if diff := cmp.Diff(want, got, within(1e-9)); diff != "" {
				t.Errorf("TwoRates (-want +got):\n%s", diff)
			}
			if math.Abs(minlike-row.minlike) > 1e-9 {
				t.Errorf("MinlikeP = %v, want %v", minlike, row.minlike)
			}
		})
	}
	if _, err := TwoRates(1, 1, 1, 1, 1); !errors.Is(err, ErrInput) {
		t.Errorf("TwoRates with certainty: %v, want bad input", err)
	}
}

func TestQuantileEdges(t *testing.T) {
	nan, inf := math.NaN(), math.Inf(1)
	for _, row := range []struct {
		name    string
		x       []float64
		p       float64
		want    float64
		dropped int
		ok, bad bool
	}{
		{name: "no values", p: 0.5},
		{name: "one value", x: []float64{3}, p: 0.25, want: 3, ok: true},
		{name: "NaN left out", x: []float64{nan, 4, 2, nan}, p: 0.5, want: 3, dropped: 2, ok: true},
		{name: "nothing but NaN", x: []float64{nan}, p: 0.5, dropped: 1},
		{name: "least", x: []float64{5, 1, 3}, p: 0, want: 1, ok: true},
		{name: "greatest", x: []float64{5, 1, 3}, p: 1, want: 5, ok: true},
		{name: "huge values", x: []float64{-math.MaxFloat64, math.MaxFloat64}, p: 0.5, want: 0, ok: true},
		{name: "infinite value", x: []float64{1, inf}, p: 0.5, bad: true},
	} {
		t.Run(row.name, func(t *testing.T) {
			before := slices.Clone(row.x)
			got, ok, err := Quantile7(row.x, row.p)
			if got != row.want || ok != row.ok || errors.Is(err, ErrInput) != row.bad {
				t.Errorf("Quantile7(%v, %v) = %v, %v, %v, want %v, %v, bad input %v", row.x, row.p, got, ok, err, row.want, row.ok, row.bad)
			}
			s, ok, err := Summarize(row.x)
			if s.Dropped != row.dropped || ok != row.ok || errors.Is(err, ErrInput) != row.bad {
				t.Errorf("Summarize(%v) = %+v, %v, %v, want %d dropped, %v, bad input %v", row.x, s, ok, err, row.dropped, row.ok, row.bad)
			}
			if row.p == 0.5 && s.Median != row.want {
				t.Errorf("Summarize(%v).Median = %v, want %v", row.x, s.Median, row.want)
			}
			if diff := cmp.Diff(before, row.x, sameNaN); diff != "" {
				t.Errorf("the caller's slice was changed (-before +after):\n%s", diff)
			}
		})
	}
	for _, p := range []float64{-0.1, 1.1, nan} {
		if _, _, err := Quantile7([]float64{1}, p); !errors.Is(err, ErrInput) {
			t.Errorf("Quantile7 at %v: %v, want bad input", p, err)
		}
	}
}

func TestNumber(t *testing.T) {
	for _, row := range []struct {
		x        float64
		text     string
		finite   bool
		infinite bool
	}{
		{0, "0", true, false},
		{-2.5, "-2.5", true, false},
		{math.Inf(1), "infinite", false, true},
		{math.Inf(-1), "undefined", false, false},
		{math.NaN(), "undefined", false, false},
	} {
		n := Finite(row.x)
		x, ok := n.Float()
		if ok != row.finite || ok && x != row.x || n.String() != row.text || n.IsInfinite() != row.infinite {
			t.Errorf("Finite(%v) = %v, %v, %q, want finite %v, infinite %v, %q", row.x, x, ok, n, row.finite, row.infinite, row.text)
		}
		if p := n.Ptr(); (p != nil) != row.finite || p != nil && *p != row.x {
			t.Errorf("Finite(%v).Ptr() = %v, want a value: %v", row.x, p, row.finite)
		}
		if n.Defined() != (row.finite || row.infinite) {
			t.Errorf("Finite(%v).Defined() = %v", row.x, n.Defined())
		}
	}
	if (Number{}).Defined() {
		t.Error("the zero Number is defined, want undefined")
	}
}

// Whatever sensible counts come in, limits enclose the value, none is NaN, and
// the p agrees with the interval.
func TestIntervalsEnclose(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var (
			n     = rapid.IntRange(1, 500).Draw(t, "n")
			k     = rapid.IntRange(0, n).Draw(t, "k")
			t1    = math.Exp(rapid.Float64Range(-20, 20).Draw(t, "log t1"))
			t2    = math.Exp(rapid.Float64Range(-20, 20).Draw(t, "log t2"))
			conf  = rapid.SampledFrom([]float64{0.5, 0.8, 0.95, 0.999}).Draw(t, "conf")
			share = func(e Estimate) bool { return e.Low <= e.Value && e.Value <= e.High }
		)
		if w, ok, err := Wilson(k, n, conf); !ok || err != nil || !share(w) || w.Low < 0 || w.High > 1 {
			t.Fatalf("Wilson(%d, %d, %v) = %v, %v, %v", k, n, conf, w, ok, err)
		}
		if g, err := Garwood(k, t1, conf); err != nil || !share(g) || g.Low < 0 || math.IsInf(g.High, 0) {
			t.Fatalf("Garwood(%d, %v, %v) = %v, %v", k, t1, conf, g, err)
		}
		r, err := TwoRates(k, t1, n-k, t2, conf)
		if err != nil {
			t.Fatal(err)
		}
		low, ok := r.Low.Float()
		if !ok || low < 0 || !(r.P >= 0 && r.P <= 1) {
			t.Fatalf("TwoRates(%d, %v, %d, %v, %v) = %+v", k, t1, n-k, t2, conf, r)
		}
		high, bounded := r.High.Float()
		if bounded != (n-k > 0) || bounded && high < low {
			t.Fatalf("TwoRates(%d, %v, %d, %v, %v) = %+v", k, t1, n-k, t2, conf, r)
		}
		out := low > 1 || bounded && high < 1
		if near := math.Abs(r.P-(1-conf)) < 1e-6; out != (r.P < 1-conf) && !near {
			t.Fatalf("TwoRates(%d, %v, %d, %v, %v) = %+v: interval and p disagree", k, t1, n-k, t2, conf, r)
		}
	})
}

// Limits at the ends are exact for every n, not off by a rounding.
func TestWilsonEndsExact(t *testing.T) {
	for _, conf := range []float64{0.5, 0.8, 0.9, 0.95, 0.99, 0.999} {
		for n := 1; n < 1000; n++ {
			if none, _, _ := Wilson(0, n, conf); none.Low != 0 {
				t.Fatalf("Wilson(0, %d, %v).Low = %v, want exactly 0", n, conf, none.Low)
			}
			if all, _, _ := Wilson(n, n, conf); all.High != 1 {
				t.Fatalf("Wilson(%d, %d, %v).High = %v, want exactly 1", n, n, conf, all.High)
			}
		}
	}
}

// within compares floats and Numbers with an absolute tolerance.
func within(tolerance float64) cmp.Option {
	near := func(a, b float64) bool { return math.Abs(a-b) <= tolerance }
	return cmp.Options{
		cmp.Comparer(near),
		cmp.Comparer(func(a, b Number) bool {
			x, okA := a.Float()
			y, okB := b.Float()
			return okA == okB && near(x, y) && a.IsInfinite() == b.IsInfinite()
		}),
	}
}

var sameNaN = cmp.Comparer(func(a, b float64) bool { return a == b || math.IsNaN(a) && math.IsNaN(b) })

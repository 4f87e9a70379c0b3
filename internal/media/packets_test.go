package media

import (
	"math"
	"math/big"
	"testing"

	"afterwalk/annotate"
)

// Worked by hand: n · num · 10⁶ / den, halves away from zero.
func TestMicros(t *testing.T) {
	for _, c := range []struct {
		n, num, den int64
		want        annotate.Micros
		ok          bool
	}{
		{0, 1, 90000, 0, true},
		{1, 1, 90000, 11, true},               // 11.11…
		{512, 1, 15360, 33333, true},          // one frame of 30: 33333.33…
		{1024, 1, 15360, 66667, true},         // 66666.67
		{-1024, 1, 15360, -66667, true},       // the same before 0
		{1, 1, 2_000_000, 1, true},            // a half goes up
		{-1, 1, 2_000_000, -1, true},          // and down below 0
		{1, 1, 2_000_001, 0, true},            // just under a half
		{3, 1001, 30000, 100100, true},        // 29.97: three frames are 0.1001 s
		{9_000_000_000, 1, 90000, 1e11, true}, // 100,000 s; the product is beyond 2^63
		{math.MaxInt64, 1, 1, 0, false},
		{math.MinInt64, 1, 1, 0, false},
	} {
		got, ok := timeBase{c.num, c.den}.micros(c.n)
		if got != c.want || ok != c.ok {
			t.Errorf("micros(%d · %d/%d) = %d, %v, want %d, %v", c.n, c.num, c.den, got, ok, c.want, c.ok)
		}
	}
}

// Against exact fractions.
func FuzzMicros(f *testing.F) {
	f.Add(int64(18445275), int64(1), int64(15360))
	f.Add(int64(-7), int64(1001), int64(30000))
	f.Fuzz(func(t *testing.T, n, num, den int64) {
		b := timeBase{num, den}
		if !b.valid() {
			t.Skip()
		}
		got, ok := b.micros(n)
		exact := new(big.Rat).SetFrac(new(big.Int).Mul(big.NewInt(n), new(big.Int).Mul(big.NewInt(num), big.NewInt(1e6))), big.NewInt(den))
		if !ok {
			if limit := new(big.Rat).SetInt64(1 << 61); exact.Abs(exact).Cmp(limit) < 0 {
				t.Fatalf("%d · %d/%d refused", n, num, den)
			}
			return
		}
		off := new(big.Rat).Sub(exact, new(big.Rat).SetInt64(int64(got)))
		if off.Abs(off).Cmp(big.NewRat(1, 2)) > 0 {
			t.Fatalf("micros(%d · %d/%d) = %d, more than half a microsecond off", n, num, den, got)
		}
	})
}

package annotate

import (
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"
	"pgregory.net/rapid"
)

const bits = 24 // width of the bitmaps that sets are compared with

type bitmap [bits]bool

// bitmapOf marks each instant t for which some span says Start <= t < End.
func bitmapOf(spans []Span) (m bitmap) {
	for t := range m {
		for _, s := range spans {
			m[t] = m[t] || s.Start <= Micros(t) && Micros(t) < s.End
		}
	}
	return m
}

func spans(t *rapid.T, label string) []Span {
	at := rapid.IntRange(0, bits)
	one := rapid.Custom(func(t *rapid.T) Span { return Span{Micros(at.Draw(t, "start")), Micros(at.Draw(t, "end"))} })
	list := make([]Span, rapid.IntRange(0, 8).Draw(t, label))
	for i := range list {
		list[i] = one.Draw(t, label)
	}
	return list
}

func checkNormal(t *rapid.T, name string, s Set) {
	for i, c := range s {
		if c.End <= c.Start || i > 0 && c.Start <= s[i-1].End {
			t.Fatalf("%s is not in normal form: %v", name, s)
		}
	}
}

// Every operation on sets equals the same operation on bitmaps, gives the normal
// form and leaves its operands alone.
func TestSetAgainstBitmap(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		as, bs := spans(t, "a"), spans(t, "b")
		a, b := Union(as...), Union(bs...)
		am, bm := bitmapOf(as), bitmapOf(bs)
		a0, b0 := append(Set(nil), a...), append(Set(nil), b...)

		op := func(name string, got Set, f func(a, b bool) bool) {
			t.Helper()
			checkNormal(t, name, got)
			var want bitmap
			for i := range want {
				want[i] = f(am[i], bm[i])
			}
			if m := bitmapOf(got); m != want {
				t.Fatalf("%s of %v and %v = %v, want instants %v", name, a, b, got, want)
			}
		}
		op("a", a, func(a, _ bool) bool { return a })
		op("union", a.Union(b), func(a, b bool) bool { return a || b })
		op("intersection", a.Intersect(b), func(a, b bool) bool { return a && b })
		op("difference", a.Subtract(b), func(a, b bool) bool { return a && !b })

		var n Micros
		for i, in := range am {
			if in {
				n++
			}
			if got := a.Has(Micros(i)); got != in {
				t.Fatalf("%v.Has(%d) = %v, want %v", a, i, got, in)
			}
			before := i > 0 && am[i-1]
			if _, got := a.Touching(Micros(i)); got != (in || before) {
				t.Fatalf("%v.Touching(%d) = %v, want %v", a, i, got, in || before)
			}
		}
		if a.Len() != n {
			t.Fatalf("%v.Len() = %d, want %d", a, a.Len(), n)
		}
		for _, w := range bs {
			wm := bitmapOf([]Span{w})
			var want bitmap
			covers := true
			for i := range want {
				want[i] = am[i] && wm[i]
				covers = covers && (am[i] || !wm[i])
			}
			cut := a.Cut(w)
			checkNormal(t, "cut", cut)
			if bitmapOf(cut) != want {
				t.Fatalf("%v.Cut(%v) = %v", a, w, cut)
			}
			if got := a.Covers(w); got != covers {
				t.Fatalf("%v.Covers(%v) = %v, want %v", a, w, got, covers)
			}
		}
		if d := cmp.Diff(a0, a, cmpopts.EquateEmpty()) + cmp.Diff(b0, b, cmpopts.EquateEmpty()); d != "" {
			t.Fatalf("an operation changed its operand: %s", d)
		}
	})
}

func TestSetByHand(t *testing.T) {
	s := Union(Span{5, 7}, Span{1, 3}, Span{3, 4}, Span{9, 9}, Span{8, 6})
	if d := cmp.Diff(Set{{1, 4}, {5, 7}}, s); d != "" {
		t.Errorf("Union: touching spans merge, empty ones vanish (-want +got)\n%s", d)
	}
	if c, ok := s.Component(4); ok {
		t.Errorf("Component(4) = %v; an end is excluded", c)
	}
	if c, ok := s.Touching(4); !ok || c != (Span{1, 4}) {
		t.Errorf("Touching(4) = %v, %v, want [1, 4)", c, ok)
	}
	if got := Set(nil).Subtract(s); got != nil {
		t.Errorf("nothing less something = %v", got)
	}
}

package measure_test

import (
	"testing"

	"github.com/google/go-cmp/cmp"

	"afterwalk/annotate/measure"
)

// Several series at once are what each is by itself, whatever is asked for before
// it, also where one of them doesn't exist.
func TestAllSeries(t *testing.T) {
	heel := ev("ex-heel", 0, 80)
	all := []measure.Session{
		outing(t, "a", 14, heel, ev("ahead", 10, 20), at("tone", 15)),
		outing(t, "b", 7, ev("ex-down", 0, 60), at("broke", 30)),
		outing(t, "c", 0, heel),
		{ID: "d"},
	}
	for _, names := range [][]string{
		{measure.PositionError, measure.BreaksPerMinute, measure.EscalationRank},
		{measure.EscalationRank, "other", measure.PositionError},
		{measure.BreaksPerMinute, measure.BreaksPerMinute},
		nil,
	} {
		got := measure.AllSeries(all, names...)
		if len(got) != len(names) {
			t.Fatalf("%v: %d series", names, len(got))
		}
		for i, name := range names {
			want := measure.Series(name, all)
			if diff := cmp.Diff(want, got[i], cmp.AllowUnexported(measure.SeriesPoint{})); diff != "" {
				t.Errorf("%s of %v (-alone +together)\n%s", name, names, diff)
			}
		}
	}
	if got := line(measure.AllSeries(all, measure.BreaksPerMinute, measure.PositionError)[1]); got != "b@7, a@14=12.5 %" { // 10 of 80 s
		t.Errorf("position error behind another: %s", got)
	}
}

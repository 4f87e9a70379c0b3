package chart

import (
	"math"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
)

func TestFormats(t *testing.T) {
	for _, row := range []struct {
		x              float64
		plain, percent string
	}{
		{0, "0", "0 %"},
		{math.Copysign(0, -1), "0", "0 %"},
		{0.1 + 0.2, "0.3", "30 %"},
		{0.234, "0.234", "23 %"},
		{0.0942, "0.0942", "9.4 %"},
		{0.0999, "0.0999", "10 %"},
		{1, "1", "100 %"},
		{-0.05, "-0.05", "-5 %"},
		{1500, "1500", "150000 %"},
		{1e-9, "1e-09", "0 %"},
	} {
		if got := Plain(row.x); got != row.plain {
			t.Errorf("Plain(%v) = %q, want %q", row.x, got, row.plain)
		}
		if got := Percent(row.x); got != row.percent {
			t.Errorf("Percent(%v) = %q, want %q", row.x, got, row.percent)
		}
	}
}

func TestValueAxis(t *testing.T) {
	points := func(values ...float64) (list []Point) {
		for i, v := range values {
			list = append(list, Point{At: on(time.May, i+1), Value: num(v)})
		}
		return list
	}
	ladder := []Tick{{3, "leash"}, {1, "voice"}, {2, "tone"}, {2, "twice"}, {math.NaN(), "none"}}
	for _, row := range []struct {
		name      string
		figure    Figure
		low, high float64
		ticks     []string
	}{
		{"from 0 up to a round number", Figure{Points: points(0.09, 0.23), Format: Percent}, 0, 0.25, []string{"0 %", "5 %", "10 %", "15 %", "20 %", "25 %"}},
		{"all 0", Figure{Points: points(0, 0)}, 0, 1, []string{"0", "0.2", "0.4", "0.6", "0.8", "1"}},
		{"below 0", Figure{Points: points(-3, 4)}, -4, 4, []string{"-4", "-2", "0", "2", "4"}},
		{"interval above", Figure{Points: []Point{{At: on(time.May, 1), Value: num(2), High: num(4.5)}}}, 0, 5, []string{"0", "1", "2", "3", "4", "5"}},
		{"interval far above does not flatten the values", Figure{Points: []Point{{At: on(time.May, 1), Value: num(2), High: num(500)}}}, 0, 6, []string{"0", "1", "2", "3", "4", "5", "6"}},
		{"0 with an interval", Figure{Points: []Point{{At: on(time.May, 1), Value: num(0), High: num(3.7)}}}, 0, 4, []string{"0", "1", "2", "3", "4"}},
		{"fixed", Figure{Points: points(7), YMin: num(0), YMax: num(1), Format: Percent}, 0, 1, []string{"0 %", "20 %", "40 %", "60 %", "80 %", "100 %"}},
		{"fixed the wrong way round", Figure{Points: points(7), YMin: num(5), YMax: num(3)}, 5, 6, []string{"5", "5.2", "5.4", "5.6", "5.8", "6"}},
		{"fixed to no number", Figure{Points: points(2), YMin: num(math.NaN()), YMax: num(math.Inf(1))}, 0, 2, []string{"0", "0.5", "1", "1.5", "2"}},
		{"ladder", Figure{Points: points(3, 1), Ticks: ladder}, 0.5, 3.5, []string{"voice", "tone", "leash"}},
		{"ladder with 0 for none", Figure{Points: points(1), Ticks: []Tick{{0, "none"}, {1, "voice"}}}, 0, 1.5, []string{"none", "voice"}},
		{"value above the ladder", Figure{Points: points(9), Ticks: ladder}, 0.5, 9, []string{"voice", "tone", "leash"}},
	} {
		t.Run(row.name, func(t *testing.T) {
			marks, _ := row.figure.marks()
			low, high := row.figure.valueRange(marks)
			if math.Abs(low-row.low) > 1e-9 || math.Abs(high-row.high) > 1e-9 {
				t.Errorf("range = %v to %v, want %v to %v", low, high, row.low, row.high)
			}
			var names []string
			for _, tick := range row.figure.valueTicks(low, high) {
				names = append(names, tick.Label)
			}
			if diff := cmp.Diff(row.ticks, names); diff != "" {
				t.Errorf("ticks (-want +got):\n%s", diff)
			}
		})
	}
}

package chart

import (
	"io"
	"slices"
	"strings"
	"testing"
	"time"

	gochart "github.com/wcharczuk/go-chart/v2"
)

func TestCivilTime(t *testing.T) {
	zone := time.FixedZone("", -11*60*60)
	at := time.Date(2026, time.May, 9, 23, 30, 15, 0, zone) // 10 May in UTC
	if got, want := civilTime(at), time.Date(2026, time.May, 9, 23, 30, 15, 0, time.UTC); !got.Equal(want) || got.Location() != time.UTC {
		t.Errorf("civilTime(%v) = %v, want %v", at, got, want)
	}
}

// wide lets all ticks through that stand at least this many days apart.
func wide(days float64) func([]dateTick) bool {
	return func(ticks []dateTick) bool {
		for i := 1; i < len(ticks); i++ {
			if ticks[i].at-ticks[i-1].at < days*24*60*60 {
				return false
			}
		}
		return true
	}
}

// The weekdays are those of a printed calendar: 4 May 2026 is a Monday.
func TestCalendarTicks(t *testing.T) {
	day := func(year int, month time.Month, day int) float64 {
		return float64(time.Date(year, month, day, 0, 0, 0, 0, time.UTC).Unix())
	}
	for _, row := range []struct {
		name     string
		from, to float64
		room     float64
		want     string
	}{
		{"days", day(2026, 5, 1) + 3600, day(2026, 5, 4), 1, "2 May 2026|3 May|4 May"},
		{"both ends included", day(2026, 5, 1), day(2026, 5, 2), 1, "1 May 2026|2 May"},
		{"weeks start on Mondays", day(2026, 4, 28), day(2026, 5, 20), 7, "4 May 2026|11 May|18 May"},
		{"months, year where it is new", day(2025, 11, 20), day(2026, 3, 1), 28, "Dec 2025|Jan 2026|Feb|Mar"},
		{"quarters start in January", day(2025, 12, 2), day(2026, 8, 1), 80, "Jan 2026|Apr|Jul"},
		{"years", day(2020, 2, 1), day(2024, 1, 1), 360, "2021|2022|2023|2024"},
		{"days before the epoch", day(1969, 12, 29), day(1970, 1, 6), 7, "29 Dec 1969|5 Jan 1970"},
		{"a clock that was never set", day(1904, 1, 1), day(2026, 5, 2), 360 * 15, "1920|1940|1960|1980|2000|2020"},
		{"no room at all", day(2026, 5, 1), day(2026, 5, 2), 0, "1 May 2026|2 May"},
	} {
		t.Run(row.name, func(t *testing.T) {
			var labels []string
			for _, tick := range calendarTicks(row.from, row.to, wide(row.room)) {
				labels = append(labels, tick.label)
			}
			if got := strings.Join(labels, "|"); got != row.want {
				t.Errorf("ticks %s, want %s", got, row.want)
			}
		})
	}
	if got := calendarTicks(0, 1e6, func([]dateTick) bool { return false }); got != nil {
		t.Errorf("ticks without room: %v, want none", got)
	}
}

// laid returns the figure's plot after drawing.
func laid(t *testing.T, f Figure) *plot {
	t.Helper()
	p := newPlot(f, lightColours)
	if err := p.draw(p.onSVG, io.Discard); err != nil {
		t.Fatal(err)
	}
	return p
}

// onSVG provides the library with a surface of the plot's size.
func (p *plot) onSVG(int, int) (gochart.Renderer, error) {
	return &svgRenderer{width: p.width, height: p.height}, nil
}

// Distances on the date axis are distances in time: 2, 9 and 23 May stand as 1
// to 2, in a zone that changes its clocks between them as well.
func TestTrueDistances(t *testing.T) {
	for _, zone := range []string{"UTC", "Europe/Berlin", "America/New_York"} {
		place, err := time.LoadLocation(zone)
		if err != nil {
			t.Skip("no time zones here: ", err)
		}
		at := func(month time.Month, day int) time.Time { return time.Date(2026, month, day, 9, 0, 0, 0, place) }
		p := laid(t, Figure{Points: []Point{
			{At: at(time.March, 1), Value: num(1)}, {At: at(time.March, 15), Value: num(1)}, {At: at(time.April, 12), Value: num(1)},
		}})
		first, second := p.at[1].x-p.at[0].x, p.at[2].x-p.at[1].x
		if d := second - 2*first; d < -3*sub || d > 3*sub {
			t.Errorf("%s: distances of 14 and 28 days are %d and %d units, want 1 to 2", zone, first, second)
		}
	}
}

// Where the machine stands that draws must not matter.
func TestSameBytesInEveryZone(t *testing.T) {
	here := time.Local
	defer func() { time.Local = here }()
	want := svgOf(t, samples["gap"])
	for _, hours := range []int{-11, 14} {
		time.Local = time.FixedZone("", hours*60*60)
		if got := svgOf(t, samples["gap"]); got != want {
			t.Errorf("drawn %d hours from UTC the figure differs", hours)
		}
	}
}

// Several on one day stand apart, in order, and no day is named twice.
func TestSameDay(t *testing.T) {
	var points []Point
	for i := range 5 {
		points = append(points, Point{At: on(time.May, 2).Add(time.Duration(i) * time.Minute), Value: num(1)})
	}
	points = append(points, Point{At: on(time.July, 30), Value: num(1)})
	p := laid(t, Figure{Points: points})
	for i := 1; i < 5; i++ {
		if d := p.at[i].x - p.at[i-1].x; d < 10*sub {
			t.Errorf("marks %d and %d of one day are %d units apart, want at least a mark's width", i-1, i, d)
		}
	}
	if p.at[0].x < p.box.Left || p.at[5].x > p.box.Right {
		t.Errorf("marks outside the field: %v in %v", p.at, p.box)
	}
	var names []string
	for _, tick := range p.dateTicks() {
		names = append(names, tick.label)
	}
	if want := []string{"2 May 2026", "30 Jul"}; !slices.Equal(names, want) {
		t.Errorf("dates %q, want %q", names, want)
	}
}

// The line stops at a point without a value, and before one that says so.
func TestSegments(t *testing.T) {
	p := newPlot(Figure{Points: []Point{
		{At: on(time.May, 1), Value: num(1)}, {At: on(time.May, 2), Value: num(1)},
		{At: on(time.May, 3)},
		{At: on(time.May, 4), Value: num(1)}, {At: on(time.May, 5), Value: num(1), BreakBefore: true}, {At: on(time.May, 6), Value: num(1)},
	}}, lightColours)
	if got, want := p.segments(), [][2]int{{0, 1}, {4, 5}}; !slices.Equal(got, want) {
		t.Errorf("segments %v, want %v", got, want)
	}
}

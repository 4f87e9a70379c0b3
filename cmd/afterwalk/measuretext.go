package main

import (
	"fmt"
	"io"
	"maps"
	"slices"
	"strings"
	"text/tabwriter"

	"afterwalk/annotate"
	"afterwalk/annotate/measure"
)

// printMeasures prints the numbers that matter, each with its counts: what went
// by itself first, levels last.
func printMeasures(w io.Writer, readings []*annotate.Reading, m *measure.Measures) error {
	var clips []string
	for _, r := range readings {
		clips = append(clips, r.Clip.File)
	}
	fmt.Fprintf(w, "%s: %s\n\n", readings[0].Dog.Name, strings.Join(clips, ", "))
	table := tabwriter.NewWriter(w, 0, 0, 3, ' ', 0)
	row := func(name, format string, args ...any) {
		fmt.Fprintf(table, "%s\t%s\n", name, fmt.Sprintf(format, args...))
	}
	row("coded", "%.1f s, the dog seen for %.1f s", m.WindowS, m.SeenS)
	if len(m.NotCoded) > 0 {
		row("not coded", "%s", join(m.NotCoded))
	}
	if p := m.Pressure; p != nil && p.ByItself != nil {
		row("put right by itself", "%s", share(*p.ByItself))
	}
	if h := m.Heel; h != nil {
		row("out of position", "%.1f s of %.1f s of heel work (%s), %s", h.ErrorS, h.HeelS, percent(h.ErrorShare), many(h.Bouts, "bout"))
		if h.OffTaskS != nil {
			row("off-task", "%.1f s (%s)", *h.OffTaskS, percent(h.OffTaskShare))
		}
		if h.TurnsKept != nil {
			row("turns kept", "%s", share(*h.TurnsKept))
		}
	}
	if s := m.Stays; s != nil {
		row("stays held", "%s, %s", share(s.StaysHeld), many(s.Breaks, "break"))
		row("breaks per minute of stay", "%s", rate(s.BreaksPerMin))
	}
	if c := m.Cues; c != nil {
		if c.CleanShare != nil {
			row("clean answers", "%s", share(*c.CleanShare))
		}
		if g := c.Grades; g != nil {
			row("the others", "%d slow, %d helped, %d corrected, %d without answer, %d unknown, %d withdrawn",
				g.Slow, g.Helped, g.Corrected, g.NoAnswer, g.Unknown, g.Withdrawn)
		}
		if c.Latency.MedianS != nil {
			row("latency", "median %.1f s of %d answered", *c.Latency.MedianS, c.Latency.N)
		}
		for _, o := range c.Owed {
			row("owed", "%s, asked at %s", o.Command, clock(o.StartUs))
		}
	}
	if r := m.Rewards; r != nil {
		per := "no correction to set them against"
		if r.PerCorrection != nil {
			per = fmt.Sprintf("%.1f for each correction", *r.PerCorrection)
		}
		row("rewards", "%d, %s", r.Rewards, per)
	}
	if s := m.Stress; s != nil && s.NearPressure != nil && s.Elsewhere != nil {
		row("stress signs", "%d near pressure, %d elsewhere. Near is not because.", s.NearPressure.Count, s.Elsewhere.Count)
	}
	if p := m.Pressure; p != nil {
		printPressure(row, p)
	}
	if err := table.Flush(); err != nil {
		return err
	}
	if m.Pressure != nil && m.Pressure.Events > 0 {
		fmt.Fprintf(w, "\n%s\n", strings.Join(annotate.Cautions(), "\n"))
	}
	return nil
}

func printPressure(row func(name, format string, args ...any), p *measure.Pressure) {
	row("pressure", "%s%s", many(p.Events, "time"), counts(p.ByChannel))
	if p.PerMin != nil {
		row("pressure per minute of work", "%s", rate(*p.PerMin))
	}
	if p.OneStepShare.N > 0 {
		row("one step was enough", "%s", share(p.OneStepShare))
	}
	row("after the dog was right", "%d", len(p.AfterRight))
	row("without a ground", "%d", len(p.NoGround))
	for _, scale := range slices.Sorted(maps.Keys(p.Levels)) {
		l := p.Levels[scale]
		row("levels of "+scale, "%g to %g, median %g, n = %d", l.Min, l.Max, l.Median, l.N)
	}
}

func share(s measure.Share) string {
	if s.Value == nil {
		return "none to count"
	}
	return fmt.Sprintf("%d of %d (%.0f %%, 95 %% interval %.0f–%.0f %%)", s.K, s.N, 100**s.Value, 100**s.Low, 100**s.High)
}

func rate(r measure.Rate) string {
	if r.Value == nil {
		return "no time to count in"
	}
	return fmt.Sprintf("%.2f (%d in %.2f min, 95 %% interval %.2f–%.2f)", *r.Value, r.Count, r.Minutes, *r.Low, *r.High)
}

func percent(v *float64) string {
	if v == nil {
		return "–"
	}
	return fmt.Sprintf("%.1f %%", 100**v)
}

func many(n int, what string) string {
	if n == 1 {
		return "1 " + what
	}
	return fmt.Sprintf("%d %ss", n, what)
}

func counts(m map[string]int) string {
	var parts []string
	for _, k := range slices.Sorted(maps.Keys(m)) {
		parts = append(parts, fmt.Sprintf("%s %d", k, m[k]))
	}
	if len(parts) == 0 {
		return ""
	}
	return " (" + strings.Join(parts, ", ") + ")"
}

func join(roles []annotate.Role) string {
	var names []string
	for _, r := range roles {
		names = append(names, string(r))
	}
	return strings.Join(names, ", ")
}

// clock prints a media time as m:ss.s.
func clock(us int64) string {
	tenths := us / 100_000
	return fmt.Sprintf("%d:%02d.%d", tenths/600, tenths/10%60, tenths%10)
}

package annotate

import (
	"slices"
	"strconv"
)

// ladder compares the rungs, known by their scale.
func (d *bookDiff) ladder() {
	type key struct{ channel, device string }
	old := map[key]*Rung{}
	for i := range d.old.Ladder {
		g := &d.old.Ladder[i]
		if k := (key{g.Channel, g.Device}); old[k] == nil {
			old[k] = g
		}
	}
	seen := map[key]bool{}
	var places []int
	var names []string
	for i := range d.new.Ladder {
		g := &d.new.Ladder[i]
		scale := Scale(g.Channel, g.Device)
		known := key{g.Channel, g.Device}
		if seen[known] {
			continue // a valid book has none twice
		}
		seen[known] = true
		at := BookChange{Field: "ladder." + scale}
		was := old[known]
		if was == nil {
			at.Now = scale
			most := ""
			if g.LevelMax != nil {
				most = ", highest level " + shown(g.LevelMax)
			}
			d.say(at, "Ladder, %s: added, rank %d%s.", name(scale), g.Rank, most)
			d.extra(at, "Ladder, "+name(scale), nil, g.Extra)
			continue
		}
		for k := range d.old.Ladder {
			if &d.old.Ladder[k] == was {
				places, names = append(places, k), append(names, scale)
			}
		}
		at.Field = "ladder." + scale + ".rank"
		d.number(at, "Ladder, "+name(scale)+", rank", strconv.Itoa(was.Rank), strconv.Itoa(g.Rank))
		at.Field = "ladder." + scale + ".level_max"
		d.number(at, "Ladder, "+name(scale)+", highest level", shown(was.LevelMax), shown(g.LevelMax))
		at.Field = "ladder." + scale
		d.extra(at, "Ladder, "+name(scale), was.Extra, g.Extra)
	}
	for i := range d.old.Ladder {
		g := &d.old.Ladder[i]
		scale := Scale(g.Channel, g.Device)
		if !seen[key{g.Channel, g.Device}] {
			seen[key{g.Channel, g.Device}] = true
			d.say(BookChange{Field: "ladder." + scale, Was: scale}, "Ladder, %s: removed.", name(scale))
		}
	}
	for _, i := range moved(places) {
		d.say(BookChange{Field: "ladder", Now: after(names, i)}, "Ladder, %s: listed %s.", name(names[i]), after(names, i))
	}
}

// house compares the house rules. A rule that isn't given is told with its default.
func (d *bookDiff) house() {
	was, now, std := d.old.House, d.new.House, DefaultHouse()
	tellRule := func(key, w, n, standard string) {
		show := func(v string) string {
			switch {
			case v != "":
				return v
			case standard != "":
				return "as default (" + standard + ")"
			}
			return "as default"
		}
		d.say(BookChange{Field: "house." + key, Was: w, Now: n}, "House rule %s: now %s, was %s.", key, show(n), show(w))
	}
	add := func(key, w, n, standard string) {
		if w != n {
			tellRule(key, w, n, standard)
		}
	}
	number := func(key string, w, n, standard *float64) { add(key, shown(w), shown(n), shown(standard)) }
	whole := func(key string, w, n, standard *int) { add(key, shown(w), shown(n), shown(standard)) }
	list := func(key string, w, n, standard []string) {
		if (w == nil) != (n == nil) || !slices.Equal(w, n) {
			tellRule(key, listed(w), listed(n), listed(standard))
		}
	}
	table := func(key string, w, n, standard map[string]float64) {
		for _, k := range sortedKeys(union(w, n)) {
			add(key+"."+clip(k, 60), entry(w, k), entry(n, k), entry(standard, k))
		}
	}
	number("join_s", was.JoinS, now.JoinS, std.JoinS)
	number("turn_s", was.TurnS, now.TurnS, std.TurnS)
	list("no_trial", was.NoTrial, now.NoTrial, std.NoTrial)
	number("answer_window_s", was.AnswerWindowS, now.AnswerWindowS, std.AnswerWindowS)
	table("answer_windows_s", was.AnswerWindowsS, now.AnswerWindowsS, std.AnswerWindowsS)
	number("prompt_limit_s", was.PromptLimitS, now.PromptLimitS, std.PromptLimitS)
	table("prompt_limits_s", was.PromptLimitsS, now.PromptLimitsS, std.PromptLimitsS)
	whole("criterion.clean", was.CriterionClean, now.CriterionClean, std.CriterionClean)
	whole("criterion.of", was.CriterionOf, now.CriterionOf, std.CriterionOf)
	d.extra(BookChange{Field: "house.criterion"}, "House rule criterion", was.CriterionExtra, now.CriterionExtra)
	number("break_moment_s", was.BreakMomentS, now.BreakMomentS, std.BreakMomentS)
	number("early_s", was.EarlyS, now.EarlyS, std.EarlyS)
	number("late_s", was.LateS, now.LateS, std.LateS)
	number("held_on_s", was.HeldOnS, now.HeldOnS, std.HeldOnS)
	number("warning_s", was.WarningS, now.WarningS, std.WarningS)
	number("rush_s", was.RushS, now.RushS, std.RushS)
	number("unanswered_s", was.UnansweredS, now.UnansweredS, std.UnansweredS)
	number("reward_s", was.RewardS, now.RewardS, std.RewardS)
	number("stress_s", was.StressS, now.StressS, std.StressS)
	number("name_s", was.NameS, now.NameS, std.NameS)
	for _, k := range sortedKeys(union(was.LimitsS, now.LimitsS)) {
		add("limits_s."+clip(k, 60), limited(was.LimitsS, k), limited(now.LimitsS, k), limited(std.LimitsS, k))
		if w, n := was.LimitsS[k], now.LimitsS[k]; w != nil && n != nil {
			d.extra(BookChange{Field: "house.limits_s." + k}, "House rule limits_s."+clip(k, 60), w.Extra, n.Extra)
		}
	}
	list("off", was.Off, now.Off, std.Off)
	d.extra(BookChange{Field: "house"}, "House rules", was.Extra, now.Extra)
}

// listed writes a list that may be missing: "" for that.
func listed(list []string) string {
	if list == nil {
		return ""
	}
	if len(list) == 0 {
		return "none"
	}
	out := ""
	for i, s := range list {
		if i > 0 {
			out += ", "
		}
		out += quoted(clip(s, 60))
	}
	return out
}

// entry writes what a table has for a key, "" if nothing.
func entry(m map[string]float64, k string) string {
	if v, ok := m[k]; ok {
		return shown(&v) + " s"
	}
	return ""
}

// limited writes the limit of a delay, "" if none is given.
func limited(m map[string]*Limit, k string) string {
	l, ok := m[k]
	switch {
	case !ok:
		return ""
	case l == nil:
		return "no limit"
	case l.Most != nil:
		return "at most " + shown(l.Most) + " s"
	case l.Least != nil:
		return "at least " + shown(l.Least) + " s"
	}
	return "neither at most nor at least"
}

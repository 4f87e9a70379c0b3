package proof

import (
	"cmp"
	"slices"
	"strings"
)

// occasion is a time in which pressure has a ground.
type occasion struct {
	kind     string
	from, to int
	resolved bool
	unbegun  bool
	steps    []string
	facts    []fact // the steps
}

// occasions are in order of time; rest has the pressure that belongs to none.
func (r *reckoner) occasions() (all []*occasion, rest []fact) {
	for _, role := range []string{"error", "off_task"} {
		for _, b := range r.bouts(role) {
			all = append(all, &occasion{kind: role, from: b.a, to: b.b, resolved: !b.open, unbegun: b.unbegun})
		}
	}
	for _, f := range r.facts {
		for _, s := range r.facts {
			if f.role == "break" && (s.kind == "stay" || s.kind == "place") && s.from <= f.from && f.from < s.to {
				all = append(all, &occasion{kind: "break", from: f.from, to: min(f.to, s.to), resolved: !f.open && f.to < s.to})
			}
		}
	}
	for _, a := range r.trials() {
		all = append(all, &occasion{kind: "cue", from: a.from, to: a.to, resolved: a.did})
	}
	slices.SortFunc(all, func(a, b *occasion) int { return a.from - b.from })
	for i := range all[1:] {
		if all[i].from == all[i+1].from {
			panic("the script has no two occasions that start together")
		}
	}
	reminders := r.reminders()
	for _, f := range r.facts {
		reminds := slices.Contains(reminders, f.id)
		if f.role != "pressure" && !reminds {
			continue
		}
		var own *occasion
		for _, o := range all {
			if o.from <= f.from && f.from < o.to && !(reminds && o.kind == "cue") {
				own = o // of several the one that started last
			}
		}
		if own == nil && !reminds {
			for _, o := range all {
				soon := o.from > f.from && (r.between(f.from, o.from) <= 0.5 || o.from < f.to)
				if soon {
					own = o
					break
				}
			}
		}
		if own == nil {
			rest = append(rest, f)
			continue
		}
		if reminds {
			f.channel = "voice"
		}
		own.steps, own.facts = append(own.steps, f.id), append(own.facts, f)
	}
	return all, rest
}

// move compares two steps.
func (r *reckoner) move(a, b fact) string {
	if c := cmp.Compare(r.ranks[b.channel], r.ranks[a.channel]); c != 0 {
		return map[int]string{1: "up", -1: "down"}[c]
	}
	if a.channel == b.channel && a.level != nil && b.level != nil && *a.level != *b.level {
		return map[bool]string{true: "up", false: "down"}[*b.level > *a.level]
	}
	return "same"
}

// work marks the frames of exercise that is not free and is seen.
func (r *reckoner) work() []bool {
	return both(r.seen, r.paint(func(f fact) bool { return f.role == "exercise" && f.kind != "free" }))
}

func (r *reckoner) pressure() m {
	work := r.work()
	out := m{"reminders": len(r.reminders()), "work_s": r.seconds(work), "taps": 0}
	channels, on, scales := m{}, m{}, map[string][]float64{}
	var ranks, top []float64
	events, worked, silent, tapped, topScale := 0, 0, 0, 0, ""
	for _, f := range r.facts {
		if f.role != "pressure" {
			continue
		}
		events++
		n, _ := channels[f.channel].(int)
		channels[f.channel] = n + 1
		if f.to > f.from {
			s, _ := on[f.channel].(float64)
			on[f.channel] = s + r.between(f.from, f.to)
		}
		if f.taps != nil {
			tapped += *f.taps
		}
		if f.level != nil {
			scales[f.channel] = append(scales[f.channel], *f.level)
		}
		if at(work, f.from) {
			worked++
		}
		if f.channel != "voice" {
			silent++
		}
		ranks = append(ranks, float64(r.ranks[f.channel]))
	}
	highest := slices.Max(ranks)
	for _, f := range r.facts {
		if f.role == "pressure" && float64(r.ranks[f.channel]) == highest && f.level != nil {
			top, topScale = append(top, *f.level), f.channel
		}
	}
	levels := m{}
	for scale, values := range scales {
		levels[scale] = m{"n": len(values), "min": slices.Min(values), "median": quantile(values, 0.5), "max": slices.Max(values)}
	}
	out["events"], out["by_channel"], out["on_s"], out["taps"], out["levels"] = events, channels, on, tapped, levels
	out["per_min"], out["outside_work"], out["wordless_share"] = rate(worked, r.seconds(work)/60), events-worked, share(silent, events)
	out["escalation"] = m{"rank_max": highest, "rank_median": quantile(ranks, 0.5), "scale": topScale, "level": slices.Max(top)}

	occasions, rest := r.occasions()
	listed := []any{}
	first, last := map[string][]float64{}, map[string][]float64{}
	alone, resolved, once, stepped := 0, 0, 0, 0
	for _, o := range occasions {
		moves := []any{}
		for i := range o.facts[:max(0, len(o.facts)-1)] {
			moves = append(moves, r.move(o.facts[i], o.facts[i+1]))
		}
		var response any
		if o.resolved && len(o.facts) > 0 {
			response = r.between(o.facts[len(o.facts)-1].from, o.to)
			stepped++
			if len(o.facts) == 1 {
				once++
			}
		}
		listed = append(listed, m{"kind": o.kind, "start_us": r.us[o.from], "end_us": r.us[o.to], "resolved": o.resolved, "steps": list(o.steps), "moves": moves, "response_s": response})
		if o.resolved && o.kind != "cue" {
			resolved++
			helped := len(o.steps) > 0
			for _, f := range r.facts {
				helped = helped || (f.role == "cue" || f.role == "help") && o.from <= f.from && f.from < o.to
			}
			if !helped {
				alone++
			}
		}
		if o.resolved {
			own := map[string][]float64{}
			for _, f := range o.facts {
				if f.level != nil {
					own[f.channel] = append(own[f.channel], *f.level)
				}
			}
			for scale, values := range own {
				first[scale], last[scale] = append(first[scale], values[0]), append(last[scale], values[len(values)-1])
			}
		}
	}
	out["occasions"], out["by_itself"], out["one_step_share"] = listed, share(alone, resolved), share(once, stepped)
	for name, of := range map[string]map[string][]float64{"level_first": first, "level_last": last} {
		medians := m{}
		for scale, values := range of {
			medians[scale] = quantile(values, 0.5)
		}
		out[name] = medians
	}
	var late, steadying, groundless []string
	for _, f := range rest {
		right, staying := false, false
		for _, o := range occasions {
			right = right || o.resolved && o.to <= f.from && r.between(o.to, f.from) <= 2
		}
		for _, s := range r.facts {
			staying = staying || s.role == "exercise" && (s.kind == "stay" || s.kind == "place") && s.from <= f.from && f.from < s.to
		}
		switch {
		case right:
			late = append(late, f.id)
		case staying:
			steadying = append(steadying, f.id)
		default:
			groundless = append(groundless, f.id)
		}
	}
	out["after_right"], out["steadying"], out["no_ground"] = list(late), list(steadying), list(groundless)
	return out
}

func (r *reckoner) rewards() m {
	rewards, worked, corrections := 0, 0, 0
	for _, f := range r.facts {
		if f.role == "reward" {
			rewards++
			if at(r.work(), f.from) {
				worked++
			}
		}
		if f.role == "pressure" && r.ranks[f.channel] > r.helpRank {
			corrections++
		}
	}
	return m{"rewards": rewards, "per_min": rate(worked, r.seconds(r.work())/60), "per_correction": float64(rewards) / float64(corrections)}
}

func (r *reckoner) stress() m {
	work, close := r.work(), make([]bool, r.frames())
	for _, f := range r.facts {
		if f.role == "pressure" {
			for k := f.from; k < r.frames() && r.us[k] < r.us[f.to]+5e6; k++ {
				close[k] = true
			}
		}
	}
	kinds := m{}
	signs, elsewhere := 0, 0
	for _, f := range r.facts {
		if f.role != "stress" {
			continue
		}
		n, _ := kinds[f.kind].(int)
		kinds[f.kind] = n + 1
		switch {
		case !at(work, f.from):
		case near(close, f.from): // the limit is in it
			signs++
		default:
			elsewhere++
		}
	}
	return m{"by_kind": kinds, "near_pressure": rate(signs, r.seconds(work, close)/60), "elsewhere": rate(elsewhere, r.seconds(work, not(close))/60)}
}

// measures is everything, as the program gives it.
func (r *reckoner) measures() m {
	whole := float64(r.us[r.frames()]-r.us[0]) / 1e6
	return m{
		"afterwalk": "measures/1", "intervals": "95%: Wilson (shares), Garwood (rates), log-log Greenwood (curves)",
		"window_s": whole, "seen_s": r.seconds(r.seen), "not_coded": []any{},
		"heel": r.heel(), "stays": r.stays(), "cues": r.cues(), "pressure": r.pressure(), "rewards": r.rewards(), "stress": r.stress(),
	}
}

// numbers is what the desk's row of numbers says of measures, in its words.
func numbers(all m) string {
	heel, stays, pressure := all["heel"].(m), all["stays"].(m), all["pressure"].(m)
	of := func(s any) string { return text(s.(m)["k"]) + " of " + text(s.(m)["n"]) }
	top := pressure["escalation"].(m)
	return strings.Join([]string{
		"out of position " + tenths(heel["error_s"]) + " s of " + tenths(heel["heel_s"]),
		"right by itself " + of(pressure["by_itself"]),
		"stays held " + of(stays["stays_held"]),
		"breaks " + text(stays["breaks"]),
		"cues answered clean " + of(all["cues"].(m)["clean_share"]),
		"highest " + text(top["scale"]) + " " + text(top["level"]),
		"rewards " + text(all["rewards"].(m)["rewards"]),
	}, "|")
}

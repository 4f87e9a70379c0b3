package proof

import "slices"

// asked is a cue or a halt that opened a trial.
type asked struct {
	fact
	name     string // of the trial: its command, halts apart
	from, to int    // open in [from, to); to is a frame at whose start it closes
	why      string // what closed it
	did      bool
	first    string // the first answer
	heard    any    // seconds to it
	repeats  int
	steps    []string // pressure in it
	ranks    []int
	grade    string
}

func (a asked) known() bool { return a.grade != "unknown" && a.grade != "withdrawn" }

// Limits of the book's rules, in seconds, and what asks for nothing.
var (
	answerWindows = map[string]float64{"come": 30, "place": 20} // others 10
	promptLimits  = map[string]float64{"come": 8, "place": 8, "heel": 4}
	asksNothing   = []string{"name", "release", "stay"}
)

func limit(limits map[string]float64, command string, other float64) float64 {
	if s, ok := limits[command]; ok {
		return s
	}
	return other
}

// closing finds when a trial closes, by everything that can close one.
func (r *reckoner) closing(a *asked) {
	a.to, a.why = r.frames(), "clip"
	earlier := func(k int, why string) {
		if k < a.to {
			a.to, a.why = k, why
		}
	}
	for k := range r.frames() {
		if k > a.from && r.us[k]-r.us[a.from] >= int64(1e6*limit(answerWindows, a.command, 10)) {
			earlier(k, "window")
		}
		if k >= a.from && r.hidden[k] {
			earlier(k, "hidden")
		}
	}
	for _, f := range r.facts {
		if f.from <= a.from {
			continue
		}
		switch {
		case f.role == "answer" && f.result == "did":
			earlier(f.from, "did")
		case f.role == "release", f.role == "halt":
			earlier(f.from, "other")
		case f.role == "cue" && f.command != a.command && f.command != "name" && f.command != "stay":
			earlier(f.from, "other")
		}
	}
	a.did = a.why == "did"
}

// reminders are the cues for what is being worked, said while the dog is out of it.
func (r *reckoner) reminders() []string {
	var ids []string
	for _, c := range r.facts {
		if c.role != "cue" {
			continue
		}
		for _, ex := range r.facts {
			if ex.role != "exercise" || ex.from > c.from || c.from >= ex.to || ex.command != c.command {
				continue
			}
			out := false
			for _, b := range append(r.bouts("error"), r.bouts("off_task")...) {
				out = out || ex.kind == "heel" && b.a <= c.from && c.from < b.b
			}
			for _, f := range r.facts {
				out = out || f.role == "break" && ex.kind != "heel" && f.from <= c.from && c.from < f.to
			}
			if out {
				ids = append(ids, c.id)
			}
		}
	}
	return ids
}

// trials goes through the cues and halts in order.
func (r *reckoner) trials() []*asked {
	var all []*asked
	reminders := r.reminders()
	for _, f := range r.facts {
		if f.role != "cue" && f.role != "halt" || f.command == "" {
			continue
		}
		var last *asked // if it is open
		if len(all) > 0 && f.from < all[len(all)-1].to {
			last = all[len(all)-1]
		}
		switch {
		case slices.Contains(asksNothing, f.command):
			if last != nil && f.command == "name" {
				last.repeats++
			}
		case slices.Contains(reminders, f.id):
		case last != nil && last.command == f.command:
			last.repeats++
		default:
			a := &asked{fact: f, name: f.command, from: f.from, first: "nothing"}
			if f.role == "halt" {
				a.name = "halt:" + f.command
			}
			r.closing(a)
			all = append(all, a)
		}
	}
	for _, a := range all {
		for _, f := range r.facts {
			inside := a.from <= f.from && (f.from < a.to || f.from == a.to && a.did)
			if inside && f.role == "answer" && a.first == "nothing" {
				a.first = f.result
			}
			if inside && f.role == "heard" && a.heard == nil {
				a.heard = r.between(a.from, f.from)
			}
		}
	}
	return all
}

// graded gives each trial its grade; helps start in it, pressure belongs to it.
func (r *reckoner) graded() []*asked {
	all := r.trials()
	occasions, _ := r.occasions()
	for _, a := range all {
		helped := a.repeats > 0
		for _, f := range r.facts {
			inside := a.from <= f.from && f.from < a.to
			helped = helped || f.role == "help" && inside
			belongs := false
			for _, o := range occasions {
				belongs = belongs || o.kind == "cue" && o.from == a.from && slices.Contains(o.steps, f.id)
			}
			if f.role == "pressure" && (inside || belongs) {
				a.steps, a.ranks = append(a.steps, f.id), append(a.ranks, r.ranks[f.channel])
			}
		}
		prompt, took := limit(promptLimits, a.command, 3), r.between(a.from, a.to)
		switch {
		case a.did && slices.ContainsFunc(a.ranks, func(rank int) bool { return rank > r.helpRank }):
			a.grade = "corrected"
		case a.did && (helped || len(a.steps) > 0):
			a.grade = "helped"
		case a.did && (took > prompt || a.first != "did"):
			a.grade = "slow"
		case a.did:
			a.grade = "clean"
		case a.why == "clip" || a.why == "hidden":
			a.grade = "unknown"
		case a.why == "other" && took < prompt && a.first == "nothing" && len(a.steps) == 0:
			a.grade = "withdrawn"
		default:
			a.grade = "no-answer"
		}
	}
	return all
}

func (r *reckoner) cues() m {
	all := r.graded()
	count := func(name string) (grades m, clean any) {
		grades = m{"clean": 0, "slow": 0, "helped": 0, "corrected": 0, "no-answer": 0, "unknown": 0, "withdrawn": 0}
		known := 0
		for _, a := range all {
			if name == "" || a.name == name {
				grades[a.grade] = grades[a.grade].(int) + 1
				if a.known() {
					known++
				}
			}
		}
		return grades, share(grades["clean"].(int), known)
	}
	trials, owed, paid := []any{}, []any{}, []any{}
	commands, series := m{}, m{}
	var latencies []float64
	var lives []life
	for i, a := range all {
		var latency any
		if a.did {
			latency = r.between(a.from, a.to)
			latencies = append(latencies, r.between(a.from, a.to))
		}
		if a.known() {
			lives = append(lives, life{exit: r.us[a.to] - r.us[a.from], ends: a.did})
		}
		trials = append(trials, m{
			"command": a.name, "start_us": r.us[a.from], "end_us": r.us[a.to], "grade": a.grade, "first_answer": a.first,
			"latency_s": latency, "heard_s": a.heard, "repeats": a.repeats, "pressure": list(a.steps),
		})
		if a.grade == "no-answer" || a.grade == "corrected" {
			later, right := 0, 0
			for _, b := range all[i+1:] {
				if b.name == a.name && b.known() && right == 0 {
					later++
					if b.grade == "clean" {
						right = later
					}
				}
			}
			if right > 0 {
				paid = append(paid, m{"command": a.name, "start_us": r.us[a.from], "reps_to_clean": right})
			} else {
				owed = append(owed, m{"command": a.name, "start_us": r.us[a.from]})
			}
		}
		if _, done := commands[a.name]; done {
			continue
		}
		var own []float64
		current, longest, known := 0, 0, 0
		for _, b := range all {
			if b.name != a.name {
				continue
			}
			if b.did {
				own = append(own, r.between(b.from, b.to))
			}
			if b.known() {
				known++
				current++
				if b.grade != "clean" {
					current = 0
				}
				longest = max(longest, current)
			}
		}
		grades, clean := count(a.name)
		commands[a.name] = m{"grades": grades, "clean_share": clean, "latency_median_s": quantile(own, 0.5)}
		if known > 0 {
			series[a.name] = m{"current": current, "longest": longest, "criterion_met": nil} // eight of ten: no command has so many
		}
	}
	grades, clean := count("")
	return m{
		"trials": trials, "grades": grades, "clean_share": clean, "by_command": commands, "owed": owed, "paid": paid, "runs": series,
		"latency": m{"n": len(latencies), "km_median_s": medianOf(lives), "q1_s": quantile(latencies, 0.25), "median_s": quantile(latencies, 0.5), "q3_s": quantile(latencies, 0.75)},
	}
}

func list(ids []string) []any {
	out := []any{}
	for _, id := range ids {
		out = append(out, id)
	}
	return out
}

package annotate

// House holds a book's own limits, in seconds unless said otherwise. A nil
// field or missing map key means the default; [House.Rules] fills them in.
type House struct {
	JoinS          *float64
	TurnS          *float64
	NoTrial        []string // nil means the default
	AnswerWindowS  *float64
	AnswerWindowsS map[string]float64
	PromptLimitS   *float64
	PromptLimitsS  map[string]float64
	CriterionClean *int
	CriterionOf    *int
	BreakMomentS   *float64
	EarlyS         *float64
	LateS          *float64
	HeldOnS        *float64
	WarningS       *float64
	RushS          *float64
	UnansweredS    *float64
	RewardS        *float64
	StressS        *float64
	NameS          *float64
	// LimitsS maps a delay to its limit. A nil limit takes the default away.
	LimitsS map[string]*Limit
	Off     []string // findings switched off; nil means the default

	Extra, CriterionExtra map[string]string // unknown fields: name to raw JSON
}

// Limit is a bound on a delay; exactly one of the two is set, in seconds.
type Limit struct {
	Most, Least *float64
	Extra       map[string]string
}

// Rules are house rules with every default filled in; times are Micros.
type Rules struct {
	Join, Turn                        Micros
	NoTrial                           map[string]bool
	answerWindow, promptLimit         Micros
	answerWindows, promptLimits       map[string]Micros
	CriterionClean, CriterionOf       int
	BreakMoment, Early, Late, HeldOn  Micros
	Warning, Rush, Unanswered, Reward Micros
	Stress, Name                      Micros
	Limits                            map[string]Limit
	Off                               map[string]bool
}

// Rules returns the rules in force. Defaults are common practice, no source.
func (h House) Rules() Rules {
	or := func(v *float64, d float64) Micros {
		if v == nil {
			return FromSeconds(d)
		}
		return FromSeconds(*v)
	}
	orInt := func(v *int, d int) int {
		if v == nil {
			return d
		}
		return *v
	}
	seconds := func(given map[string]float64, defaults map[string]float64) map[string]Micros {
		m := map[string]Micros{}
		for k, v := range defaults {
			m[k] = FromSeconds(v)
		}
		for k, v := range given {
			m[k] = FromSeconds(v)
		}
		return m
	}
	set := func(given, defaults []string) map[string]bool {
		if given == nil {
			given = defaults
		}
		m := map[string]bool{}
		for _, k := range given {
			m[k] = true
		}
		return m
	}
	num := func(v float64) *float64 { return &v }
	limits := map[string]Limit{
		"did_to_reward": {Most: num(2)},
		"right_to_off":  {Most: num(0.5)},
		"cue_to_repeat": {Least: num(2)},
	}
	for k, l := range h.LimitsS {
		if l == nil {
			delete(limits, k)
		} else {
			limits[k] = *l
		}
	}
	return Rules{
		Join: or(h.JoinS, 0.5), Turn: or(h.TurnS, 3),
		NoTrial:        set(h.NoTrial, []string{"name", "release", "stay"}),
		answerWindow:   or(h.AnswerWindowS, 10),
		answerWindows:  seconds(h.AnswerWindowsS, map[string]float64{"come": 30, "place": 20}),
		promptLimit:    or(h.PromptLimitS, 3),
		promptLimits:   seconds(h.PromptLimitsS, map[string]float64{"come": 8, "place": 8, "heel": 4}),
		CriterionClean: orInt(h.CriterionClean, 8), CriterionOf: orInt(h.CriterionOf, 10),
		BreakMoment: or(h.BreakMomentS, 2), Early: or(h.EarlyS, 0.5), Late: or(h.LateS, 2),
		HeldOn: or(h.HeldOnS, 0.5), Warning: or(h.WarningS, 30), Rush: or(h.RushS, 1),
		Unanswered: or(h.UnansweredS, 5), Reward: or(h.RewardS, 2), Stress: or(h.StressS, 5),
		Name: or(h.NameS, 5), Limits: limits,
		Off: set(h.Off, []string{"unanswered"}),
	}
}

// AnswerWindow returns how long after its opening a trial of command c can be
// answered; an answer at that very instant is too late.
func (r Rules) AnswerWindow(c string) Micros {
	if w, ok := r.answerWindows[c]; ok {
		return w
	}
	return r.answerWindow
}

// PromptLimit returns the longest latency at which an answer to c is prompt,
// the limit included.
func (r Rules) PromptLimit(c string) Micros {
	if w, ok := r.promptLimits[c]; ok {
		return w
	}
	return r.promptLimit
}

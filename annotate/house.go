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

// Rules returns the rules in force: what h gives, else [DefaultHouse].
func (h House) Rules() Rules {
	std := DefaultHouse()
	or := func(v, d *float64) Micros {
		if v == nil {
			v = d
		}
		return FromSeconds(*v)
	}
	orInt := func(v, d *int) int {
		if v == nil {
			v = d
		}
		return *v
	}
	seconds := func(given, defaults map[string]float64) map[string]Micros {
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
	limits := map[string]Limit{}
	for k, l := range std.LimitsS {
		limits[k] = *l
	}
	for k, l := range h.LimitsS {
		if l == nil {
			delete(limits, k)
		} else {
			limits[k] = *l
		}
	}
	return Rules{
		Join: or(h.JoinS, std.JoinS), Turn: or(h.TurnS, std.TurnS),
		NoTrial:        set(h.NoTrial, std.NoTrial),
		answerWindow:   or(h.AnswerWindowS, std.AnswerWindowS),
		answerWindows:  seconds(h.AnswerWindowsS, std.AnswerWindowsS),
		promptLimit:    or(h.PromptLimitS, std.PromptLimitS),
		promptLimits:   seconds(h.PromptLimitsS, std.PromptLimitsS),
		CriterionClean: orInt(h.CriterionClean, std.CriterionClean), CriterionOf: orInt(h.CriterionOf, std.CriterionOf),
		BreakMoment: or(h.BreakMomentS, std.BreakMomentS), Early: or(h.EarlyS, std.EarlyS), Late: or(h.LateS, std.LateS),
		HeldOn: or(h.HeldOnS, std.HeldOnS), Warning: or(h.WarningS, std.WarningS), Rush: or(h.RushS, std.RushS),
		Unanswered: or(h.UnansweredS, std.UnansweredS), Reward: or(h.RewardS, std.RewardS), Stress: or(h.StressS, std.StressS),
		Name: or(h.NameS, std.NameS), Limits: limits,
		Off: set(h.Off, std.Off),
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

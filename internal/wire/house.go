package wire

import "afterwalk/annotate"

// House is a book's house rules as JSON. What is left out has its default.
type House struct {
	JoinS          *float64           `json:"join_s,omitzero"`
	TurnS          *float64           `json:"turn_s,omitzero"`
	NoTrial        []string           `json:"no_trial,omitzero"`
	AnswerWindowS  *float64           `json:"answer_window_s,omitzero"`
	AnswerWindowsS map[string]float64 `json:"answer_windows_s,omitzero"`
	PromptLimitS   *float64           `json:"prompt_limit_s,omitzero"`
	PromptLimitsS  map[string]float64 `json:"prompt_limits_s,omitzero"`
	Criterion      *Criterion         `json:"criterion,omitzero"`
	BreakMomentS   *float64           `json:"break_moment_s,omitzero"`
	EarlyS         *float64           `json:"early_s,omitzero"`
	LateS          *float64           `json:"late_s,omitzero"`
	HeldOnS        *float64           `json:"held_on_s,omitzero"`
	WarningS       *float64           `json:"warning_s,omitzero"`
	RushS          *float64           `json:"rush_s,omitzero"`
	UnansweredS    *float64           `json:"unanswered_s,omitzero"`
	RewardS        *float64           `json:"reward_s,omitzero"`
	StressS        *float64           `json:"stress_s,omitzero"`
	NameS          *float64           `json:"name_s,omitzero"`
	LimitsS        map[string]*Limit  `json:"limits_s,omitzero"` // null takes a default away
	Off            []string           `json:"off,omitzero"`
	Extra          map[string]string  `json:"-"`
}

// Criterion is how many of the last trials must be clean, as JSON.
type Criterion struct {
	Clean *int              `json:"clean,omitzero"`
	Of    *int              `json:"of,omitzero"`
	Extra map[string]string `json:"-"`
}

// Limit is a bound on a delay as JSON.
type Limit struct {
	Most  *float64          `json:"most,omitzero"`
	Least *float64          `json:"least,omitzero"`
	Extra map[string]string `json:"-"`
}

func fromHouse(h annotate.House) House {
	w := House{
		JoinS: h.JoinS, TurnS: h.TurnS, NoTrial: h.NoTrial,
		AnswerWindowS: h.AnswerWindowS, AnswerWindowsS: h.AnswerWindowsS,
		PromptLimitS: h.PromptLimitS, PromptLimitsS: h.PromptLimitsS,
		BreakMomentS: h.BreakMomentS, EarlyS: h.EarlyS, LateS: h.LateS, HeldOnS: h.HeldOnS,
		WarningS: h.WarningS, RushS: h.RushS, UnansweredS: h.UnansweredS, RewardS: h.RewardS,
		StressS: h.StressS, NameS: h.NameS, Off: h.Off, Extra: h.Extra,
	}
	if h.CriterionClean != nil || h.CriterionOf != nil || h.CriterionExtra != nil {
		w.Criterion = &Criterion{h.CriterionClean, h.CriterionOf, h.CriterionExtra}
	}
	if h.LimitsS != nil {
		w.LimitsS = make(map[string]*Limit, len(h.LimitsS))
		for k, l := range h.LimitsS {
			w.LimitsS[k] = (*Limit)(l)
		}
	}
	return w
}

func (w House) house() annotate.House {
	h := annotate.House{
		JoinS: w.JoinS, TurnS: w.TurnS, NoTrial: w.NoTrial,
		AnswerWindowS: w.AnswerWindowS, AnswerWindowsS: w.AnswerWindowsS,
		PromptLimitS: w.PromptLimitS, PromptLimitsS: w.PromptLimitsS,
		BreakMomentS: w.BreakMomentS, EarlyS: w.EarlyS, LateS: w.LateS, HeldOnS: w.HeldOnS,
		WarningS: w.WarningS, RushS: w.RushS, UnansweredS: w.UnansweredS, RewardS: w.RewardS,
		StressS: w.StressS, NameS: w.NameS, Off: w.Off, Extra: w.Extra,
	}
	if c := w.Criterion; c != nil {
		h.CriterionClean, h.CriterionOf, h.CriterionExtra = c.Clean, c.Of, c.Extra
	}
	if w.LimitsS != nil {
		h.LimitsS = make(map[string]*annotate.Limit, len(w.LimitsS))
		for k, l := range w.LimitsS {
			h.LimitsS[k] = (*annotate.Limit)(l)
		}
	}
	return h
}

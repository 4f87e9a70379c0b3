package annotate

// DefaultHouse returns the house rules that stand where a book says nothing, every
// one given. Common practice, no source.
func DefaultHouse() House {
	return House{
		JoinS: new(0.5), TurnS: new(3.0),
		NoTrial:       []string{"name", "release", "stay"},
		AnswerWindowS: new(10.0), AnswerWindowsS: map[string]float64{"come": 30, "place": 20},
		PromptLimitS: new(3.0), PromptLimitsS: map[string]float64{"come": 8, "place": 8, "heel": 4},
		CriterionClean: new(8), CriterionOf: new(10),
		BreakMomentS: new(2.0), EarlyS: new(0.5), LateS: new(2.0), HeldOnS: new(0.5),
		WarningS: new(30.0), RushS: new(1.0), UnansweredS: new(5.0), RewardS: new(2.0),
		StressS: new(5.0), NameS: new(5.0),
		LimitsS: map[string]*Limit{
			"did_to_reward": {Most: new(2.0)},
			"right_to_off":  {Most: new(0.5)},
			"cue_to_repeat": {Least: new(2.0)},
		},
		Off: []string{"unanswered"},
	}
}

package annotate

import (
	"fmt"
	"slices"
)

// Validate returns everything that is wrong with a book, nil if nothing is. Each
// problem names the code, channel, lane or house key and the rule.
func (b *Codebook) Validate() Problems {
	c := bookCheck{book: b}
	c.ladder()
	c.house()
	c.lanes()
	return c.problems
}

type bookCheck struct {
	check
	book *Codebook
}

func (c *bookCheck) ladder() {
	if c.book.HelpRank < 0 {
		c.add("codebook.help_rank", "", "help_rank is %d, below 0.", c.book.HelpRank)
	}
	seen := map[string]bool{}
	for i, g := range c.book.Ladder {
		scale := Scale(g.Channel, g.Device)
		at := fmt.Sprintf("codebook.ladder[%d] (%s)", i, scale)
		if g.Channel == "" {
			c.add(at+".channel", "", "A rung of the ladder has no channel.")
		}
		if g.Rank < 1 {
			c.add(at+".rank", "1 is the mildest.", "Channel %q has the rank %d, below 1.", scale, g.Rank)
		}
		if g.LevelMax != nil && negative(*g.LevelMax) {
			c.add(at+".level_max", "", "Channel %q has the level_max %v, below 0.", scale, *g.LevelMax)
		}
		if seen[scale] {
			c.add(at, "Keep one of them.", "Channel %q stands on the ladder twice: a scale has one rank.", scale)
		}
		seen[scale] = true
	}
}

func (c *bookCheck) house() {
	h := &c.book.House
	key := func(name string, v *float64) {
		if v != nil && negative(*v) {
			c.add("codebook.house."+name, "", "The house key %s is %v, below 0.", name, *v)
		}
	}
	window := func(name string, v *float64) {
		key(name, v)
		// What is rounded to 0 µs is 0.
		if v != nil && !negative(*v) && FromSeconds(*v) == 0 {
			c.add("codebook.house."+name, "", "The house key %s is an answer window of 0.", name)
		}
	}
	key("join_s", h.JoinS)
	key("turn_s", h.TurnS)
	window("answer_window_s", h.AnswerWindowS)
	for _, k := range sortedKeys(h.AnswerWindowsS) {
		window("answer_windows_s."+k, new(h.AnswerWindowsS[k]))
	}
	key("prompt_limit_s", h.PromptLimitS)
	for _, k := range sortedKeys(h.PromptLimitsS) {
		key("prompt_limits_s."+k, new(h.PromptLimitsS[k]))
	}
	if v := h.CriterionClean; v != nil && *v < 0 {
		c.add("codebook.house.criterion.clean", "", "The house key criterion.clean is %d, below 0.", *v)
	}
	if v := h.CriterionOf; v != nil && *v < 1 {
		c.add("codebook.house.criterion.of", "", "The house key criterion.of is %d, below 1.", *v)
	}
	key("break_moment_s", h.BreakMomentS)
	key("early_s", h.EarlyS)
	key("late_s", h.LateS)
	key("held_on_s", h.HeldOnS)
	key("warning_s", h.WarningS)
	key("rush_s", h.RushS)
	key("unanswered_s", h.UnansweredS)
	key("reward_s", h.RewardS)
	key("stress_s", h.StressS)
	key("name_s", h.NameS)
	for _, k := range sortedKeys(h.LimitsS) {
		if l := h.LimitsS[k]; l != nil {
			if (l.Most == nil) == (l.Least == nil) {
				c.add("codebook.house.limits_s."+k, "null takes the default away.", "The house key limits_s.%s needs one of most and least.", k)
			}
			key("limits_s."+k+".most", l.Most)
			key("limits_s."+k+".least", l.Least)
		}
	}
}

func (c *bookCheck) lanes() {
	codes, keys, names := map[string]bool{}, map[string]string{}, map[string]bool{}
	exercises := -1 // the lane of the first exercise code
	for i := range c.book.Lanes {
		lane := &c.book.Lanes[i]
		at := fmt.Sprintf("codebook.lanes[%d] (%s)", i, lane.Name)
		if names[lane.Name] {
			c.add(at+".name", "Readings name the lanes that were coded.", "Two lanes are named %q.", lane.Name)
		}
		names[lane.Name] = true
		for k := range lane.Codes {
			code := &lane.Codes[k]
			at := fmt.Sprintf("%s.codes[%d] (%s)", at, k, code.ID)
			c.code(at, code)
			if codes[code.ID] {
				c.add(at+".id", "Each code needs an id of its own.", "Code %q stands in the book twice.", code.ID)
			}
			codes[code.ID] = true
			if other, ok := keys[code.Key]; ok && code.Key != "" {
				c.add(at+".key", "Give one of them another key.", "Codes %q and %q have the same key %q.", other, code.ID, code.Key)
			}
			keys[code.Key] = code.ID
			if code.Role != RoleExercise {
				continue
			}
			if exercises < 0 {
				exercises = i
			}
			if exercises != i {
				c.add(at+".role", "Move it there.", "Exercise code %q stands outside the lane %q: all exercises stand in one exclusive lane.", code.ID, c.book.Lanes[exercises].Name)
			} else if !lane.Exclusive {
				c.add(at+".role", "Make the lane exclusive.", "Exercise code %q stands in the lane %q, which is not exclusive.", code.ID, lane.Name)
			}
		}
	}
}

// code checks one code by itself.
func (c *bookCheck) code(at string, code *Code) {
	if code.ID == "" {
		c.add(at+".id", "", "A code has no id.")
	}
	switch shapes := code.Role.Shapes(); {
	case shapes == nil:
		c.add(at+".role", "", "Code %q has the unknown role %q.", code.ID, code.Role)
	case code.Shape != ShapeSpan && code.Shape != ShapeMoment && code.Shape != ShapeEither:
		c.add(at+".shape", "It is span, moment or either.", "Code %q has the unknown shape %q.", code.ID, code.Shape)
	case !slices.Contains(shapes, code.Shape):
		c.add(at+".shape", "", "Code %q has the shape %s, but its role %s is coded as %s.", code.ID, code.Shape, code.Role, shapes[0])
	}
	d := code.Details
	if code.Role == RolePressure && d.Channel != "" &&
		!slices.ContainsFunc(c.book.Ladder, func(g Rung) bool { return g.Channel == d.Channel }) {
		c.add(at+".channel", "Add the channel to the ladder.", "Code %q has the channel %q, which is not on the ladder.", code.ID, d.Channel)
	}
	if d.Level != nil && negative(*d.Level) {
		c.add(at+".level", "", "Code %q has the level %v, below 0.", code.ID, *d.Level)
	}
	if d.Taps != nil && *d.Taps < 1 {
		c.add(at+".taps", "", "Code %q has %d taps; there is at least 1.", code.ID, *d.Taps)
	}
	if d.Result != "" && code.Role == RoleAnswer && d.Result != "did" && d.Result != "none" && d.Result != "other" {
		c.add(at+".result", "It is did, none or other.", "Code %q has the unknown result %q.", code.ID, d.Result)
	}
	if code.Then != "" {
		if then, _ := c.book.code(code.Then); then == nil || then.Role != RoleExercise {
			c.add(at+".then", "", "Code %q starts %q by then, which is no exercise code.", code.ID, code.Then)
		}
	}
}

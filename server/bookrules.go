package server

import (
	"fmt"
	"maps"
	"slices"
	"strings"

	"afterwalk/annotate"
)

// ladderCautions stand beside the ladder and whatever names levels.
var ladderCautions = []string{
	"Law where you are first, then the device's manual. If either says no, it is no.",
	"Levels record one dog, one collar, one day. They are not settings to copy.",
	"Collar time is limited, and the skin under it is checked.",
	"Fear, pain, growling, sore skin: stop. Ask a veterinarian or a qualified behaviour professional.",
}

// ruleRow is a house rule to be read.
type ruleRow struct {
	Name, Value string
	Default     bool
}

// ruleRows lists the house rules in force, by the names that reading files have
// for them.
func ruleRows(h annotate.House) []ruleRow {
	std := annotate.DefaultHouse()
	var rows []ruleRow
	add := func(name string, given bool, value string) { rows = append(rows, ruleRow{name, value, !given}) }
	number := func(name string, v, d *float64) {
		given := v != nil
		if !given {
			v = d
		}
		add(name, given, fmt.Sprintf("%v s", *v))
	}
	list := func(name string, v, d []string) {
		given := v != nil
		if !given {
			v = d
		}
		text := strings.Join(v, ", ")
		if len(v) == 0 {
			text = "none"
		}
		add(name, given, text)
	}
	table := func(name string, v, d map[string]float64) {
		all := maps.Clone(d)
		maps.Copy(all, v)
		for _, k := range slices.Sorted(maps.Keys(all)) {
			_, given := v[k]
			add(name+" "+k, given, fmt.Sprintf("%v s", all[k]))
		}
	}
	number("join_s", h.JoinS, std.JoinS)
	number("turn_s", h.TurnS, std.TurnS)
	list("no_trial", h.NoTrial, std.NoTrial)
	number("answer_window_s", h.AnswerWindowS, std.AnswerWindowS)
	table("answer_windows_s", h.AnswerWindowsS, std.AnswerWindowsS)
	number("prompt_limit_s", h.PromptLimitS, std.PromptLimitS)
	table("prompt_limits_s", h.PromptLimitsS, std.PromptLimitsS)
	rules := h.Rules()
	add("criterion", h.CriterionClean != nil || h.CriterionOf != nil, fmt.Sprintf("%d clean of %d", rules.CriterionClean, rules.CriterionOf))
	number("break_moment_s", h.BreakMomentS, std.BreakMomentS)
	number("early_s", h.EarlyS, std.EarlyS)
	number("late_s", h.LateS, std.LateS)
	number("held_on_s", h.HeldOnS, std.HeldOnS)
	number("warning_s", h.WarningS, std.WarningS)
	number("rush_s", h.RushS, std.RushS)
	number("unanswered_s", h.UnansweredS, std.UnansweredS)
	number("reward_s", h.RewardS, std.RewardS)
	number("stress_s", h.StressS, std.StressS)
	number("name_s", h.NameS, std.NameS)
	all := map[string]bool{}
	for k := range h.LimitsS {
		all[k] = true
	}
	for k := range std.LimitsS {
		all[k] = true
	}
	for _, k := range slices.Sorted(maps.Keys(all)) {
		_, given := h.LimitsS[k]
		text := "no limit"
		if l, ok := rules.Limits[k]; ok && l.Most != nil {
			text = fmt.Sprintf("at most %v s", *l.Most)
		} else if ok && l.Least != nil {
			text = fmt.Sprintf("at least %v s", *l.Least)
		}
		add("limits_s "+k, given, text)
	}
	list("off", h.Off, std.Off)
	return rows
}

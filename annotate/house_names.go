package annotate

// Delays returns the delays of the handler's own timing that a book may limit, in
// the order in which reports list them.
func Delays() []string {
	return []string{
		"error_to_pressure", "off_task_to_pressure", "break_to_pressure", "cue_to_pressure",
		"right_to_off", "right_to_pressure", "did_to_reward", "cue_to_repeat", "name_to_cue",
	}
}

// Findings returns the findings that a book may switch off, in the order in which
// reports list those of one time.
func Findings() []string {
	return []string{
		"no-warning", "stalled", "rushed", "over-ceiling", "after-right", "held-on", "no-ground",
		"unanswered", "unrewarded", "stress", "line-off", "long-wear",
	}
}

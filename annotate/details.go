package annotate

// Details are the properties that a code may carry and that an event may
// override. A zero field is not given. Numbers that may be 0 are pointers.
type Details struct {
	Kind      string   // exercise, error, off_task, break, help, reward, offered, turn, pace, distraction, stress, line
	Posture   string   // exercise: sit, down, stand
	Command   string   // cue, halt: what is asked for; exercise: its own cue
	Mode      string   // cue: voice, hand, body, tone
	Result    string   // answer: did, none, other
	Channel   string   // pressure
	Device    string   // pressure
	Who       string   // handler
	Level     *float64 // pressure: the device's own number, at least 0
	Taps      *int     // pressure: at least 1
	PlannedS  *float64 // exercise: planned length, seconds
	HandlerM  *float64 // exercise: handler's distance, metres
	DistanceM *float64 // distraction: distance, metres

	// Extra keeps fields that this program doesn't know: name to raw JSON.
	Extra map[string]string
}

// Over returns d with every field that it lacks taken from base: an event's
// details over its code's. Extra fields are merged by name. Neither is changed.
func (d Details) Over(base Details) Details {
	fill := func(v *string, from string) {
		if *v == "" {
			*v = from
		}
	}
	fill(&d.Kind, base.Kind)
	fill(&d.Posture, base.Posture)
	fill(&d.Command, base.Command)
	fill(&d.Mode, base.Mode)
	fill(&d.Result, base.Result)
	fill(&d.Channel, base.Channel)
	fill(&d.Device, base.Device)
	fill(&d.Who, base.Who)
	if d.Level == nil {
		d.Level = base.Level
	}
	if d.Taps == nil {
		d.Taps = base.Taps
	}
	if d.PlannedS == nil {
		d.PlannedS = base.PlannedS
	}
	if d.HandlerM == nil {
		d.HandlerM = base.HandlerM
	}
	if d.DistanceM == nil {
		d.DistanceM = base.DistanceM
	}
	if len(base.Extra) > 0 {
		merged := make(map[string]string, len(base.Extra)+len(d.Extra))
		for k, v := range base.Extra {
			merged[k] = v
		}
		for k, v := range d.Extra {
			merged[k] = v
		}
		d.Extra = merged
	}
	return d
}

package annotate

import (
	"math"
	"strings"
	"testing"
)

// checked is a valid reading for the tables below to spoil: heel work with an
// error, then a down-stay with a break and pressure.
func checked() *Reading {
	r := testReading()
	r.Book.Lanes[2].Codes = append(r.Book.Lanes[2].Codes, Code{ID: "any cue", Role: RoleCue, Shape: ShapeMoment})
	r.Book.Lanes[3].Codes = append(r.Book.Lanes[3].Codes, Code{ID: "any answer", Role: RoleAnswer, Shape: ShapeMoment})
	r.Book.Lanes[0].Codes = append(r.Book.Lanes[0].Codes, Code{ID: "any exercise", Role: RoleExercise, Shape: ShapeSpan})
	r.Book.Lanes[1].Codes = append(r.Book.Lanes[1].Codes, Code{ID: "any error", Role: RoleError, Shape: ShapeSpan})
	r.Book.Lanes[5].Codes = append(r.Book.Lanes[5].Codes, Code{ID: "any pressure", Role: RolePressure, Shape: ShapeEither})
	r.Book.Lanes[5].Codes = append(r.Book.Lanes[5].Codes, Code{ID: "tap", Role: RolePressure, Shape: ShapeMoment, Details: Details{Channel: "stim", Level: new(0.0), Taps: new(1)}})
	r.Events = []Event{
		{ID: "heel", Code: "ex-heel", Start: 0, End: 100},
		{ID: "ahead", Code: "ahead", Start: 10, End: 20},
		{ID: "cue", Code: "down", Start: 90, End: 90},
		{ID: "did", Code: "did", Start: 100, End: 100},
		{ID: "down", Code: "ex-down", Start: 100, End: 400},
		{ID: "broke", Code: "broke", Start: 200, End: 210},
		{ID: "stim", Code: "stim", Start: 205, End: 205, Details: Details{Level: new(10.0), Taps: new(2)}},
		{ID: "held", Code: "held", Start: 206, End: 209},
		{ID: "note", Code: "remark", Start: 600, End: 600},
	}
	return r
}

// set returns a function that changes one event of checked.
func set(id string, f func(e *Event)) func(r *Reading) {
	return func(r *Reading) { f(eventByID(r, id)) }
}

// add returns a function that adds an event.
func add(e Event) func(r *Reading) {
	return func(r *Reading) {
		r.Events = append(r.Events, e)
		SortEvents(r.Events)
	}
}

func code(b *Codebook, id string) *Code {
	c, _ := b.code(id)
	return c
}

// Every rule for events that the last paragraph about reading files names, with
// what the message has to name.
var eventRules = []struct {
	rule  string
	spoil func(r *Reading)
	want  string
}{
	{"unknown code", set("cue", func(e *Event) { e.Code = "fly" }), `Event "cue" (fly) has the unknown code "fly".`},
	{"no code", set("cue", func(e *Event) { e.Code = "" }), `Event "cue" has the unknown code "".`},
	{"start before 0", set("heel", func(e *Event) { e.Start = -1 }), `Event "heel" (ex-heel) starts before 0.`},
	{"end after the clip's end", set("down", func(e *Event) { e.End = 601 }), `Event "down" (ex-down) ends at 0.001 s, after the clip's end`},
	{"start after the clip's end", set("note", func(e *Event) { e.Start, e.Open = 601, true }), `Event "note" (remark) starts at 0.001 s, after the clip's end`},
	{"end before start", set("held", func(e *Event) { e.End = 205 }), `Event "held" (held) ends before it starts.`},
	{"a moment code with a length", set("cue", func(e *Event) { e.End = 91 }), `Event "cue" (down) has a length, but its code is a moment.`},
	{"a span code without a length", set("held", func(e *Event) { e.End = e.Start }), `Event "held" (held) has no length, but its code is a span.`},
	{"an open end on a code that can't be a span", set("cue", func(e *Event) { e.Open = true }), `Event "cue" (down) has an open end, but its code is a moment.`},
	{"overlapping spans in an exclusive lane", set("heel", func(e *Event) { e.End = 101 }),
		`"ex-down" starts at 0.000 s while "ex-heel" runs, which began at 0.000 s and ends at 0.000 s: in the lane "exercise" only one can.`},
	{"a span inside another one", add(Event{ID: "more", Code: "behind", Start: 12, End: 13}), `"behind" starts at 0.000 s while "ahead" runs`},
	{"a span after a short one inside a long one", func(r *Reading) {
		add(Event{ID: "more", Code: "broke", Start: 201, End: 202})(r)
		add(Event{ID: "last", Code: "broke", Start: 209, End: 212})(r)
	}, `(last).start_us: "broke" starts at 0.000 s while "broke"`},
	{"a span after an open one", set("heel", func(e *Event) { e.Open = true }), `while "ex-heel" runs, which began at 0.000 s and has no end yet`},
	{"an open span in another one", add(Event{ID: "more", Code: "behind", Start: 15, Open: true}), `"behind" starts at 0.000 s while "ahead" runs`},
	{"a cue without command", add(Event{ID: "x", Code: "any cue"}), `Event "x" (any cue) is a cue without a command.`},
	{"an answer without result", add(Event{ID: "x", Code: "any answer"}), `Event "x" (any answer) is an answer without a result.`},
	{"an answer with an unknown result", add(Event{ID: "x", Code: "any answer", Details: Details{Result: "maybe"}}), `Event "x" (any answer) has the unknown result "maybe".`},
	{"an exercise without kind", add(Event{ID: "x", Code: "any exercise", Start: 500, End: 501}), `Event "x" (any exercise) is of role exercise without a kind.`},
	{"an error without kind", add(Event{ID: "x", Code: "any error", Start: 500, End: 501}), `Event "x" (any error) is of role error without a kind.`},
	{"pressure without channel", add(Event{ID: "x", Code: "any pressure"}), `Event "x" (any pressure) is pressure without a channel.`},
	{"a level below 0", set("stim", func(e *Event) { e.Details.Level = new(-0.5) }), `Event "stim" (stim) has the level -0.5, below 0.`},
	{"a level that is no number", set("stim", func(e *Event) { e.Details.Level = new(math.NaN()) }), `Event "stim" (stim) has the level NaN`},
	{"a level above level_max", set("stim", func(e *Event) { e.Details.Level = new(100.5) }), `Event "stim" (stim) has the level 100.5, above level_max 100 of the scale "stim".`},
	{"a level above that of the channel, of a device not on the ladder", set("stim", func(e *Event) { e.Details.Level, e.Details.Device = new(101.0), "spare" }),
		`Event "stim" (stim) has the level 101, above level_max 100 of the scale "stim".`},
	{"a level above level_max of the event's own device", func(r *Reading) {
		r.Book.Ladder = append(r.Book.Ladder, Rung{Channel: "stim", Device: "small", Rank: 2, LevelMax: new(5.0)})
		set("stim", func(e *Event) { e.Details.Device = "small" })(r)
	}, `Event "stim" (stim) has the level 10, above level_max 5 of the scale "stim@small".`},
	{"an inherited level above the event's own scale", func(r *Reading) {
		r.Book.Ladder[0].LevelMax = new(1.0)
		code(r.Book, "stim").Details.Level = new(2.0)
		set("stim", func(e *Event) { e.Details = Details{Channel: "voice"} })(r)
	}, `Event "stim" (stim) has the level 2, above level_max 1 of the scale "voice".`},
	{"a channel not on the ladder", set("stim", func(e *Event) { e.Details.Channel = "whistle" }), `Event "stim" (stim) has the channel "whistle", which is not on the ladder.`},
	{"a channel of which the ladder has only another device", func(r *Reading) { r.Book.Ladder[1].Device = "large" }, `Event "stim" (stim) has the channel "stim", which is not on the ladder.`},
	{"taps below 1", set("stim", func(e *Event) { e.Details.Taps = new(0) }), `Event "stim" (stim) has 0 taps; there is at least 1.`},
	{"a duplicate event id", set("held", func(e *Event) { e.ID = "stim" }), `Event "stim" stands there twice.`},
	{"no event id", set("held", func(e *Event) { e.ID = "" }), `Event "" (held) has no id.`},
	{"an empty window", func(r *Reading) { r.Window = Span{5, 5} }, `The window from 0.000 s to 0.000 s is empty.`},
	{"a window before the clip", func(r *Reading) { r.Window = Span{-1, 5} }, `is not inside the clip`},
	{"a window beyond the clip", func(r *Reading) { r.Window = Span{0, 601} }, `is not inside the clip`},
	{"a coded lane that doesn't exist", func(r *Reading) { r.Coded = []string{"cue", "no lane"} }, `The coded lane "no lane" doesn't exist.`},
	{"an unknown side", func(r *Reading) { r.Side = "front" }, `The side "front" is unknown.`},
	{"a window chosen in an unknown way", func(r *Reading) { r.Chosen = "by lot" }, `The window was chosen in an unknown way, "by lot".`},
	{"a ceiling below 0", func(r *Reading) { r.Dog.Ceilings = map[string]float64{"stim": -1} }, `ceiling for "stim" is the level -1, below 0.`},
	{"a wear limit below 0", func(r *Reading) { r.Dog.WearLimitS = new(-1.0) }, `wear limit is -1 s, below 0.`},
	{"a clip longer than a page can count", func(r *Reading) { r.Clip.Duration = 1 << 53 }, `The clip is longer than`},
	{"no book", func(r *Reading) { r.Book = nil }, `The reading has no codebook.`},
}

// Every rule for books.
var bookRules = []struct {
	rule  string
	spoil func(b *Codebook)
	want  string
}{
	{"exercise codes in two lanes", func(b *Codebook) { b.Lanes[1].Codes[0].Role = RoleExercise },
		`Exercise code "ahead" stands outside the lane "exercise": all exercises stand in one exclusive lane.`},
	{"exercise codes in a lane that isn't exclusive", func(b *Codebook) { b.Lanes[0].Exclusive = false }, `Exercise code "ex-heel" stands in the lane "exercise", which is not exclusive.`},
	{"an unknown role", func(b *Codebook) { code(b, "down").Role = "wish" }, `Code "down" has the unknown role "wish".`},
	{"an unknown shape", func(b *Codebook) { code(b, "down").Shape = "blob" }, `Code "down" has the unknown shape "blob".`},
	{"a cue as a span", func(b *Codebook) { code(b, "down").Shape = ShapeSpan }, `Code "down" has the shape span, but its role cue is coded as moment.`},
	{"an exercise as either", func(b *Codebook) { code(b, "ex-heel").Shape = ShapeEither }, `Code "ex-heel" has the shape either, but its role exercise is coded as span.`},
	{"a channel not on the ladder", func(b *Codebook) { code(b, "stim").Details.Channel = "whistle" }, `Code "stim" has the channel "whistle", which is not on the ladder.`},
	{"a level below 0", func(b *Codebook) { code(b, "stim").Details.Level = new(-1.0) }, `Code "stim" has the level -1, below 0.`},
	{"taps below 1", func(b *Codebook) { code(b, "stim").Details.Taps = new(0) }, `Code "stim" has 0 taps; there is at least 1.`},
	{"an unknown result", func(b *Codebook) { code(b, "did").Details.Result = "maybe" }, `Code "did" has the unknown result "maybe".`},
	{"two ranks for one scale", func(b *Codebook) { b.Ladder = append(b.Ladder, Rung{Channel: "stim", Rank: 3}) }, `Channel "stim" stands on the ladder twice: a scale has one rank.`},
	{"two ranks for one device", func(b *Codebook) {
		b.Ladder = append(b.Ladder, Rung{Channel: "stim", Device: "x", Rank: 3}, Rung{Channel: "stim@x", Rank: 4})
	}, `Channel "stim@x" stands on the ladder twice`},
	{"a rank below 1", func(b *Codebook) { b.Ladder[0].Rank = 0 }, `Channel "voice" has the rank 0, below 1.`},
	{"a level_max below 0", func(b *Codebook) { b.Ladder[0].LevelMax = new(-1.0) }, `Channel "voice" has the level_max -1, below 0.`},
	{"a rung without channel", func(b *Codebook) { b.Ladder[0].Channel = "" }, `A rung of the ladder has no channel.`},
	{"help_rank below 0", func(b *Codebook) { b.HelpRank = -1 }, `help_rank is -1, below 0.`},
	{"criterion.of below 1", func(b *Codebook) { b.House.CriterionOf = new(0) }, `The house key criterion.of is 0, below 1.`},
	{"criterion.clean below 0", func(b *Codebook) { b.House.CriterionClean = new(-1) }, `The house key criterion.clean is -1, below 0.`},
	{"an answer window of 0", func(b *Codebook) { b.House.AnswerWindowS = new(0.0) }, `The house key answer_window_s is an answer window of 0.`},
	{"an answer window of 0 for a command", func(b *Codebook) { b.House.AnswerWindowsS = map[string]float64{"come": 0} }, `The house key answer_windows_s.come is an answer window of 0.`},
	{"a negative answer window", func(b *Codebook) { b.House.AnswerWindowsS = map[string]float64{"come": -1} }, `The house key answer_windows_s.come is -1, below 0.`},
	{"a negative prompt limit", func(b *Codebook) { b.House.PromptLimitsS = map[string]float64{"come": -1} }, `The house key prompt_limits_s.come is -1, below 0.`},
	{"a negative limit", func(b *Codebook) { b.House.LimitsS = map[string]*Limit{"d": {Most: new(-1.0)}} }, `The house key limits_s.d.most is -1, below 0.`},
	{"a limit with two sides", func(b *Codebook) { b.House.LimitsS = map[string]*Limit{"d": {Most: new(1.0), Least: new(1.0)}} }, `The house key limits_s.d needs one of most and least.`},
	{"a limit without a side", func(b *Codebook) { b.House.LimitsS = map[string]*Limit{"d": {}} }, `The house key limits_s.d needs one of most and least.`},
	{"negative join_s", func(b *Codebook) { b.House.JoinS = new(-0.1) }, `The house key join_s is -0.1, below 0.`},
	{"negative turn_s", func(b *Codebook) { b.House.TurnS = new(-1.0) }, `The house key turn_s is -1`},
	{"negative answer_window_s", func(b *Codebook) { b.House.AnswerWindowS = new(-1.0) }, `The house key answer_window_s is -1`},
	{"negative prompt_limit_s", func(b *Codebook) { b.House.PromptLimitS = new(-1.0) }, `The house key prompt_limit_s is -1`},
	{"negative break_moment_s", func(b *Codebook) { b.House.BreakMomentS = new(-1.0) }, `The house key break_moment_s is -1`},
	{"negative early_s", func(b *Codebook) { b.House.EarlyS = new(-1.0) }, `The house key early_s is -1`},
	{"negative late_s", func(b *Codebook) { b.House.LateS = new(-1.0) }, `The house key late_s is -1`},
	{"negative held_on_s", func(b *Codebook) { b.House.HeldOnS = new(-1.0) }, `The house key held_on_s is -1`},
	{"negative warning_s", func(b *Codebook) { b.House.WarningS = new(-1.0) }, `The house key warning_s is -1`},
	{"negative rush_s", func(b *Codebook) { b.House.RushS = new(-1.0) }, `The house key rush_s is -1`},
	{"negative unanswered_s", func(b *Codebook) { b.House.UnansweredS = new(-1.0) }, `The house key unanswered_s is -1`},
	{"negative reward_s", func(b *Codebook) { b.House.RewardS = new(-1.0) }, `The house key reward_s is -1`},
	{"negative stress_s", func(b *Codebook) { b.House.StressS = new(-1.0) }, `The house key stress_s is -1`},
	{"negative name_s", func(b *Codebook) { b.House.NameS = new(-1.0) }, `The house key name_s is -1`},
	{"then naming no code", func(b *Codebook) { code(b, "down").Then = "ex-fly" }, `Code "down" starts "ex-fly" by then, which is no exercise code.`},
	{"then naming another code", func(b *Codebook) { code(b, "down").Then = "ahead" }, `Code "down" starts "ahead" by then, which is no exercise code.`},
	{"one key for two codes", func(b *Codebook) { code(b, "down").Key, code(b, "did").Key = "x", "x" }, `Codes "down" and "did" have the same key "x".`},
	{"a duplicate code id", func(b *Codebook) { code(b, "behind").ID = "ahead" }, `Code "ahead" stands in the book twice.`},
	{"a code without id", func(b *Codebook) { code(b, "did").ID = "" }, `A code has no id.`},
	{"two lanes of one name", func(b *Codebook) { b.Lanes[2].Name = "answer" }, `Two lanes are named "answer".`},
}

// only fails unless problems are one, with the wanted message and a place.
func only(t *testing.T, p Problems, want string) {
	t.Helper()
	if len(p) != 1 || !strings.Contains(p[0].Message, want) || p[0].Field == "" {
		t.Errorf("problems:\n%v\nwant one, with a place:\n%s", p, want)
	}
}

func TestEventRules(t *testing.T) {
	if p := checked().Validate(); p != nil {
		t.Fatalf("the reading to spoil is not valid:\n%v", p)
	}
	for _, c := range eventRules {
		t.Run(c.rule, func(t *testing.T) {
			r := checked()
			c.spoil(r)
			if c.rule == "a duplicate event id" || strings.HasSuffix(c.rule, "only another device") || strings.HasPrefix(c.rule, "a span after a short") {
				// More events than one break a rule here.
				for _, p := range r.Validate() {
					if strings.Contains(p.Field+": "+p.Message, c.want) {
						return
					}
				}
				t.Errorf("problems:\n%v\nwant\n%s", r.Validate(), c.want)
				return
			}
			only(t, r.Validate(), c.want)
		})
	}
}

func TestBookRules(t *testing.T) {
	for _, c := range bookRules {
		t.Run(c.rule, func(t *testing.T) {
			b := testBook()
			c.spoil(b)
			found := false
			for _, p := range b.Validate() {
				found = found || strings.Contains(p.Message, c.want) && p.Field != ""
			}
			if !found {
				t.Errorf("problems:\n%v\nwant with a place\n%s", b.Validate(), c.want)
			}
		})
	}
}

// What lies just inside the rules.
func TestAllowed(t *testing.T) {
	for _, c := range []struct {
		what   string
		change func(r *Reading)
	}{
		{"a level of 0", set("stim", func(e *Event) { e.Details.Level = new(0.0) })},
		{"an inherited level of 0", add(Event{ID: "x", Code: "tap", Start: 5, End: 5})},
		{"the highest level", set("stim", func(e *Event) { e.Details.Level = new(100.0) })},
		{"a device not on the ladder", set("stim", func(e *Event) { e.Details.Device = "spare" })},
		{"a level of another channel, which has no highest", set("stim", func(e *Event) { e.Details.Channel, e.Details.Level = "voice", new(101.0) })},
		{"a device's own rung without a highest level", func(r *Reading) {
			r.Book.Ladder = append(r.Book.Ladder, Rung{Channel: "stim", Device: "old", Rank: 2})
			set("stim", func(e *Event) { e.Details.Device, e.Details.Level = "old", new(127.0) })(r)
		}},
		{"details that a code lacks, on the event", func(r *Reading) {
			add(Event{ID: "x", Code: "any cue", Details: Details{Command: "sit"}})(r)
			add(Event{ID: "y", Code: "any pressure", Details: Details{Channel: "voice"}})(r)
		}},
		{"a moment inside a span of an exclusive lane", add(Event{ID: "x", Code: "broke", Start: 205, End: 205})},
		{"overlapping spans in another lane", add(Event{ID: "x", Code: "held", Start: 207, End: 211})},
		{"an open span at the end of its lane", set("down", func(e *Event) { e.Open = true })},
		{"an open span at the clip's end", set("note", func(e *Event) { e.Open = true })},
		{"no lane coded", func(r *Reading) { r.Coded = []string{} }},
		{"house rules of 0", func(r *Reading) { r.Book.House = House{JoinS: new(0.0), LateS: new(0.0), CriterionClean: new(0)} }},
		{"codes without a key", func(r *Reading) { code(r.Book, "down").Key, code(r.Book, "did").Key = "", "" }},
		{"keys that differ by Shift", func(r *Reading) { code(r.Book, "down").Key, code(r.Book, "did").Key = "x", "X" }},
		{"a limit taken away", func(r *Reading) { r.Book.House.LimitsS = map[string]*Limit{"did_to_reward": nil} }},
	} {
		t.Run(c.what, func(t *testing.T) {
			r := checked()
			c.change(r)
			if p := r.Validate(); p != nil {
				t.Errorf("refused:\n%v", p)
			}
		})
	}
}

// All problems are told at once, those of the book too.
func TestAllAtOnce(t *testing.T) {
	r := checked()
	r.Book.House.RushS = new(-1.0)
	r.Window = Span{}
	set("cue", func(e *Event) { e.Code = "fly" })(r)
	set("stim", func(e *Event) { e.Details.Taps, e.Details.Level = new(0), new(-1.0) })(r)
	if p := r.Validate(); len(p) != 5 {
		t.Errorf("%d problems:\n%v\nwant 5", len(p), p)
	}
}

// What Validate refuses of events, Apply refuses by the same words, whether they
// come one by one or all in one edit.
func TestApplyRefusesWhatValidateDoes(t *testing.T) {
	tried := 0
	for _, c := range eventRules {
		if !strings.HasPrefix(c.want, "Event") && !strings.Contains(c.want, "while ") || strings.Contains(c.rule, "duplicate") {
			continue
		}
		tried++
		spoilt := checked()
		c.spoil(spoilt)
		empty := checked()
		empty.Book, empty.Events = spoilt.Book, nil

		var bulk Edit
		bulk.ID = "all"
		for _, e := range spoilt.Events {
			bulk.Put = append(bulk.Put, Put{Event: e})
		}
		if _, _, err := empty.Apply(bulk); err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s, in one edit: %v, want\n%s", c.rule, err, c.want)
		}
		said := ""
		r := empty
		for _, p := range bulk.Put {
			next, _, err := r.Apply(Edit{ID: p.Event.ID + " put", Put: []Put{p}})
			if err != nil {
				said += err.Error() + "\n"
				continue
			}
			r = next
		}
		if !strings.Contains(said, c.want) {
			t.Errorf("%s, one by one: %s, want\n%s", c.rule, said, c.want)
		}
	}
	if tried < 25 {
		t.Errorf("only %d rules were tried", tried)
	}
}

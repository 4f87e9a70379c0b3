package measure

// Pressure is what pressure was used and on what ground.
type Pressure struct {
	Events        int                `json:"events"`
	ByChannel     map[string]int     `json:"by_channel"`
	OnS           map[string]float64 `json:"on_s"` // time held, by channel
	Taps          int                `json:"taps"` // sum where given
	WorkS         *float64           `json:"work_s"`
	PerMin        *Rate              `json:"per_min"` // events that start in work time
	OutsideWork   *int               `json:"outside_work"`
	WordlessShare Share              `json:"wordless_share"`
	ByItself      *Share             `json:"by_itself"`
	OneStepShare  Share              `json:"one_step_share"`
	Reminders     *int               `json:"reminders"`
	Levels        map[string]Levels  `json:"levels"`      // by scale
	LevelFirst    map[string]float64 `json:"level_first"` // by scale
	LevelLast     map[string]float64 `json:"level_last"`  // by scale
	Escalation    Escalation         `json:"escalation"`
	Occasions     []Occasion         `json:"occasions"`
	AfterRight    []string           `json:"after_right"` // event ids, as in the next two
	Steadying     []string           `json:"steadying"`
	NoGround      []string           `json:"no_ground"`
}

// Levels is the levels on one scale. They compare with no other scale, device or
// dog.
type Levels struct {
	N      int     `json:"n"`
	Min    float64 `json:"min"`
	Median float64 `json:"median"`
	Max    float64 `json:"max"`
}

// Escalation is how high on the ladder pressure went, and at that rank the
// highest level with its scale. No number mixes rank and level.
type Escalation struct {
	RankMax    *int     `json:"rank_max"`
	RankMedian *float64 `json:"rank_median"`
	Scale      *string  `json:"scale"`
	Level      *float64 `json:"level"`
}

// Occasion is a time in which pressure has a ground, with what was done in it.
type Occasion struct {
	Clip      *string  `json:"clip,omitempty"`
	Kind      string   `json:"kind"` // error, off_task, break, cue
	StartUs   int64    `json:"start_us"`
	EndUs     int64    `json:"end_us"`
	Resolved  bool     `json:"resolved"` // known to be: a moment's break is not where answers were not coded
	Steps     []string `json:"steps"`    // event ids: pressure and reminders
	Moves     []string `json:"moves"`    // up, down or same, for each step after the first
	ResponseS *float64 `json:"response_s"`
}

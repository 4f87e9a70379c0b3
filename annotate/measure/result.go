package measure

import "afterwalk/annotate"

// Measures is what one session's readings say. A section is nil where a role it
// stands on was not coded: Heel on exercise and error, Stays on exercise and
// break, Cues on cue and answer, the others on their own role. Inside a section,
// what needs a further role is nil if that role was not coded.
//
// Lists are in time order, clip after clip, never nil unless not coded; maps
// hold what occurred. Seconds end in S, times of the clip in Us (microseconds).
type Measures struct {
	Afterwalk string          `json:"afterwalk"` // always "measures/1"
	Intervals string          `json:"intervals"` // which intervals stand in Low and High
	WindowS   float64         `json:"window_s"`  // length of the windows that were coded
	SeenS     float64         `json:"seen_s"`    // of it, where the dog can be seen
	NotCoded  []annotate.Role `json:"not_coded"` // roles that some reading did not code, in the order of annotate.Roles
	Heel      *Heel           `json:"heel"`
	Stays     *Stays          `json:"stays"`
	Cues      *Cues           `json:"cues"`
	Pressure  *Pressure       `json:"pressure"`
	Rewards   *Rewards        `json:"rewards"`
	Stress    *Stress         `json:"stress"`
}

// What Measures.Afterwalk and Measures.Intervals say.
const (
	version   = "measures/1"
	intervals = "95%: Wilson (shares), Garwood (rates), log-log Greenwood (curves)"
)

// Share is K of N with Wilson's interval; without N there is no value.
type Share struct {
	K     int      `json:"k"`
	N     int      `json:"n"`
	Value *float64 `json:"value"`
	Low   *float64 `json:"low"`
	High  *float64 `json:"high"`
}

// Rate is a count per minute with Garwood's interval; without time there is no
// value.
type Rate struct {
	Count   int      `json:"count"`
	Minutes float64  `json:"minutes"`
	Value   *float64 `json:"value"`
	Low     *float64 `json:"low"`
	High    *float64 `json:"high"`
}

// Heel is heel position over the heel work that was seen.
type Heel struct {
	HeelS           float64            `json:"heel_s"`
	ErrorS          float64            `json:"error_s"`
	ErrorShare      *float64           `json:"error_share"`
	ByKindS         map[string]float64 `json:"by_kind_s"` // kinds overlap: they may add up to more than ErrorS
	Bouts           int                `json:"bouts"`
	BoutsPerMin     Rate               `json:"bouts_per_min"`
	BoutMedianS     *float64           `json:"bout_median_s"` // Kaplan–Meier
	BoutMaxS        *float64           `json:"bout_max_s"`
	OffTaskS        *float64           `json:"off_task_s"`
	OffTaskShare    *float64           `json:"off_task_share"`
	OffTaskBouts    *int               `json:"off_task_bouts"`
	TurnsKept       *Share             `json:"turns_kept"`
	TurnsByKind     map[string]Share   `json:"turns_by_kind"`
	TurnsOut        *int               `json:"turns_out"`     // turns taken while out of position
	TurnsUnknown    *int               `json:"turns_unknown"` // turns whose outcome was not seen
	RecoveryMedianS *float64           `json:"recovery_median_s"`
}

// Stays is how long and how steadily the dog stayed.
type Stays struct {
	Stays            int               `json:"stays"`
	StaysHeld        Share             `json:"stays_held"`
	StaysUnaided     *Share            `json:"stays_unaided"`
	StaysUnknown     int               `json:"stays_unknown"`
	Breaks           int               `json:"breaks"`
	BreaksByKind     map[string]int    `json:"breaks_by_kind"`
	BreaksHidden     int               `json:"breaks_hidden"`
	StayS            float64           `json:"stay_s"`
	BreaksPerMin     Rate              `json:"breaks_per_min"`
	Hold             Hold              `json:"hold"`
	UnderDistraction *UnderDistraction `json:"under_distraction"`
}

// Hold is the Kaplan–Meier curve of unbroken time.
type Hold struct {
	N       int                  `json:"n"`
	Broken  int                  `json:"broken"`
	MedianS *float64             `json:"median_s"`
	At      map[string]*HoldSeen `json:"at"` // by age in seconds: 10, 30, 60, 120, 180
}

// HoldSeen is the hold curve at one age, with its log–log Greenwood interval.
type HoldSeen struct {
	Value  float64  `json:"value"`
	Low    *float64 `json:"low"`
	High   *float64 `json:"high"`
	AtRisk int      `json:"at_risk"`
}

// UnderDistraction compares the rate of breaks with and without a distraction;
// Ratio, Low and High are nil where they are undefined or without bound.
type UnderDistraction struct {
	With    Rate     `json:"with"`
	Without Rate     `json:"without"`
	Ratio   *float64 `json:"ratio"`
	Low     *float64 `json:"low"`
	High    *float64 `json:"high"`
	P       *float64 `json:"p"`
}

// Rewards counts rewards, beside corrections.
type Rewards struct {
	Rewards       int      `json:"rewards"`
	PerMin        *Rate    `json:"per_min"`
	PerCorrection *float64 `json:"per_correction"`
}

// Stress counts stress signs near pressure and elsewhere. Near is not because.
type Stress struct {
	ByKind       map[string]int `json:"by_kind"`
	NearPressure *Rate          `json:"near_pressure"`
	Elsewhere    *Rate          `json:"elsewhere"`
}

package measure

// Cues is how the dog answered.
type Cues struct {
	Trials     []Trial            `json:"trials"`
	Grades     *Grades            `json:"grades"`
	CleanShare *Share             `json:"clean_share"` // of the known trials
	ByCommand  map[string]Command `json:"by_command"`
	Latency    Latency            `json:"latency"`
	Owed       []Owed             `json:"owed"`
	Paid       []Paid             `json:"paid"`
	Runs       map[string]Run     `json:"runs"`
}

// Trial is one cue, or one halt that asks for something, until it was answered or
// closed otherwise. Of several readings, Clip says whose file it is in.
type Trial struct {
	Clip        *string  `json:"clip,omitempty"`
	Command     string   `json:"command"` // "halt:sit" for a halt
	StartUs     int64    `json:"start_us"`
	EndUs       int64    `json:"end_us"`
	Grade       *Grade   `json:"grade"`        // nil where what was not coded could change it
	FirstAnswer string   `json:"first_answer"` // did, none, other, nothing
	LatencyS    *float64 `json:"latency_s"`
	HeardS      *float64 `json:"heard_s"`
	Repeats     int      `json:"repeats"`
	Pressure    []string `json:"pressure"` // event ids
}

// Grade says how a trial went.
type Grade string

// The grades. Known trials are those of the first five.
const (
	Clean     Grade = "clean"
	Slow      Grade = "slow"
	Helped    Grade = "helped"
	Corrected Grade = "corrected"
	NoAnswer  Grade = "no-answer"
	Unknown   Grade = "unknown"
	Withdrawn Grade = "withdrawn"
)

// Grades counts trials by grade.
type Grades struct {
	Clean     int `json:"clean"`
	Slow      int `json:"slow"`
	Helped    int `json:"helped"`
	Corrected int `json:"corrected"`
	NoAnswer  int `json:"no-answer"`
	Unknown   int `json:"unknown"`
	Withdrawn int `json:"withdrawn"`
}

// Command is one command's trials; those of halts stand under "halt:" and the
// command.
type Command struct {
	Grades         *Grades  `json:"grades"`
	CleanShare     *Share   `json:"clean_share"`
	LatencyMedianS *float64 `json:"latency_median_s"`
}

// Latency is the time to the answer: type-7 quartiles of the N trials that were
// answered with did, and the Kaplan–Meier median over the known trials. Trials
// that ended unanswered are censored there; an interrupted slow dog makes the
// latter optimistic.
type Latency struct {
	N         int      `json:"n"`
	KMMedianS *float64 `json:"km_median_s"`
	Q1S       *float64 `json:"q1_s"`
	MedianS   *float64 `json:"median_s"`
	Q3S       *float64 `json:"q3_s"`
}

// Owed is a faulty trial that no clean one of its command followed.
type Owed struct {
	Clip    *string `json:"clip,omitempty"`
	Command string  `json:"command"`
	StartUs int64   `json:"start_us"` // of the faulty trial
}

// Paid is a faulty trial with the number of known trials after it, up to and
// including the first clean one.
type Paid struct {
	Clip        *string `json:"clip,omitempty"`
	Command     string  `json:"command"`
	StartUs     int64   `json:"start_us"` // of the faulty trial
	RepsToClean int     `json:"reps_to_clean"`
}

// Run is a command's runs of clean trials. CriterionMet is nil with too few known
// trials to tell.
type Run struct {
	Current      int   `json:"current"`
	Longest      int   `json:"longest"`
	CriterionMet *bool `json:"criterion_met"`
}

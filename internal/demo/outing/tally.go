package outing

import (
	"slices"

	"afterwalk/annotate"
)

// Tally is what a clip comes to when the log of what happened is counted through,
// tick by tick and in order. It is plain counting on purpose: the program's own
// measures are held against it.
type Tally struct {
	Work    float64            // seconds of any exercise but free
	Heel    float64            // seconds of heel work
	Out     float64            // of it out of position
	OutBy   map[string]float64 // by code; they may overlap
	OffTask float64
	Turns   int // in heel work

	Stays     []Stay
	StayS     float64 // seconds of stays, absences taken out
	DistractS float64 // of it while something went on
	Trials    []Trial

	Pressure map[string]int       // by channel
	On       map[string]float64   // by channel, seconds of what was held
	Levels   map[string][]float64 // by device, in order
	Rewards  int
	Stress   map[string]int // by sign
	Distract map[string]int // distractions by kind
}

// Stay is a stay and how it was broken.
type Stay struct {
	Code   string
	Length float64  // seconds, absences included
	Breaks []string // how, in order
}

// channels are the channels of pressure by code.
var channels = map[string]string{"body": "body", "voice": "voice", "leash-guide": "leash-guide", "leash-pop": "leash", "tone": "tone", "stim": "stim"}

// Count counts the log of a clip through.
func Count(log []annotate.Event, length annotate.Micros) Tally {
	t := Tally{
		OutBy: map[string]float64{}, Pressure: map[string]int{}, On: map[string]float64{}, Levels: map[string][]float64{},
		Stress: map[string]int{}, Distract: map[string]int{},
	}
	for k := range int(length.Seconds()*ticksPerS + 0.5) {
		t.tick(during(log, (float64(k)+0.5)*tick))
	}
	for _, e := range log {
		switch channel := channels[e.Code]; {
		case channel != "":
			t.Pressure[channel]++
			if e.End > e.Start {
				t.On[channel] += (e.End - e.Start).Seconds()
			}
			if e.Details.Level != nil {
				t.Levels[e.Details.Device] = append(t.Levels[e.Details.Device], *e.Details.Level)
			}
		case e.Code == "marker" || e.Code == "praise" || e.Code == "paid":
			t.Rewards++
		case e.Code == "stress":
			t.Stress[e.Details.Kind]++
		case e.Code == "distraction":
			t.Distract[e.Details.Kind]++
		case e.Code == "turn" && during(log, e.Start.Seconds()+tick/2)["ex-heel"]:
			t.Turns++
		case stays[e.Code]:
			s := Stay{Code: e.Code, Length: (e.End - e.Start).Seconds()}
			for _, b := range log {
				if b.Code == "broke" && e.Start <= b.Start && b.Start < e.End {
					s.Breaks = append(s.Breaks, b.Details.Kind)
				}
			}
			t.Stays = append(t.Stays, s)
		}
	}
	t.Trials = trials(log)
	return t
}

// during returns the codes of the spans that run at a second.
func during(log []annotate.Event, s float64) map[string]bool {
	on := map[string]bool{}
	for _, e := range log {
		if e.Start.Seconds() < s && s < e.End.Seconds() {
			on[e.Code] = true
		}
	}
	return on
}

// tick counts one tick in which some spans run.
func (t *Tally) tick(on map[string]bool) {
	if on["ex-heel"] || on["ex-recall"] || on["ex-sit"] || on["ex-down"] || on["ex-place"] {
		t.Work += tick
	}
	if on["ex-heel"] {
		t.Heel += tick
		out := false
		for _, code := range lapses {
			switch {
			case !on[code]:
			case code == "off-task":
				t.OffTask += tick
			default:
				t.OutBy[code] += tick
				out = true
			}
		}
		if out {
			t.Out += tick
		}
	}
	if (on["ex-sit"] || on["ex-down"] || on["ex-place"]) && !on["broke"] {
		t.StayS += tick
		if on["distraction"] {
			t.DistractS += tick
		}
	}
}

// Add adds another clip's tally, as of one session.
func (t *Tally) Add(o Tally) {
	t.Work += o.Work
	t.Heel += o.Heel
	t.Out += o.Out
	t.OffTask += o.OffTask
	t.Turns += o.Turns
	t.StayS += o.StayS
	t.DistractS += o.DistractS
	t.Rewards += o.Rewards
	t.Stays = slices.Concat(t.Stays, o.Stays)
	t.Trials = slices.Concat(t.Trials, o.Trials)
	addUp(&t.OutBy, o.OutBy)
	addUp(&t.On, o.On)
	addUp(&t.Pressure, o.Pressure)
	addUp(&t.Stress, o.Stress)
	addUp(&t.Distract, o.Distract)
	levels := map[string][]float64{}
	for _, m := range []map[string][]float64{t.Levels, o.Levels} {
		for k, v := range m {
			levels[k] = slices.Concat(levels[k], v)
		}
	}
	t.Levels = levels
}

func addUp[N int | float64](to *map[string]N, from map[string]N) {
	all := map[string]N{}
	for _, m := range []map[string]N{*to, from} {
		for k, v := range m {
			all[k] += v
		}
	}
	*to = all
}

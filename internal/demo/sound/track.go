package sound

import (
	"math"
	"math/rand/v2"

	"afterwalk/internal/demo/outing"
)

// Rate is the number of samples in a second.
const Rate = 44100

// Mix returns all sounds in their places, over wind and birds.
func Mix(sounds []outing.Sound, seconds float64) []float64 {
	t := track{make([]float64, int(seconds*Rate)), rand.New(rand.NewPCG(3, 5))}
	t.wind(0.012)
	t.birds()
	for _, s := range sounds {
		if add, ok := makers[s.Kind]; ok {
			// At seven metres everything is as loud as it was made.
			add(&t, s, min(1.2, 7/max(4, s.Far)))
		}
	}
	for i, v := range t.samples {
		t.samples[i] = math.Tanh(v)
	}
	return t.samples
}

// track is what sounds are mixed into.
type track struct {
	samples []float64
	rng     *rand.Rand
}

// makers add a sound at a loudness.
var makers = map[string]func(t *track, s outing.Sound, loud float64){
	"step": func(t *track, s outing.Sound, loud float64) {
		t.thud(s.At, 0.09, 190, 0.16*loud)
		t.rustle(s.At+0.02, 0.08, 0.035*loud)
	},
	"paws":   func(t *track, s outing.Sound, loud float64) { t.rustle(s.At, 0.035, 0.016*loud) },
	"word":   func(t *track, s outing.Sound, loud float64) { t.speak(s.At, words[s.Word], 0.34*loud) },
	"praise": func(t *track, s outing.Sound, loud float64) { t.speak(s.At, words[s.Word], 0.24*loud) },
	"marker": func(t *track, s outing.Sound, loud float64) { t.speak(s.At, words[s.Word], 0.34*loud) },
	"tone": func(t *track, s outing.Sound, loud float64) {
		t.beep(s.At, 0.12, 2150, 0.13*loud)
		t.beep(s.At+0.2, 0.12, 2150, 0.13*loud)
	},
	"bell": func(t *track, s outing.Sound, loud float64) {
		for _, after := range []float64{0, 0.16, 0.5, 0.66} {
			t.ring(s.At+after, 0.5, []float64{2093, 3310, 5150}, 0.1*loud)
		}
	},
	"tag": func(t *track, s outing.Sound, loud float64) {
		t.ring(s.At, 0.12, []float64{3900, 5600}, 0.03*loud)
		t.ring(s.At+0.07, 0.1, []float64{4200, 6100}, 0.025*loud)
	},
	"clap": func(t *track, s outing.Sound, loud float64) {
		t.rustle(s.At, 0.04, 0.4*loud)
		t.rustle(s.At+0.22, 0.04, 0.4*loud)
	},
	"bounce": func(t *track, s outing.Sound, loud float64) { t.thud(s.At, 0.12, 120, 0.2*loud) },
	"bark": func(t *track, s outing.Sound, loud float64) {
		for _, after := range []float64{0, 0.34} {
			t.speak(s.At+after, []syllable{{0.13, 330, 240, 900, 1700, 0}}, 0.3*loud)
			t.rustle(s.At+after, 0.09, 0.1*loud)
		}
	},
	"click": func(t *track, s outing.Sound, loud float64) {
		t.ring(s.At, 0.05, []float64{2600, 4100}, 0.16*loud)
		t.beep(s.At+0.06, 0.1, 1200, 0.12*loud)
	},
	"motor":  func(t *track, s outing.Sound, loud float64) { t.motor(s.At, s.Lasts, 0.22*loud) },
	"wheels": func(t *track, s outing.Sound, loud float64) { t.wheels(s.At, s.Lasts, 0.09*loud) },
}

// add lays a sound of some length into the track; wave gets the time since its
// beginning.
func (t *track) add(at, lasts float64, wave func(s float64) float64) {
	first := int(at * Rate)
	for i := range int(lasts * Rate) {
		if k := first + i; k >= 0 && k < len(t.samples) {
			t.samples[k] += wave(float64(i) / Rate)
		}
	}
}

// thud is a dull low knock.
func (t *track) thud(at, lasts, pitch, loud float64) {
	t.add(at, lasts, func(s float64) float64 {
		return loud * math.Sin(2*math.Pi*pitch*s*(1-1.6*s)) * math.Exp(-s*38) * min(1, s*900)
	})
}

// rustle is a short breath of noise.
func (t *track) rustle(at, lasts, loud float64) {
	last := 0.0
	t.add(at, lasts, func(s float64) float64 {
		last += 0.45 * (t.rng.Float64()*2 - 1 - last)
		return loud * last * math.Sin(math.Pi*s/lasts)
	})
}

// beep is a plain tone with soft ends.
func (t *track) beep(at, lasts, pitch, loud float64) {
	t.add(at, lasts, func(s float64) float64 {
		return loud * math.Sin(2*math.Pi*pitch*s) * min(1, s*200, (lasts-s)*200)
	})
}

// ring is struck metal.
func (t *track) ring(at, lasts float64, pitches []float64, loud float64) {
	t.add(at, lasts, func(s float64) (v float64) {
		for i, p := range pitches {
			v += math.Sin(2*math.Pi*p*s) * math.Exp(-s*(8+6*float64(i))) / float64(i+1)
		}
		return loud * v * min(1, s*2000, (lasts-s)*100)
	})
}

// wheels is a bicycle that comes by: a soft ticking, loudest in the middle.
func (t *track) wheels(at, lasts, loud float64) {
	last := 0.0
	t.add(at, lasts, func(s float64) float64 {
		last += 0.3 * (t.rng.Float64()*2 - 1 - last)
		tick := math.Exp(-math.Mod(s, 0.055) * 160)
		near := math.Pow(math.Sin(math.Pi*s/lasts), 2)
		return loud * near * (0.35*last + 0.5*tick*math.Sin(2*math.Pi*1500*s))
	})
}

// motor is a car that comes by on gravel: a hum and a crunch, loudest in the
// middle and lower afterwards.
func (t *track) motor(at, lasts, loud float64) {
	last, phase := 0.0, 0.0
	t.add(at, lasts, func(s float64) float64 {
		last += 0.25 * (t.rng.Float64()*2 - 1 - last)
		phase += 2 * math.Pi * (92 - 14*s/lasts) / Rate
		near := 0.25 + 0.75*math.Pow(math.Sin(math.Pi*s/lasts), 2)
		ends := min(1, s*2, (lasts-s)*2)
		return loud * near * ends * (0.9*last + 0.3*math.Sin(phase) + 0.2*math.Sin(2*phase) + 0.12*math.Sin(3*phase))
	})
}

// wind is noise that comes and goes.
func (t *track) wind(loud float64) {
	low, lower := 0.0, 0.0
	for i := range t.samples {
		s := float64(i) / Rate
		low += 0.03 * (t.rng.Float64()*2 - 1 - low)
		lower += 0.2 * (low - lower)
		t.samples[i] += loud * 9 * lower * (0.6 + 0.25*math.Sin(s*0.7) + 0.15*math.Sin(s*1.9+1))
	}
}

// birds sing in the distance now and then.
func (t *track) birds() {
	length := float64(len(t.samples)) / Rate
	for at := 1.5; at < length; at += 2.5 + 5*t.rng.Float64() {
		pitch := 3000 + 1600*t.rng.Float64()
		for n := range 2 + t.rng.IntN(4) {
			from, bend := at+0.16*float64(n), 500-1000*t.rng.Float64()
			t.add(from, 0.11, func(s float64) float64 {
				return 0.014 * math.Sin(2*math.Pi*(pitch+bend*s/0.11)*s) * math.Sin(math.Pi*s/0.11)
			})
		}
	}
}

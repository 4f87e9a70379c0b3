package sound

import "math"

// syllable is a hummed piece of a word: how long it takes, where its pitch
// begins and ends, and the two bands that make its vowel, all in Hz.
type syllable struct{ lasts, from, to, first, second, pause float64 }

// words are hummed, not spoken, each with a melody of its own.
var words = map[string][]syllable{
	"name":  {{0.17, 245, 255, 800, 1500, 0.03}, {0.2, 250, 205, 330, 2200, 0}},
	"heel":  {{0.34, 190, 225, 320, 2300, 0}},
	"sit":   {{0.18, 215, 200, 400, 2000, 0}},
	"down":  {{0.44, 205, 140, 700, 1050, 0}},
	"come":  {{0.2, 225, 280, 620, 1150, 0.02}, {0.22, 300, 260, 500, 1100, 0}},
	"place": {{0.36, 200, 215, 450, 2000, 0}},
	"ah":    {{0.2, 165, 135, 760, 1200, 0}},
	"free":  {{0.16, 230, 270, 350, 2200, 0.02}, {0.24, 290, 250, 320, 2300, 0}},
	"good":  {{0.26, 180, 165, 400, 950, 0.05}, {0.3, 195, 150, 420, 1000, 0}},
	"yes":   {{0.18, 300, 270, 520, 1900, 0}},
}

// speak hums syllables one after the other.
func (t *track) speak(at float64, word []syllable, loud float64) {
	for _, y := range word {
		phase := 0.0
		t.add(at, y.lasts, func(s float64) (v float64) {
			pitch := y.from + (y.to-y.from)*s/y.lasts + 3*math.Sin(2*math.Pi*5.5*s)
			phase += 2 * math.Pi * pitch / Rate
			for n := 1.0; n <= 16; n++ {
				f := n * pitch
				if f > 4000 {
					break
				}
				v += (band(f, y.first, 130) + 0.55*band(f, y.second, 220) + 0.05) / math.Sqrt(n) * math.Sin(n*phase)
			}
			return 0.6 * loud * v * min(1, s*35, (y.lasts-s)*22)
		})
		at += y.lasts + y.pause
	}
}

// band is how much of a frequency comes through a resonance.
func band(f, middle, width float64) float64 {
	d := (f - middle) / width
	return 1 / (1 + d*d)
}

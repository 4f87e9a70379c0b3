package sound

import (
	"math"
	"testing"

	"afterwalk/internal/demo/outing"
)

// loudness is the root mean square of a piece.
func loudness(samples []float64, from, to float64) float64 {
	sum := 0.0
	piece := samples[int(from*Rate):int(to*Rate)]
	for _, v := range piece {
		sum += v * v
	}
	return math.Sqrt(sum / float64(len(piece)))
}

// Each sound is heard where it belongs, well above the wind, and nowhere before.
func TestMix(t *testing.T) {
	for kind := range makers {
		s := outing.Sound{At: 1, Kind: kind, Far: 7, Lasts: 1}
		if kind == "word" || kind == "praise" || kind == "marker" {
			for word := range words {
				s.Word = word
				check(t, s)
			}
			continue
		}
		check(t, s)
	}
}

func check(t *testing.T, s outing.Sound) {
	t.Helper()
	with, without := Mix([]outing.Sound{s}, 2.2), Mix(nil, 2.2)
	for i := range with {
		if math.Abs(with[i]) > 1 {
			t.Fatalf("%s %s: sample %d is %v", s.Kind, s.Word, i, with[i])
		}
		with[i] -= without[i]
	}
	if before := loudness(with, 0, 1); before > 0.0001 {
		t.Errorf("%s %s is heard before its time (%v)", s.Kind, s.Word, before)
	}
	if during := loudness(with, 1, 1.25); during < 0.001 {
		t.Errorf("%s %s is not heard (%v)", s.Kind, s.Word, during)
	}
}

// Every sound of the outings is known.
func TestAllSoundsKnown(t *testing.T) {
	for _, o := range outing.Clips() {
		for _, s := range outing.Play(o).Sounds {
			if makers[s.Kind] == nil || s.Word != "" && words[s.Word] == nil {
				t.Errorf("%s: %s %s makes no sound", o.Name, s.Kind, s.Word)
			}
		}
	}
}

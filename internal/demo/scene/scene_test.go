package scene

import (
	"image/color"
	"math"
	"testing"

	"afterwalk/internal/demo/outing"
	"afterwalk/internal/demo/paint"
)

var lens = NewCamera(1280, 720)

// bare is a frame with handler and dog at rest beside each other, facing left.
func bare() outing.Frame {
	return outing.Frame{
		Handler: outing.Person{At: outing.Vec{X: 0.5, Z: 7}, Heading: math.Pi},
		Dog:     outing.Animal{At: outing.Vec{X: 0.45, Z: 6.6}, Heading: math.Pi},
		Bed:     outing.Vec{X: -2, Z: 7},
	}
}

func drawn(f outing.Frame) paint.Picture {
	p := paint.New(1280, 720)
	Draw(p, lens, paint.New(1280, 720), f)
	return p
}

// extent returns the columns and rows that differ between two pictures.
func extent(a, b paint.Picture) (x0, x1, y0, y1 int) {
	x0, y0 = 1280, 720
	for y := range 720 {
		for x := range 1280 {
			if a.RGBAAt(x, y) != b.RGBAAt(x, y) {
				x0, x1, y0, y1 = min(x0, x), max(x1, x), min(y0, y), max(y1, y)
			}
		}
	}
	return x0, x1, y0, y1
}

// A pinhole camera, worked by hand: at 7 m a metre is 970 · 720/540 / 7 = 184.8
// pixels wide, and what is 1.9 m high is on the horizon, 185 · 720/540 = 246.7.
func TestCamera(t *testing.T) {
	q, scale := lens.at(point{1, 1.9, 7})
	if math.Abs(scale-184.76) > 0.01 || math.Abs(q.X-640-184.76) > 0.01 || math.Abs(q.Y-246.67) > 0.01 {
		t.Errorf("a point 1 m right, 1.9 m high at 7 m is seen at %v, scale %v", q, scale)
	}
}

// Every part of what happens is to be seen, where it happens and nowhere else.
func TestWhatIsSeen(t *testing.T) {
	still := drawn(bare())
	px := func(x, z float64) int { q, _ := lens.at(point{x, 0, z}); return int(q.X) }
	for _, c := range []struct {
		name    string
		change  func(*outing.Frame)
		x0, x1  float64 // metres, at the handler's distance; the change lies within
		atLeast int     // pixels wide or high
	}{
		{"a step ahead", func(f *outing.Frame) { f.Dog.At.X -= 0.5 }, -1.2, 1.6, 60},
		{"wide", func(f *outing.Frame) { f.Dog.At.Z -= 0.6 }, -0.6, 1.6, 60},
		{"sitting", func(f *outing.Frame) { f.Dog.Sit = 1 }, -0.6, 1.6, 60},
		{"lying", func(f *outing.Frame) { f.Dog.Down = 1 }, -0.6, 1.6, 60},
		{"nose down", func(f *outing.Frame) { f.Dog.Nose = 1 }, -0.6, 1.6, 40},
		{"ears up", func(f *outing.Frame) { f.Dog.Ear = 1 }, -0.3, 0.6, 10},
		{"a look aside", func(f *outing.Frame) { f.Dog.Look = 1 }, -0.3, 0.7, 15},
		{"a word", func(f *outing.Frame) { f.Voice = 1 }, -0.1, 0.6, 15},
		{"a taut line", func(f *outing.Frame) { f.Taut = true }, -0.1, 0.7, 8},
		{"the collar's lamp", func(f *outing.Frame) { f.Lamp = true }, -0.1, 0.5, 20},
		{"the lamp for a tap", func(f *outing.Frame) { f.Lamp, f.Tap = true, true }, -0.1, 0.5, 20},
		{"a lick over the nose", func(f *outing.Frame) { f.Dog.Lick = 1 }, -0.1, 0.5, 6},
		{"an arm stretched out", func(f *outing.Frame) { f.Handler.Arm = 1 }, -0.4, 0.9, 40},
		{"bent down", func(f *outing.Frame) { f.Handler.Bow = 1 }, -0.9, 1.1, 80},
		{"a ball", func(f *outing.Frame) { f.Ball = &outing.Ball{At: outing.Vec{X: 1.5, Z: 7}} }, 1.2, 1.8, 30},
		{"a cyclist", func(f *outing.Frame) { f.Rider = &outing.Cyclist{At: outing.Vec{X: 5, Z: 13.5}, Speed: -3} }, 1.8, 3.4, 100},
		{"a car", func(f *outing.Frame) {
			f.Passer = &outing.Passer{Kind: outing.Car, At: outing.Vec{X: 5, Z: 13.5}, Speed: -4}
		}, 1.6, 3.7, 200},
		{"someone with a dog", func(f *outing.Frame) {
			f.Passer = &outing.Passer{Kind: outing.Walker, At: outing.Vec{X: 5, Z: 13.5}, Speed: -2}
		}, 1.6, 3.2, 60},
	} {
		f := bare()
		c.change(&f)
		x0, x1, y0, y1 := extent(still, drawn(f))
		if x1 < x0 || max(x1-x0, y1-y0) < c.atLeast {
			t.Errorf("%s: columns %d–%d, rows %d–%d differ, want at least %d pixels", c.name, x0, x1, y0, y1, c.atLeast)
		}
		if x0 < px(c.x0, 7) || x1 > px(c.x1, 7) {
			t.Errorf("%s: columns %d–%d differ, want none outside %d–%d", c.name, x0, x1, px(c.x0, 7), px(c.x1, 7))
		}
	}
}

// The two people and the two dogs are told apart by colour and by build: half of
// what is drawn of one of them is drawn otherwise of the other.
func TestToldApart(t *testing.T) {
	count := func(f outing.Frame, against paint.Picture) (n int) {
		p := drawn(f)
		for y := range 720 {
			for x := range 1280 {
				if p.RGBAAt(x, y) != against.RGBAAt(x, y) {
					n++
				}
			}
		}
		return n
	}
	for _, c := range []struct {
		name         string
		first, other func(*outing.Frame)
	}{
		{"dogs", func(f *outing.Frame) { f.Dog.Name = outing.Tansy }, func(f *outing.Frame) { f.Dog.Name = outing.Bramble }},
		{"people", func(f *outing.Frame) { f.Handler.Name = outing.Varga }, func(f *outing.Frame) { f.Handler.Name = outing.Quill }},
	} {
		// Apart from each other, so that neither covers the other.
		apart := func(change func(*outing.Frame)) outing.Frame {
			f := bare()
			f.Handler.At.X = 2
			f.Dog.At.X = -1
			f.Bed.X = -9
			change(&f)
			return f
		}
		one, two := apart(c.first), apart(c.other)
		gone := apart(c.first)
		if c.name == "dogs" {
			gone.Dog.At.X = -20
		} else {
			gone.Handler.At.X = 20
		}
		all, differ := count(one, drawn(gone)), count(two, drawn(one))
		if differ < all/2 {
			t.Errorf("the two %s differ in %d pixels, and one of them has %d", c.name, differ, all)
		}
	}
}

// What is near covers what is far.
func TestNearCoversFar(t *testing.T) {
	at := func(f outing.Frame) color.RGBA {
		q, _ := lens.at(point{f.Dog.At.X + 0.12, 0.4, f.Dog.At.Z})
		return drawn(f).RGBAAt(int(q.X), int(q.Y))
	}
	f := bare()
	near := at(f)
	f.Dog.At.Z = 7.4
	if far := at(f); far == near {
		t.Errorf("the dog's back is %v in front of the handler and %v behind", near, far)
	}
}

// The fields are whole: no pixel is left black, and each has its own look.
func TestFields(t *testing.T) {
	fields := map[string]paint.Picture{}
	for _, venue := range []string{outing.AlderLane, outing.MillMeadow, outing.QuarryCarPark} {
		p := Field(lens, venue)
		for y := range 720 {
			for x := range 1280 {
				if c := p.RGBAAt(x, y); c.R < 0x30 {
					t.Fatalf("%s: pixel %d, %d is %v", venue, x, y, c)
				}
			}
		}
		fields[venue] = p
	}
	for _, pair := range [][2]string{{outing.AlderLane, outing.MillMeadow}, {outing.MillMeadow, outing.QuarryCarPark}, {outing.AlderLane, outing.QuarryCarPark}} {
		x0, x1, y0, y1 := extent(fields[pair[0]], fields[pair[1]])
		if x0 > 0 || x1 < 1279 || y0 > 0 || y1 < 700 {
			t.Errorf("%s and %s look alike", pair[0], pair[1])
		}
	}
}

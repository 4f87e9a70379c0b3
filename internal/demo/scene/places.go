package scene

import "afterwalk/internal/demo/paint"

// alderLane is a paddock beside a lane with a row of alders.
func (f painter) alderLane() {
	horizon := f.camera.horizon
	f.band(rgb(0xcfe0ea), 0, horizon*0.45)
	f.band(rgb(0xdae6ea), horizon*0.45, horizon*0.8)
	f.band(rgb(0xe6ebe4), horizon*0.8, horizon+4)
	f.cloud(rgb(0xeef3f3), 0.2, 0.09, 0.075)
	f.cloud(rgb(0xeef3f3), 0.74, 0.14, 0.06)
	f.ridge(rgb(0xb4c6b8), 160, 3, 16, 1.3, 0.6)
	f.ridge(rgb(0x9fb89c), 70, 1.5, 5, 2.1, 2)
	f.strip(rgb(0x9fbb80), 14, 160)
	f.hedge(rgb(0x6f8f5b), -11, 11, 16.5, 1.1)
	for _, t := range [][3]float64{{-8.2, 4.6, 1.8}, {-4.6, 4, 1.5}, {0.4, 4.7, 1.8}, {5.2, 4.2, 1.6}, {8.4, 4.7, 1.8}} {
		f.tree(rgb(0x6b5a49), rgb(0x7d9c62), t[0], 15.6, t[1], t[2])
	}
	f.strip(rgb(0xd3c7ac), 12.6, 14.6)
	f.strip(rgb(0xc6b998), 12.6, 12.75)
	f.strip(rgb(0xa8c386), 4, 12.6)
	f.strip(rgb(0xa2be80), 8.2, 10.2)
	f.strip(rgb(0xa2be80), 5.5, 6.6)
	f.fence(rgb(0xa58e6e), -7.2, -0.8, 12.3)
	f.fence(rgb(0xa58e6e), 2.4, 8.8, 12.3)
	f.tufts(rgb(0x8dab69), 24, 5.2, 11, 0.1)
	f.flowers(rgb(0xf3efdf), 18, 5.2, 11)
}

// millMeadow is a meadow by a stream, with a mill on the far side.
func (f painter) millMeadow() {
	horizon := f.camera.horizon
	f.band(rgb(0xd9e2e8), 0, horizon*0.5)
	f.band(rgb(0xe6e6df), horizon*0.5, horizon*0.82)
	f.band(rgb(0xefe6d2), horizon*0.82, horizon+4)
	f.cloud(rgb(0xf2f2ea), 0.52, 0.08, 0.085)
	f.cloud(rgb(0xf2f2ea), 0.12, 0.17, 0.05)
	f.ridge(rgb(0xbcc8b4), 160, 2, 13, 0.9, 3.4)
	f.ridge(rgb(0xa9bd98), 80, 1.5, 5, 1.7, 0.4)
	f.strip(rgb(0xb3c286), 14, 160)
	f.mill(-5.6, 19)
	f.tree(rgb(0x75644c), rgb(0x93a765), -9.4, 20, 6.4, 2.1)
	f.tree(rgb(0x75644c), rgb(0x8ba062), 4.4, 18, 5, 2)
	f.tree(rgb(0x75644c), rgb(0x93a765), 7.8, 16.4, 5.6, 2.2)
	f.strip(rgb(0x9cb9c4), 16.2, 17.6)
	f.strip(rgb(0xb6ccd2), 16.9, 17.2)
	f.strip(rgb(0x9aae68), 14.6, 16.2)
	f.strip(rgb(0xd8cba6), 12.8, 14.6)
	f.strip(rgb(0xb9c580), 4, 12.8)
	f.strip(rgb(0xb2bf79), 7, 8.8)
	f.strip(rgb(0xb2bf79), 4.6, 5.3)
	f.tufts(rgb(0x93a65a), 46, 5.2, 12.4, 0.15)
	f.flowers(rgb(0xe9c64f), 22, 5.2, 12)
	f.flowers(rgb(0xf3efdf), 10, 5.2, 12)
}

// mill paints a small water mill.
func (f painter) mill(x, z float64) {
	at := func(dx, y float64) paint.Point {
		q, _ := f.camera.at(point{x + dx, y, z})
		return q
	}
	wall, roof := rgb(0xddcfb4), rgb(0x9b6a4e)
	f.Polygon(wall, at(-1.6, 0), at(1.6, 0), at(1.6, 2.3), at(-1.6, 2.3))
	f.Polygon(shade(wall, 0.08), at(0.7, 0), at(1.6, 0), at(1.6, 2.3), at(0.7, 2.3))
	f.Polygon(roof, at(-1.9, 2.2), at(1.9, 2.2), at(1.1, 3.5), at(-1.1, 3.5))
	for _, w := range []float64{-1, 0.1} {
		f.Polygon(rgb(0x6f7f86), at(w, 1.2), at(w+0.45, 1.2), at(w+0.45, 1.8), at(w, 1.8))
	}
	wheel := point{x + 2.3, 0.95, z - 0.3}
	ring(f.Picture, f.camera, rgb(0x6c5a44), wheel, 0.95, 0.14)
	ring(f.Picture, f.camera, rgb(0x6c5a44), wheel, 0.5, 0.08)
	for _, d := range [][2]float64{{1, 0}, {0.5, 0.87}, {-0.5, 0.87}} {
		a, s := f.camera.at(wheel.plus(point{d[0] * 0.95, d[1] * 0.95, 0}))
		b, _ := f.camera.at(wheel.plus(point{-d[0] * 0.95, -d[1] * 0.95, 0}))
		f.Line(rgb(0x6c5a44), 0.08*s, a, b)
	}
}

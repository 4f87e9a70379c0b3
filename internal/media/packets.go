package media

import (
	"bufio"
	"bytes"
	"cmp"
	"io"
	"math/bits"
	"slices"
	"strconv"

	"afterwalk/annotate"
)

// packetList is what is kept of ffprobe's list of packets: ticks, not text.
type packetList struct {
	pts     []int64 // of packets that are shown, as they come: in decoding order
	untimed int     // packets that are shown but have no time
	packets int     // packets in all, those never shown too

	last         int64 // highest of pts
	lastDuration int64 // of the packet with that pts; 0 if not known

	base            timeBase
	start, duration int64 // of the track, ticks; 0 if not known
	announced       int   // frames that the container announces; 0 if not known
	interval        int64 // mean length of a frame by the container, ticks; 0 if not known
}

// timeBase is the length of a tick, num/den seconds.
type timeBase struct{ num, den int64 }

func (b timeBase) valid() bool {
	return b.num > 0 && b.den > 0 && b.num < 1<<32 && b.den < 1<<32
}

// micros returns n ticks in microseconds, exact, rounded to the nearest with
// halves away from zero, which is how browsers round; ok is false where that is
// beyond 2^62.
func (b timeBase) micros(n int64) (us annotate.Micros, ok bool) {
	magnitude := uint64(n)
	if n < 0 {
		magnitude = -magnitude
	}
	hi, lo := bits.Mul64(magnitude, uint64(b.num)*1e6)
	den := uint64(b.den)
	if hi >= den {
		return 0, false
	}
	q, r := bits.Div64(hi, lo, den)
	if 2*r >= den {
		q++
	}
	if q > 1<<62 {
		return 0, false
	}
	if n < 0 {
		return -annotate.Micros(q), true
	}
	return annotate.Micros(q), true
}

// read takes ffprobe's lines as they come. at is called now and then with the
// furthest place in the file. Lines that are neither packet nor track, doubled
// lines, empty ones and further fields are passed over.
func (l *packetList) read(r io.Reader, at func(pos int64)) error {
	in := bufio.NewReaderSize(r, 64<<10)
	var furthest int64
	for lines := 0; ; lines++ {
		line, err := in.ReadSlice('\n')
		if err == bufio.ErrBufferFull {
			// No line that is looked for is that long.
			for err == bufio.ErrBufferFull {
				_, err = in.ReadSlice('\n')
			}
			line = nil
		}
		if kind, rest, ok := bytes.Cut(bytes.TrimRight(line, "\r\n"), comma); ok {
			switch string(kind) {
			case "packet":
				furthest = max(furthest, l.packet(rest))
			case "stream":
				l.track(rest)
			}
		}
		if err == io.EOF {
			return nil
		}
		if err != nil {
			return err
		}
		if lines%1024 == 1023 {
			at(furthest)
		}
	}
}

var comma = []byte{','}

// packet takes "pts,duration,pos,flags" and returns pos, 0 if not known.
func (l *packetList) packet(fields []byte) int64 {
	var f [4][]byte
	rest, more := fields, true
	for i := range f {
		if !more {
			return 0
		}
		f[i], rest, more = bytes.Cut(rest, comma)
	}
	pos, _ := integer(f[2])
	l.packets++
	if bytes.IndexByte(f[3], 'D') >= 0 {
		return pos
	}
	pts, ok := integer(f[0])
	if !ok {
		l.untimed++
		return pos
	}
	duration, _ := integer(f[1])
	if len(l.pts) == 0 || pts > l.last {
		l.last, l.lastDuration = pts, max(0, duration)
	}
	l.pts = append(l.pts, pts)
	return pos
}

// track takes "avg_frame_rate,time_base,start_pts,duration_ts,nb_frames", the
// order in which ffprobe writes them.
func (l *packetList) track(fields []byte) {
	f := bytes.Split(fields, comma)
	if len(f) < 5 || l.base.valid() {
		return
	}
	num, den, ok := fraction(f[1])
	if !ok {
		return
	}
	l.base = timeBase{num, den}
	l.start, _ = integer(f[2])
	l.duration, _ = integer(f[3])
	if n, ok := integer(f[4]); ok && n > 0 && n < 1e12 {
		l.announced = int(n)
	}
	if a, b, ok := fraction(f[0]); ok && a > 0 && b > 0 && l.base.valid() {
		l.interval = int64(float64(b) / float64(a) * float64(l.base.den) / float64(l.base.num))
	}
}

// sorted returns the ticks in order, without doubles.
func (l *packetList) sorted() []int64 {
	pts := slices.Clone(l.pts)
	slices.Sort(pts)
	return slices.Compact(pts)
}

// lastLength returns how long the last of sorted ticks is shown, at least 1.
// Containers say it in two places, neither to be trusted alone: the length of
// the track, wrong where the file is cut off or an edit list ends early; and the
// length of the last packet, which is often ffprobe's guess. The first of these
// that is near the usual interval is taken, else the usual interval (the median).
func (l *packetList) lastLength(pts []int64) int64 {
	last := pts[len(pts)-1]
	byTrack, byPacket := l.start+l.duration-last, l.lastDuration
	if l.duration <= 0 {
		byTrack = 0
	}
	intervals := make([]int64, len(pts)-1)
	for i := range intervals {
		intervals[i] = pts[i+1] - pts[i]
	}
	slices.Sort(intervals)
	if len(intervals) == 0 {
		return max(1, cmp.Or(max(0, byPacket), max(0, byTrack), l.interval))
	}
	usual, longest := intervals[len(intervals)/2], intervals[len(intervals)-1]
	for _, length := range []int64{byTrack, byPacket} {
		if length >= usual/2 && length <= max(longest, 2*usual) && length > 0 {
			return length
		}
	}
	return max(1, usual)
}

// integer reads a whole number; ok is false for N/A and everything else.
func integer(b []byte) (n int64, ok bool) {
	n, err := strconv.ParseInt(string(b), 10, 64)
	return n, err == nil
}

// fraction reads "a/b".
func fraction(b []byte) (num, den int64, ok bool) {
	x, y, found := bytes.Cut(b, []byte{'/'})
	num, okX := integer(x)
	den, okY := integer(y)
	return num, den, found && okX && okY
}

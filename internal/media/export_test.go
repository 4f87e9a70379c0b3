package media

import (
	"io"
	"time"
)

// What the tests outside the package look at from inside.
var (
	ParseProbe = parseProbe
	ProbeArgs  = probeArgs
	FrameArgs  = frameArgs
	Judge      = judge
	FindIn     = find
)

// WithLimits returns tools that wait less long.
func WithLimits(t Tools, answer, idle time.Duration) *Tools {
	t.answer, t.idle, t.stuck = answer, idle, idle
	return &t
}

// ParseFrames reads a list of packets and what ffprobe said beside it.
func ParseFrames(r io.Reader, messages string) (FrameTable, error) {
	var l packetList
	if err := l.read(r, func(int64) {}); err != nil {
		return FrameTable{}, err
	}
	table, err := l.table()
	if err != nil {
		return table, err
	}
	if cut := l.cutOff(table, messages); cut != "" {
		table.Warning = cut
	}
	return table, nil
}

package measure

import (
	"cmp"
	"fmt"
	"slices"
	"strconv"
	"time"

	"afterwalk/annotate"
)

// The series: one measure of one dog against the date of recording.
const (
	PositionError   = "position-error"    // share of heel work out of position
	BreaksPerMinute = "breaks-per-minute" // breaks of stays per minute of stay, with Garwood's interval
	EscalationRank  = "escalation"        // highest rank of the ladder, with the highest level at it
)

// Session is one outing as a series takes it.
type Session struct {
	ID string
	// StartedAt is when its earliest clip was recorded; nil takes the earliest of
	// the clips that its readings are of.
	StartedAt *time.Time
	// Venue and Handler as the library has them; "" takes what its readings say.
	Venue, Handler string
	// Readings are those that count, valid, at most one for each clip. Nil ones,
	// clips without, are passed over.
	Readings []*annotate.Reading
}

// SeriesResult is what a chart of one series needs.
type SeriesResult struct {
	Name    string
	Points  []SeriesPoint // in order of date, then session id
	Undated int           // sessions left out: none of their clips has a date
	Problem string        // why there are no points: the series doesn't exist
}

// SeriesPoint is one session. Its readings are pooled: numerators and
// denominators are summed first.
type SeriesPoint struct {
	Session string
	At      time.Time
	Value   *float64 // nil: a gap
	Low     *float64 // 95 % limits, where the series has them
	High    *float64
	Text    string // the value in words, "" for a gap; of the escalation the level with its scale, "" without one
	Problem string // why there is a gap, where it is for a flaw of the readings
	Picked  bool   // some window of its readings was picked by hand

	// Of the escalation: the scale of the level, and whether the device is another
	// one than at the point before on that channel. The line breaks there, since
	// levels of two devices don't compare.
	Scale         string
	DeviceChanged bool
	channel       string // of the scale

	Setting Setting
}

// seriesValues fills in the value of a point, by the name of the series.
var seriesValues = map[string]func(*SeriesPoint, *session){
	PositionError:   positionError,
	BreaksPerMinute: breaksPerMinute,
	EscalationRank:  escalationRank,
}

// Series returns one value for each session that has a date. A name that is no
// series gives a result that says so.
func Series(name string, sessions []Session) SeriesResult { return AllSeries(sessions, name)[0] }

// AllSeries returns several series of the same sessions, each as [Series] does, in
// the order of their names. The readings are worked through once for all of them.
func AllSeries(sessions []Session, names ...string) []SeriesResult {
	results := make([]SeriesResult, len(names))
	for i, name := range names {
		results[i].Name = name
		if seriesValues[name] == nil {
			results[i].Problem = fmt.Sprintf("There is no series %q.", name)
		}
	}
	for _, s := range sessions {
		readings := slices.DeleteFunc(slices.Clone(s.Readings), func(r *annotate.Reading) bool { return r == nil })
		at := s.startedAt(readings)
		p := SeriesPoint{Session: s.ID, Setting: s.setting(readings)}
		for _, r := range readings {
			p.Picked = p.Picked || r.Chosen == "picked"
		}
		var opened *session
		var err error
		if len(readings) > 0 && at != nil {
			if opened, err = open(readings, []Option{KnownValid()}); err == nil {
				p.Setting.add(opened)
			}
		}
		for i := range results {
			results[i].add(p, at, opened, err)
		}
	}
	for i := range results {
		points := results[i].Points
		slices.SortStableFunc(points, func(a, b SeriesPoint) int {
			return cmp.Or(a.At.Compare(b.At), cmp.Compare(a.Session, b.Session))
		})
		markDevices(points)
	}
	return results
}

// add adds the point of a session, of which opened is what was worked through: nil
// if nothing of it counts or, with err, where it can't be.
func (result *SeriesResult) add(p SeriesPoint, at *time.Time, opened *session, err error) {
	value := seriesValues[result.Name]
	if value == nil {
		return
	}
	if at == nil {
		result.Undated++
		return
	}
	p.At = *at
	if opened != nil {
		opened.err = nil // one series' flaw isn't another's
		value(&p, opened)
		err = opened.err
	}
	if err != nil {
		p.Value, p.Low, p.High, p.Text, p.Problem = nil, nil, nil, "", err.Error()
	}
	result.Points = append(result.Points, p)
}

// startedAt returns the date of the session, nil without one.
func (s *Session) startedAt(readings []*annotate.Reading) *time.Time {
	at := s.StartedAt
	if at != nil {
		return at
	}
	for _, r := range readings {
		if t := r.Clip.RecordedAt; t != nil && (at == nil || t.Before(*at)) {
			at = t
		}
	}
	return at
}

// positionError gives the share of heel work out of position. A share of
// durations has no interval.
func positionError(p *SeriesPoint, s *session) {
	if h := s.heel(); h != nil && h.ErrorShare != nil {
		p.Value = h.ErrorShare
		p.Text = strconv.FormatFloat(100**p.Value, 'f', 1, 64) + " %"
	}
}

// breaksPerMinute gives the breaks that were seen per minute of stay.
func breaksPerMinute(p *SeriesPoint, s *session) {
	if st := s.stays(); st != nil && st.BreaksPerMin.Value != nil {
		r := st.BreaksPerMin
		p.Value, p.Low, p.High = r.Value, r.Low, r.High
		p.Text = strconv.FormatFloat(*p.Value, 'f', 2, 64) + " per min"
	}
}

// escalationRank gives the highest rank, and beside it the highest level there.
func escalationRank(p *SeriesPoint, s *session) {
	if !s.has(annotate.RolePressure) {
		return
	}
	var e Escalation
	s.escalation(&e)
	if e.RankMax == nil {
		return
	}
	p.Value = new(float64(*e.RankMax))
	if e.Scale != nil {
		p.Scale, p.channel = *e.Scale, s.channelOf(*e.Scale)
		p.Text = *e.Scale + " " + plain(*e.Level)
	}
}

// markDevices marks the points whose level was given with another device than
// the last one before on its channel.
func markDevices(points []SeriesPoint) {
	last := map[string]string{} // channel to scale
	for i := range points {
		p := &points[i]
		if p.Scale == "" {
			continue
		}
		before, ok := last[p.channel]
		p.DeviceChanged = ok && before != p.Scale
		last[p.channel] = p.Scale
	}
}

// channelOf returns the channel of a scale that some pressure event is on.
func (s *session) channelOf(scale string) string {
	for _, c := range s.clips {
		for _, p := range c.pressed {
			if p.scale == scale {
				return p.channel()
			}
		}
	}
	return ""
}

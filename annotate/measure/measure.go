package measure

import (
	"errors"
	"fmt"

	"afterwalk/annotate"
)

// Option changes what [Of] does.
type Option func(*options)

type options struct{ knownValid bool }

// KnownValid says that the readings keep every rule, as those do that came out of
// a reading file or of an edit: they are not checked again.
func KnownValid() Option { return func(o *options) { o.knownValid = true } }

// Of measures readings as one session of one dog; their clips may be given in any
// order if all have a date, and else stand in the order given. It does not
// change them.
//
// It fails with [annotate.Problems] where a reading breaks a rule, or where they
// can't be one session: different dogs, ladders, help_ranks or house rules, or an
// event id used twice. Without readings it fails.
func Of(readings []*annotate.Reading, opts ...Option) (*Measures, error) {
	s, err := open(readings, opts)
	if err != nil {
		return nil, err
	}
	m := s.measures()
	if s.err != nil {
		return nil, fmt.Errorf("measure: %w", s.err)
	}
	return m, nil
}

// open checks readings and works through them.
func open(readings []*annotate.Reading, opts []Option) (*session, error) {
	var o options
	for _, opt := range opts {
		opt(&o)
	}
	if len(readings) == 0 {
		return nil, errors.New("measure: there is no reading to measure")
	}
	for i, r := range readings {
		if r == nil {
			return nil, fmt.Errorf("measure: reading %d is missing", i+1)
		}
		if o.knownValid && r.Book != nil {
			continue
		}
		if p := r.Validate(); p != nil {
			if len(readings) > 1 {
				for k := range p {
					p[k].Field = fmt.Sprintf("readings[%d].%s", i, p[k].Field)
				}
			}
			return nil, p
		}
	}
	if p := fit(readings).Err(); p != nil {
		return nil, p
	}
	return newSession(readings), nil
}

package library

import (
	"context"
	"fmt"
	"strings"
	"time"

	"afterwalk/annotate"
	"afterwalk/internal/store"
)

// homeless is a clip of a plan that needs a session.
type homeless struct {
	footage, clip int // index in the plan
	item          store.InboxItem
}

// house gives each clip a session: one that is there, or a new one.
func (s *sorter) house(ctx context.Context, list []homeless, gap time.Duration) error {
	var dogs []string
	of := map[string][]homeless{}
	for _, h := range list {
		dog := s.plan.Footage[h.footage].Clips[h.clip].DogID
		if of[dog] == nil {
			dogs = append(dogs, dog)
		}
		of[dog] = append(of[dog], h)
	}
	for _, dog := range dogs {
		if err := s.houseDog(ctx, dog, of[dog], gap); err != nil {
			return err
		}
	}
	return nil
}

func (s *sorter) houseDog(ctx context.Context, dog string, list []homeless, gap time.Duration) error {
	there, err := s.lib.store.SessionExtents(ctx, dog)
	if err != nil {
		return err
	}
	var ids []string
	var old, dated []extent
	for _, v := range there {
		ids = append(ids, v.ID)
		old = append(old, extent{v.Start, v.End})
	}
	fresh := func() string {
		v := store.Session{ID: newID(), DogID: dog}
		s.plan.Sessions = append(s.plan.Sessions, v)
		return v.ID
	}
	var which []*string
	for _, h := range list {
		session := &s.plan.Footage[h.footage].Clips[h.clip].SessionID
		at := h.item.Footage.RecordedAt
		if at != nil {
			dated = append(dated, extent{*at, at.Add(time.Duration(h.item.Footage.Length()) * time.Microsecond)})
			which = append(which, session)
			continue
		}
		key := undatedKey{dog, h.item.AddedAt}
		if s.undated[key] == "" {
			if s.undated[key], err = s.lib.store.UndatedSession(ctx, dog, h.item.AddedAt); err != nil {
				return err
			}
		}
		if s.undated[key] == "" {
			s.undated[key] = fresh()
		}
		*session = s.undated[key]
	}
	place, made := group(old, dated, gap)
	for range made {
		ids = append(ids, fresh())
	}
	for i, session := range which {
		*session = ids[place[i]]
	}
	return nil
}

// title says what was done, for the person.
func (s *sorter) title() string {
	if len(s.titles) == 1 {
		return s.titles[0]
	}
	first := s.what(s.plan.Footage[0])
	for _, f := range s.plan.Footage {
		if s.what(f) != first {
			return fmt.Sprintf("%d clips sorted.", len(s.titles))
		}
	}
	return fmt.Sprintf("%d clips %s.", len(s.titles), first)
}

// titleOf says what became of one footage: 1.mp4 to Tansy.
func (s *sorter) titleOf(item store.InboxItem, to store.SortedFootage) string {
	return nameOf(item.Footage) + " " + s.what(to) + "."
}

func (s *sorter) what(to store.SortedFootage) string {
	switch to.State {
	case store.InboxWaiting:
		return "waiting again"
	case store.InboxLeftOut:
		return "left out"
	}
	var dogs []string
	for _, c := range to.Clips {
		text := s.dogs[c.DogID].Name
		if c.Window != nil {
			text += fmt.Sprintf(" (%s to %s)", clockOf(c.Window.Start), clockOf(c.Window.End))
		}
		dogs = append(dogs, text)
	}
	last := dogs[len(dogs)-1]
	if len(dogs) == 1 {
		return "to " + last
	}
	return "to " + strings.Join(dogs[:len(dogs)-1], ", ") + " and " + last
}

// clockOf writes a time in a clip: 0:35.6.
func clockOf(us annotate.Micros) string {
	tenths := (int64(us) + 50_000) / 100_000
	return fmt.Sprintf("%d:%02d.%d", tenths/600, tenths/10%60, tenths%10)
}

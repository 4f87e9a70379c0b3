package annotate

import (
	"fmt"
	"reflect"
)

// Replay returns the reading after journal rows that follow on r, oldest first:
// what Apply led to when they were made. Rules aren't checked again. It fails
// where a row doesn't follow: its revision isn't the next one, or an event isn't
// as the row found it. r stays as it is.
func (r *Reading) Replay(rows ...Applied) (*Reading, error) {
	to := *r
	to.History.Done = append([]string(nil), r.History.Done...)
	to.History.Undone = append([]string(nil), r.History.Undone...)
	events := make(map[string]*Event, len(r.Events))
	for i := range r.Events {
		events[r.Events[i].ID] = &r.Events[i]
	}
	changed := false
	for _, row := range rows {
		if row.Revision != to.Revision+1 {
			return nil, fmt.Errorf("annotate: replay edit %q: its revision is %d where %d is next", row.Edit, row.Revision, to.Revision+1)
		}
		for _, c := range row.Changes {
			changed = true
			if now := events[c.ID]; (now == nil) != (c.Before == nil) || now != nil && !reflect.DeepEqual(now, c.Before) {
				return nil, fmt.Errorf("annotate: replay edit %q (revision %d): event %q is not as the edit found it", row.Edit, row.Revision, c.ID)
			}
			if c.After == nil {
				delete(events, c.ID)
			} else {
				events[c.ID] = c.After
			}
		}
		to.setFacts(row.FactsAfter)
		if row.Reach != nil {
			to.Window.End = *row.Reach
		}
		to.Revision = row.Revision
		to.History.add(row)
	}
	if changed {
		to.Events = make([]Event, 0, len(events))
		for _, e := range events {
			to.Events = append(to.Events, *e)
		}
		SortEvents(to.Events)
	}
	return &to, nil
}

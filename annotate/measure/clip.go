package measure

import (
	"slices"
	"sort"

	"afterwalk/annotate"
)

// clip is one reading worked through: everything that the sections count.
type clip struct {
	r      *annotate.Reading
	name   *string // of its file, for entries of lists; nil with one reading
	rules  annotate.Rules
	coded  map[annotate.Role]bool // in this reading
	window annotate.Span
	events events

	hidden annotate.Set // X
	seen   annotate.Set // the window without X

	heel     annotate.Set // heel exercise spans in the window
	heelSeen annotate.Set // H: of it, what was seen
	work     annotate.Set // exercise other than free that was seen

	errors, offTask []bout
	stays           []stay
	trials          []*trial
	reminders       int
	occasions       []*occasion // in the order of lists
	pressed         []step      // pressure that has a beginning, in order
	helps           []event     // help likewise
	grounds         grounds
}

// newClip works through r. Events of roles that r did not code are not looked at.
func newClip(r *annotate.Reading, name *string) *clip {
	c := &clip{r: r, name: name, rules: r.Book.House.Rules(), coded: codedRoles(r), window: r.Window}
	c.events = cutEvents(r, c.coded)
	c.hidden = union(c.events[annotate.RoleHidden], nil)
	c.seen = annotate.Union(c.window).Subtract(c.hidden)

	exercises := c.events[annotate.RoleExercise]
	c.heel = union(exercises, func(e *event) bool { return e.kind() == "heel" })
	c.heelSeen = c.heel.Intersect(c.seen)
	c.work = union(exercises, func(e *event) bool { return e.kind() != "free" }).Intersect(c.seen)

	c.errors = findBouts(c.events[annotate.RoleError], c.heel, c.hidden, c.rules.Join)
	c.offTask = findBouts(c.events[annotate.RoleOffTask], c.heel, c.hidden, c.rules.Join)
	c.stays = findStays(exercises, c.events[annotate.RoleBreak], c.hidden)

	occasions := boutOccasions(errorOccasion, c.errors)
	occasions = append(occasions, boutOccasions(offTaskOccasion, c.offTask)...)
	occasions = append(occasions, breakOccasions(c.stays, c.dids(), c.rules.BreakMoment)...)
	var reminders []reminder
	if c.coded[annotate.RoleCue] && c.coded[annotate.RoleAnswer] {
		c.trials, reminders = c.hear(occasions)
	} else {
		_, reminders = c.hear(occasions) // trials need both, reminders only the cue
	}
	c.occasions = append(occasions, cueOccasions(c.trials)...)
	sortForList(c.occasions)

	c.reminders = len(reminders)
	c.helps = begun(c.events[annotate.RoleHelp])
	c.pressed = findPressed(c.events[annotate.RolePressure], r.Book)
	c.grounds = c.assign(reminders)
	c.grade()
	return c
}

// codedRoles returns the roles that a reading coded: those for which every lane
// that holds a code of it was coded. A role without a code in the book was coded:
// there is nothing of it.
func codedRoles(r *annotate.Reading) map[annotate.Role]bool {
	coded := map[annotate.Role]bool{}
	for _, role := range annotate.Roles() {
		coded[role] = true
	}
	if r.Coded == nil {
		return coded
	}
	for _, lane := range r.Book.Lanes {
		if slices.Contains(r.Coded, lane.Name) {
			continue
		}
		for _, code := range lane.Codes {
			coded[code.Role] = false
		}
	}
	return coded
}

// dids returns the times of the answers that say did, in order.
func (c *clip) dids() []annotate.Micros {
	var at []annotate.Micros
	answers := c.events[annotate.RoleAnswer]
	for i := range answers {
		if answers[i].result() == "did" {
			at = append(at, answers[i].start())
		}
	}
	return at
}

// exerciseAt returns the exercise that runs at t, its end excluded; nil where
// none does. Exercises stand in one exclusive lane, so there is at most one.
func (c *clip) exerciseAt(t annotate.Micros) *event {
	list := c.events[annotate.RoleExercise]
	i := sort.Search(len(list), func(i int) bool { return list[i].span.End > t })
	if i < len(list) && list[i].start() <= t {
		return &list[i]
	}
	return nil
}

// stayAt reports whether a stay runs at t.
func (c *clip) stayAt(t annotate.Micros) bool {
	ex := c.exerciseAt(t)
	return ex != nil && isStay(ex)
}

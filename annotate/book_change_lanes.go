package annotate

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
)

// lanes compares the lanes and, in the order of the newer version, their codes.
func (d *bookDiff) lanes() {
	was := d.pairs() // index of the older lane for each newer one, -1 for a new lane
	for i := range d.new.Lanes {
		lane := &d.new.Lanes[i]
		if was[i] < 0 {
			d.say(BookChange{Lane: lane.Name, Field: "lane", Now: lane.Name}, "Lane %s: added, %s.", name(lane.Name), exclusivity(lane.Exclusive))
			d.extra(BookChange{Lane: lane.Name}, "Lane "+name(lane.Name), nil, lane.Extra)
			continue
		}
		old := &d.old.Lanes[was[i]]
		at := BookChange{Lane: lane.Name, Field: "lane"}
		if old.Name != lane.Name {
			at.Was, at.Now = old.Name, lane.Name
			d.say(at, "Lane %s: renamed, was %s.", name(lane.Name), name(old.Name))
		}
		if old.Exclusive != lane.Exclusive {
			at.Field, at.Was, at.Now = "exclusive", exclusivity(old.Exclusive), exclusivity(lane.Exclusive)
			d.say(at, "Lane %s: %s, was %s.", name(lane.Name), at.Now, at.Was)
		}
		d.extra(BookChange{Lane: lane.Name}, "Lane "+name(lane.Name), old.Extra, lane.Extra)
	}
	for i := range d.old.Lanes {
		if !slices.Contains(was, i) {
			lane := &d.old.Lanes[i]
			d.say(BookChange{Lane: lane.Name, Field: "lane", Was: lane.Name}, "Lane %s: removed.", name(lane.Name))
		}
	}
	d.laneOrder(was)
	d.codes(was)
}

// pairs finds for each newer lane the older one that it is: the one of its name,
// else of those left over the one that shares most codes with it.
func (d *bookDiff) pairs() []int {
	was := make([]int, len(d.new.Lanes))
	used := make([]bool, len(d.old.Lanes))
	for i := range was {
		was[i] = slices.IndexFunc(d.old.Lanes, func(l Lane) bool { return l.Name == d.new.Lanes[i].Name })
		if was[i] >= 0 && used[was[i]] {
			was[i] = -1 // two lanes of one name: no valid book has them
		}
		if was[i] >= 0 {
			used[was[i]] = true
		}
	}
	for i := range was {
		if was[i] >= 0 {
			continue
		}
		most := 0
		for k := range d.old.Lanes {
			shared := 0
			for _, c := range d.old.Lanes[k].Codes {
				if hasCode(d.new.Lanes[i].Codes, c.ID) {
					shared++
				}
			}
			if !used[k] && shared > most {
				was[i], most = k, shared
			}
		}
		if was[i] >= 0 {
			used[was[i]] = true
		}
	}
	return was
}

// laneOrder notes the lanes that stand elsewhere among those of both versions.
func (d *bookDiff) laneOrder(was []int) {
	var common []int
	var names []string
	for i, k := range was {
		if k >= 0 {
			common, names = append(common, k), append(names, d.new.Lanes[i].Name)
		}
	}
	for _, i := range moved(common) {
		at := BookChange{Lane: names[i], Field: "lanes", Now: after(names, i)}
		d.say(at, "Lane %s: now %s.", name(names[i]), at.Now)
	}
}

// after says where the i-th of a list stands.
func after(names []string, i int) string {
	if i == 0 {
		return "first"
	}
	return "after " + name(names[i-1])
}

// moved returns which elements of a permutation have to be moved to get it from
// the ascending order: all but those of a longest ascending run, in order.
func moved(list []int) []int {
	length, before := make([]int, len(list)), make([]int, len(list))
	last := -1
	for i := range list {
		length[i], before[i] = 1, -1
		for k := range i {
			if list[k] < list[i] && length[k]+1 > length[i] {
				length[i], before[i] = length[k]+1, k
			}
		}
		if last < 0 || length[i] > length[last] {
			last = i
		}
	}
	stays := map[int]bool{}
	for ; last >= 0; last = before[last] {
		stays[last] = true
	}
	var out []int
	for i := range list {
		if !stays[i] {
			out = append(out, i)
		}
	}
	return out
}

// codes compares the codes, lane by lane.
func (d *bookDiff) codes(was []int) {
	seen := map[string]bool{}
	for i := range d.new.Lanes {
		lane := &d.new.Lanes[i]
		var stayed []int // places in the older lane of the codes that stayed in it
		var names []string
		var ids []string
		for k := range lane.Codes {
			code := &lane.Codes[k]
			if seen[code.ID] {
				continue // a valid book has none twice
			}
			seen[code.ID] = true
			old, oldLane := d.old.code(code.ID)
			at := BookChange{Lane: lane.Name, Code: code.ID}
			if old == nil {
				at.Field, at.Now = "code", code.Name
				key := "without a key"
				if code.Key != "" {
					key = "key " + code.Key
				}
				d.say(at, "%s: added to lane %s, role %s, %s.", name(code.Name), name(lane.Name), code.Role, key)
				continue
			}
			if oldLane != was[i] {
				at.Field, at.Was, at.Now = "lane", d.old.Lanes[oldLane].Name, lane.Name
				d.say(at, "%s: moved to lane %s, was in %s.", name(code.Name), name(at.Now), name(at.Was))
			} else {
				place := slices.IndexFunc(d.old.Lanes[oldLane].Codes, func(c Code) bool { return c.ID == code.ID })
				stayed, names, ids = append(stayed, place), append(names, code.Name), append(ids, code.ID)
			}
			d.code(BookChange{Lane: lane.Name, Code: code.ID}, old, code)
		}
		for _, k := range moved(stayed) {
			at := BookChange{Lane: lane.Name, Code: ids[k], Field: "codes", Now: after(names, k)}
			d.say(at, "%s: in lane %s now %s.", name(names[k]), name(lane.Name), at.Now)
		}
	}
	for i := range d.old.Lanes {
		for _, code := range d.old.Lanes[i].Codes {
			if !seen[code.ID] {
				seen[code.ID] = true
				d.say(BookChange{Lane: d.old.Lanes[i].Name, Code: code.ID, Field: "code", Was: code.Name}, "%s: removed from lane %s.", name(code.Name), name(d.old.Lanes[i].Name))
			}
		}
	}
}

// code compares one code in two versions.
func (d *bookDiff) code(at BookChange, old, now *Code) {
	who := name(now.Name)
	field := func(f string) BookChange { at.Field = f; return at }
	if old.Name != now.Name {
		c := field("name")
		c.Was, c.Now = old.Name, now.Name
		d.say(c, "%s: renamed, was %s.", who, name(old.Name))
	}
	if old.Key != now.Key {
		c := field("key")
		c.Was, c.Now = old.Key, now.Key
		d.say(c, "%s: key %s, was %s.", who, cmp.Or(now.Key, "taken away"), cmp.Or(old.Key, "none"))
	}
	d.number(field("role"), who+", role", string(old.Role), string(now.Role))
	d.number(field("shape"), who+", shape", string(old.Shape), string(now.Shape))
	d.details(at, who, old.Details, now.Details)
	d.text(field("then"), who+", starts by then", d.codeName(d.old, old.Then), d.codeName(d.new, now.Then))
	if old.Then != now.Then && d.codeName(d.old, old.Then) == d.codeName(d.new, now.Then) {
		c := field("then")
		c.Was, c.Now = old.Then, now.Then
		d.say(c, "%s, starts by then: another code of the same name.", who)
	}
	d.list(field("picks"), who+", kinds to choose by digits", old.Picks, now.Picks)
	d.text(field("definition.starts"), who+", starts", old.Definition.Starts, now.Definition.Starts)
	d.text(field("definition.ends"), who+", ends", old.Definition.Ends, now.Definition.Ends)
	d.text(field("definition.not"), who+", is not", old.Definition.Not, now.Definition.Not)
	d.extra(field("definition"), who+", definition", old.Definition.Extra, now.Definition.Extra)
	d.text(field("texts.coder"), who+", text for the coder", old.Texts.Coder, now.Texts.Coder)
	d.text(field("texts.handler"), who+", text for the handler", old.Texts.Handler, now.Texts.Handler)
	d.text(field("texts.owner"), who+", text for the owner", old.Texts.Owner, now.Texts.Owner)
	d.extra(field("texts"), who+", texts", old.Texts.Extra, now.Texts.Extra)
	d.extra(field(""), who, old.Extra, now.Extra)
}

// codeName returns the name of a code that another one names, its id where the
// book has none.
func (d *bookDiff) codeName(b *Codebook, id string) string {
	if c, _ := b.code(id); c != nil && c.Name != "" && id != "" {
		return c.Name
	}
	return id
}

// details compares the properties of a code.
func (d *bookDiff) details(at BookChange, who string, old, now Details) {
	text := func(f, what, was, now string) {
		at.Field = f
		d.text(at, who+", "+what, was, now)
	}
	text("kind", "kind", old.Kind, now.Kind)
	text("posture", "posture", old.Posture, now.Posture)
	text("command", "command", old.Command, now.Command)
	text("mode", "mode", old.Mode, now.Mode)
	text("result", "result", old.Result, now.Result)
	text("channel", "channel", old.Channel, now.Channel)
	text("device", "device", old.Device, now.Device)
	text("who", "who", old.Who, now.Who)
	value := func(f, what, was, now string) {
		at.Field = f
		d.number(at, who+", "+what, was, now)
	}
	value("level", "level", shown(old.Level), shown(now.Level))
	value("taps", "taps", shown(old.Taps), shown(now.Taps))
	value("planned_s", "planned length in seconds", shown(old.PlannedS), shown(now.PlannedS))
	value("handler_m", "handler's distance in metres", shown(old.HandlerM), shown(now.HandlerM))
	value("distance_m", "distance in metres", shown(old.DistanceM), shown(now.DistanceM))
	at.Field = ""
	d.extra(at, who, old.Extra, now.Extra)
}

// shown writes a number that may be missing.
func shown[T any](v *T) string {
	if v == nil {
		return ""
	}
	return fmt.Sprint(*v)
}

// name writes the name of a lane or code in a sentence.
func name(s string) string {
	if strings.TrimSpace(s) == "" {
		return "without a name"
	}
	return quoted(clip(s, 60))
}

func exclusivity(one bool) string {
	if one {
		return "one at a time"
	}
	return "several at a time"
}

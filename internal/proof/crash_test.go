package proof

import (
	"context"
	"flag"
	"math/rand/v2"
	"slices"
	"strings"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	"github.com/chromedp/chromedp"
	"github.com/google/go-cmp/cmp"

	"afterwalk/internal/media/mediatest"
)

var seedFlag = flag.Uint64("seed", 0, "what the random tests start from; 0 takes the time")

// seeded returns a source of chance and prints what it starts from.
func seeded(t testing.TB) *rand.Rand {
	t.Helper()
	seed := *seedFlag
	if seed == 0 {
		seed = uint64(time.Now().UnixNano())
	}
	t.Logf("-seed=%d", seed)
	return rand.New(rand.NewPCG(seed, 1))
}

// strokes returns n presses of keys that code, choose details, step on by a frame
// ("."), undo ("\x1a") and redo ("\x19"). Keys that do something else when they are
// held down are left out, as are digits after them: how long a press takes must
// not matter.
func strokes(random *rand.Rand, n int) []rune {
	const keys = "wsadwsadqq1122345....xzcvuiomppnhygrt127VXZCOe\x1a\x1a\x1a\x19\x19"
	list := make([]rune, n)
	for i := range list {
		list[i] = rune(keys[random.IntN(len(keys))])
	}
	return list
}

// strokes presses such keys; after a step the frame has to be there before the next.
func (p *page) strokes(keys []rune) {
	p.t.Helper()
	for _, key := range keys {
		switch key {
		case '\x1a':
			p.undo()
		case '\x19':
			p.redo()
		case '.':
			p.press(".")
			eval[bool](p, "settled()")
		default:
			p.press(string(key))
		}
	}
}

// watchEdits has the page remember which edits it made and which of them the
// server has acknowledged.
func (p *page) watchEdits() {
	p.do(run(`(() => {
		window.made = [], window.acked = [];
		const add = desk.reading.add.bind(desk.reading), ask = window.fetch;
		desk.reading.add = (w) => { made.push(w.id); add(w); };
		window.fetch = async (url, how) => {
			const asked = performance.now(), reply = await ask(url, how);
			if (how?.method === "POST" && reply.ok) {
				const answer = await reply.clone().json();
				acked.push({ id: JSON.parse(how.body).id, revision: answer.revision, repeated: answer.repeated, ms: performance.now() - asked });
			}
			return reply;
		};
	})()`))
}

// events returns the events as the page shows them.
func (p *page) events() []coded {
	p.t.Helper()
	return eval[[]coded](p, "desk.reading.events")
}

// ack is an acknowledged edit.
type ack struct {
	ID       string
	Revision int64
	Repeated bool
	MS       float64 // from asking to the reply, in a page
}

// The server is killed at random moments while a page and four other clients code,
// and is started again each time. Whatever it had acknowledged is there, nothing
// is there twice, and the page, which codes on meanwhile, recovers by itself.
func TestKilledWhileCoding(t *testing.T) {
	const (
		rounds   = 8
		edits    = 2000 // acknowledged, at least
		pageKeys = 45   // in each round
		perPage  = 20   // edits that these keys make, about
	)
	random := seeded(t)
	p := newProcess(t)
	p.must("add", "--dog", "Tansy", mediatest.Make(t, "cfr30").Path)
	clip := p.clips()[0]
	p.serve()
	c := newClient(t, p.startURL)
	keys := strokes(random, rounds*pageKeys)

	// First what comes of these keys without any kill, as what to compare with.
	calm := c.reading(clip, "P. Quill")
	browser := newBrowser(t)
	tab := p.desk(browser, calm)
	tab.strokes(keys)
	tab.rest()
	want := linesOf(p.stored(calm).events)

	reading := c.reading(clip, "I. Varga")
	tab.openDesk(p.base + "/desk/" + reading)
	tab.watchEdits()

	ctx, cancel := context.WithCancel(t.Context())
	defer cancel()
	var coders []*coder
	alone, shared := c.reading(clip, "alone"), c.reading(clip, "shared")
	for i, r := range []string{alone, shared, shared, shared} {
		coders = append(coders, &coder{client: newClient(t, p.startURL), reading: r, alone: i == 0,
			random: rand.New(rand.NewPCG(random.Uint64(), uint64(i))), events: map[string]coded{}})
	}
	total := func() (n int) {
		for _, c := range coders {
			n += len(c.acknowledgedYet())
		}
		return n
	}
	// They code on until as many edits are acknowledged as a round has.
	var goal atomic.Int64
	var rest atomic.Bool
	var working sync.WaitGroup
	for _, c := range coders {
		working.Go(func() {
			for !rest.Load() && ctx.Err() == nil {
				if int64(total()) >= goal.Load() {
					time.Sleep(time.Millisecond) // looks again
				} else if !c.code(ctx) {
					cancel() // there is no point in going on
				}
			}
		})
	}
	waited, repeated := 0, 0
	for round := range rounds {
		// Killed after some of the page's keys, every other time some edits of the
		// clients later, and then after up to 5 ms more, so that it may fall into any
		// step of an edit.
		chunk := keys[round*pageKeys : (round+1)*pageKeys]
		key, more := pageKeys/4+random.IntN(pageKeys/2), round%2*random.IntN(40)
		instant := time.Duration(random.IntN(5_000_000))
		goal.Store(int64(total() + edits/rounds - perPage))
		tab.strokes(chunk[:key])
		goal.Store(max(goal.Load(), int64(total()+more+10))) // so that some are on their way
		killed := make(chan struct{})
		go func() {
			defer close(killed)
			for after := total() + more; total() < after && ctx.Err() == nil; {
				time.Sleep(time.Millisecond) // looks again
			}
			time.Sleep(instant)
			_ = p.cmd.Process.Kill()
		}()
		tab.strokes(chunk[key : pageKeys-10])
		<-killed
		p.kill()

		// The page codes on, and says how it stands.
		tab.strokes(chunk[pageKeys-10:])
		tab.until(`((n) => n === 0 || document.getElementById("saving").textContent ===
			(n === 1 ? "1 edit" : n + " edits") + " waiting: server not reachable; kept in this browser")(desk.reading.waiting.length)`)
		waited += eval[int](tab, "desk.reading.waiting.length")

		// What was acknowledged is on the disk, with nobody there to write any more.
		acks := eval[[]ack](tab, "acked")
		p.stored(reading).holds(t, acks)
		p.stored(alone).holds(t, coders[0].acknowledgedYet())
		sum := len(acks) + len(coders[0].acknowledgedYet())
		inShared := p.stored(shared)
		for _, c := range coders[1:] {
			inShared.holds(t, c.acknowledgedYet())
			sum += len(c.acknowledgedYet())
		}
		p.checks(sum)

		p.serve()
		tab.rest()
		if diff := cmp.Diff(p.stored(reading).events, tab.events()); diff != "" {
			t.Fatalf("round %d: library and page differ (-library +page):\n%s", round, diff)
		}
		if text := eval[string](tab, "document.getElementById('notices').textContent"); text != "" {
			t.Errorf("round %d: the page has a notice: %s", round, text)
		}
	}
	goal.Store(int64(edits - eval[int](tab, "acked.length")))
	for int64(total()) < goal.Load() && ctx.Err() == nil {
		time.Sleep(time.Millisecond) // looks again
	}
	rest.Store(true) // each ends with an edit that is acknowledged
	working.Wait()

	// In the end: the page's own edits, each once, and nothing else.
	acks := eval[[]ack](tab, "acked")
	made := eval[[]string](tab, "made")
	got := p.stored(reading)
	got.holds(t, acks)
	for _, id := range made {
		if _, ok := got.journal[id]; !ok {
			t.Errorf("edit %s was made in the page and is nowhere", id)
		}
	}
	if len(got.journal) != len(made) {
		t.Errorf("the page made %d edits, the journal has %d", len(made), len(got.journal))
	}
	if diff := cmp.Diff(want, linesOf(got.events)); diff != "" {
		t.Errorf("the same keys, without kills and with them (-without +with):\n%s", diff)
	}
	if n := eval[int](tab, "desk.shelf.list().length"); n != 0 {
		t.Errorf("%d edits still lie in the browser's storage", n)
	}
	// The other clients' events are what each of them thinks.
	byReading := map[string]map[string]coded{alone: {}, shared: {}}
	sent := map[string]int{}
	for _, c := range coders {
		for id, e := range c.events {
			byReading[c.reading][id] = e
		}
		sent[c.reading] += len(c.acks)
		acks = append(acks, c.acks...)
	}
	for r, want := range byReading {
		got := p.stored(r)
		if len(got.journal) != sent[r] {
			t.Errorf("%d edits were acknowledged, the journal has %d", sent[r], len(got.journal))
		}
		events := map[string]coded{}
		for _, e := range got.events {
			events[e.ID] = e
		}
		if diff := cmp.Diff(want, events); diff != "" {
			t.Errorf("clients and library differ (-clients +library):\n%s", diff)
		}
	}
	if waited == 0 {
		t.Error("no edit had to wait in the page: nothing was proved of waiting")
	}
	for _, a := range acks {
		if a.Repeated {
			repeated++
		}
	}
	p.checks(len(acks))
	p.stop()
	p.checks(len(acks))
	t.Logf("%d kills; %d edits acknowledged, %d of them of the page by %d keys; %d waited in the page while the server was away; %d were stored before their reply was lost and were sent again",
		rounds, len(acks), len(made), len(keys), waited, repeated)
}

// Edits that wait when their page goes away lie in the browser's storage: the
// next page on that desk sends them, and other desks say that they are there.
func TestReloadedWithEditsWaiting(t *testing.T) {
	random := seeded(t)
	p := newProcess(t)
	p.must("add", "--dog", "Tansy", mediatest.Make(t, "cfr30").Path)
	p.serve()
	c := newClient(t, p.startURL)
	clip := p.clips()[0]
	reading, other := c.reading(clip, "I. Varga"), c.reading(clip, "P. Quill")
	tab := p.desk(newBrowser(t), reading)
	tab.strokes(strokes(random, 20))
	tab.rest()
	before := len(p.stored(reading).journal)

	p.kill()
	tab.strokes(strokes(random, 30))
	tab.press("5", "m", "n") // two edits at least
	waiting := eval[[]string](tab, "desk.reading.waiting.map((w) => w.id)")
	shown := linesOf(tab.events())
	if kept := eval[[]string](tab, "desk.shelf.list().map((k) => k.id)"); !slices.Equal(kept, waiting) || len(waiting) < 2 {
		t.Fatalf("%d edits wait, %d lie in the browser's storage", len(waiting), len(kept))
	}
	if err := chromedp.Do(tab.ctx, chromedp.Navigate(p.base+"/desk/"+reading)); err == nil || !strings.Contains(err.Error(), "ERR_CONNECTION_REFUSED") {
		t.Fatalf("loaded again while the server is down: %v, want a refused connection", err)
	}
	for gone := ""; gone != "chrome-error:"; { // the desk sends no more then
		gone, _ = chromedp.Run(tab.ctx, chromedp.Evaluate[string]("location.protocol"))
		if err := tab.ctx.Err(); err != nil {
			t.Fatal(err)
		}
	}

	p.serve()
	tab.openDesk(p.base + "/desk/" + other)
	tab.until(`document.querySelector("[data-about=elsewhere]")`)
	if got, want := eval[string](tab, `document.querySelector("[data-about=elsewhere] a").getAttribute("href")`), "/desk/"+reading; got != want {
		t.Errorf("the other desk leads to %s, want %s", got, want)
	}
	if got := len(p.stored(reading).journal); got != before {
		t.Errorf("another desk has sent %d edits", got-before)
	}

	tab.openDesk(p.base + "/desk/" + reading)
	tab.until("desk.shelf.list().length === 0 && desk.queue.state === 'idle' && desk.reading.waiting.length === 0")
	got := p.stored(reading)
	if len(got.journal) != before+len(waiting) {
		t.Errorf("the journal has grown by %d edits, %d waited", len(got.journal)-before, len(waiting))
	}
	for _, id := range waiting {
		if _, ok := got.journal[id]; !ok {
			t.Errorf("edit %s waited and is lost", id)
		}
	}
	if diff := cmp.Diff(shown, linesOf(got.events)); diff != "" {
		t.Errorf("what was shown before, and what is stored (-shown +stored):\n%s", diff)
	}
	if diff := cmp.Diff(got.events, tab.events()); diff != "" {
		t.Errorf("library and page differ (-library +page):\n%s", diff)
	}
	if notice := eval[string](tab, "document.getElementById('notices').textContent"); notice != "" {
		t.Errorf("the page has a notice: %s", notice)
	}
	p.checks(before + len(waiting))
	p.stop()
}

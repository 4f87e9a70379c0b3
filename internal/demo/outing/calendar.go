package outing

import (
	"slices"
	"time"
)

var summer = time.FixedZone("", 3600)

func day(month time.Month, day, hour, minute, second int) time.Time {
	return time.Date(2026, month, day, hour, minute, second, 0, summer)
}

func byDate(outings []Outing) {
	slices.SortFunc(outings, func(a, b Outing) int { return a.Clips[0].At.Compare(b.Clips[0].At) })
}

func tansysOutings() []Outing {
	return []Outing{
		{
			Dog: Tansy, Handler: Varga, Venue: AlderLane, Line: "10 m long line", Device: ToneCollar,
			Plan:  "Heel work with turns, halts without a word. Down facing me, then with a ball going past. Recall, bed.",
			Notes: "Wind from the lane, lots of scent along the fence. First time down facing me.",
			Clips: []Clip{{
				Name: "alder-lane", At: day(5, 2, 9, 42, 18), line: "long-line", seed: 389, plan: alderLane,
				temper: Temper{Lapses: 0.34, LapseLength: 1.5, Latency: 1.25, Voice: 0.5, Ladder: []string{"voice", "leash-guide", "tone"}, BallBreaks: 3, ReturnBreaks: 2},
			}},
		},
		{
			Dog: Tansy, Handler: Varga, Venue: MillMeadow, Line: "10 m long line",
			Plan:  "The same, in a new place: fewer words, ball farther off.",
			Notes: "Long grass, freshly mown in the middle. Stays much better; the recall wasn't.",
			Clips: []Clip{{
				Name: "mill-meadow", At: day(5, 9, 10, 5, 51), line: "long-line", seed: 60, plan: millMeadow,
				temper: Temper{Lapses: 0.22, LapseLength: 1, Latency: 0.9, Voice: 0.75, Ladder: []string{"voice", "leash-guide"}, ReturnBreaks: 2},
			}},
		},
		{
			Dog: Tansy, Handler: Quill, Venue: QuarryCarPark, Line: "10 m long line", Device: ToneCollar,
			Plan:  "First time among cars, and with me at the other end of the line. Short: some heel work, one sit, one down, one recall.",
			Notes: "Not our day. Cars, a dog behind the wall, and I asked twice where once was enough. Half of this next time, farther from the road.",
			Clips: []Clip{
				{
					Name: "tansy-quarry-1", At: day(5, 23, 10, 12, 7), line: "long-line", seed: 4, plan: quarryHeel,
					temper: Temper{Lapses: 0.42, LapseLength: 1.5, Latency: 1.3, Voice: 0.4, Ladder: []string{"voice", "leash-guide", "tone"}, PasserBreaks: 0.9},
				},
				{
					Name: "tansy-quarry-2", At: day(5, 23, 10, 21, 40), line: "long-line", seed: 40, plan: quarryDown,
					temper: Temper{Lapses: 0.3, LapseLength: 1.3, Latency: 1.4, Voice: 0.4, Ladder: []string{"voice", "leash-guide"}, PasserBreaks: 0.9},
				},
			},
		},
		{
			Dog: Tansy, Handler: Varga, Venue: AlderLane, Line: "10 m long line, dragging",
			Plan:  "Back on her own ground: turns without a word, sit with the bicycle, down with the ball close by. Recall on the second film.",
			Notes: "Held everything. She still thinks about it before she comes: on the next outings recalls alone, from nearer.",
			Clips: []Clip{
				{
					Name: "tansy-alder-1", At: day(6, 13, 9, 30, 2), line: "dragging", seed: 20, plan: alderAgain,
					temper: Temper{Lapses: 0.14, LapseLength: 0.9, Latency: 0.8, Voice: 0.8, Ladder: []string{"voice"}},
				},
				{
					Name: "tansy-alder-2", At: day(6, 13, 9, 38, 45), line: "dragging", seed: 22, plan: alderRecall,
					temper: Temper{Lapses: 0.2, LapseLength: 0.9, Latency: 0.9, Voice: 0.8, Ladder: []string{"voice"}},
				},
			},
		},
	}
}

func bramblesOutings() []Outing {
	// Goes ahead, and leans in where it is tight.
	habit := Habit{Behind: 0.05, Ahead: 0.5, Wide: 0.62, Crowding: 0.9}
	return []Outing{
		{
			Dog: Bramble, Handler: Quill, Venue: MillMeadow, Line: "10 m long line", Device: GreyCollar,
			Plan:  "See what is there: to the leg, a sit, a recall from the long grass.",
			Notes: "Sits like a rock. Deaf with her nose in the grass. Collar fitted and checked by the practice, skin looked at before and after.",
			Clips: []Clip{{
				Name: "bramble-meadow", At: day(5, 16, 9, 55, 30), line: "long-line", seed: 219, plan: brambleMeadow,
				temper: Temper{Lapses: 0.34, LapseLength: 1.5, Habit: habit, Latency: 1.2, Voice: 0.3, Ladder: []string{"voice", "leash-guide", "leash-pop"}},
			}},
		},
		{
			Dog: Bramble, Handler: Quill, Venue: QuarryCarPark, Line: "10 m long line", Device: GreyCollar,
			Plan:  "Little: a few steps at the leg, a down while cars go by, one recall with less than last week.",
			Notes: "Too much at once. Lip licks, and she looked away from me; stopped there. I held the line on after she was right. Next time without cars.",
			Clips: []Clip{{
				Name: "bramble-quarry", At: day(5, 23, 10, 16, 20), line: "long-line", seed: 16, plan: brambleQuarry,
				temper: Temper{Lapses: 0.3, LapseLength: 1.6, Habit: habit, Latency: 1.1, Voice: 0.25, Ladder: []string{"leash-guide", "voice"}, PasserBreaks: 0.7, HoldsOn: 1.6},
			}},
		},
		{
			Dog: Bramble, Handler: Varga, Venue: AlderLane, Line: "10 m long line", Device: GreyCollar,
			Plan:  "Quiet ground. Heel work, the bed with a bicycle going by, recall: tone first, and wait.",
			Notes: "At ease again. Comes on less; at the leg she was all over the place, the hedge was full of rabbits.",
			Clips: []Clip{{
				Name: "bramble-alder", At: day(5, 30, 9, 48, 11), line: "long-line", seed: 18, plan: brambleAlder,
				temper: Temper{Lapses: 0.5, LapseLength: 1.5, Habit: habit, Latency: 1, Voice: 0.35, Ladder: []string{"voice", "leash-guide"}},
			}},
		},
		{
			Dog: Bramble, Handler: Quill, Venue: MillMeadow, Line: "10 m long line, dragging", Device: GreyCollar,
			Plan:  "Down with the ball, then the recall from the grass where it went wrong three weeks ago. Collar on, not to be used.",
			Notes: "Came at the first word. Nothing but voice today.",
			Clips: []Clip{
				{
					Name: "bramble-meadow-1", At: day(6, 6, 9, 40, 26), line: "dragging", seed: 7, plan: brambleAgain,
					temper: Temper{Lapses: 0.25, LapseLength: 1.2, Habit: habit, Latency: 0.8, Voice: 0.7, Ladder: []string{"voice"}},
				},
				{
					Name: "bramble-meadow-2", At: day(6, 6, 9, 51, 3), line: "dragging", seed: 11, plan: brambleBed,
					temper: Temper{Lapses: 0.3, LapseLength: 1.3, Habit: habit, Latency: 0.8, Voice: 0.6, Ladder: []string{"voice"}},
				},
			},
		},
	}
}

// unsorted is the film that was made last: first one dog on it, then the other.
func unsorted() Clip {
	return Clip{
		Name: "both-alder", Dog: Tansy, Handler: Varga, Venue: AlderLane, At: day(6, 13, 9, 47, 12), line: "long-line", seed: 41, plan: bothDogs,
		temper: Temper{Lapses: 0.2, LapseLength: 1, Latency: 0.9, Voice: 0.7, Ladder: []string{"voice"}},
	}
}

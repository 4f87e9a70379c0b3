package outing

// Temper is the day's form of dog and handler. What is 0 doesn't happen.
type Temper struct {
	Lapses       float64  // lapses in heel position that begin in a second
	LapseLength  float64  // share of the usual
	Habit        Habit    // which lapses; zero: the usual ones
	Latency      float64  // share of the usual
	Voice        float64  // chance that a word is enough
	Ladder       []string // what the handler does about a lapse, one after the other
	BallBreaks   float64  // stays broken in a second, while a ball is near
	RiderBreaks  float64
	PasserBreaks float64 // one stay at most
	ReturnBreaks float64 // as the handler comes back to the bed
	HoldsOn      float64 // seconds for which the handler holds the line taut after the dog is right, once
}

// Habit says which lapses a dog is given to: the share of each and of those
// before it; the rest is off-task.
type Habit struct{ Behind, Ahead, Wide, Crowding float64 }

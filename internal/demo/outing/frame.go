package outing

// Rate is how many frames the camera takes in a second.
const Rate = 30

// Frame is what the camera sees at one moment.
type Frame struct {
	Handler Person
	Dog     Animal
	Rider   *Cyclist // nil if out of the picture
	Passer  *Passer
	Ball    *Ball
	Bed     Vec  // the dog's bed
	Taut    bool // the line is taut
	Voice   int  // what is being said: 0 nothing, 1 a word, 2 a marker or praise
	Lamp    bool // the collar's lamp is on
	Tap     bool // it lights for a tap
}

// Person is how a person stands or walks.
type Person struct {
	Name    string
	Right   bool // holds the line in the right hand, the dog being worked on the right
	At      Vec
	Heading float64
	Phase   float64 // of the steps, radians
	Stride  float64 // 0 standing, 1 walking
	Bow     float64 // 0 upright, 1 bent down to the dog
	Arm     float64 // 0 hanging, 1 stretched out to show the way
	Lean    float64 // 0 upright, 1 leaning towards the dog
}

// Animal is how the dog stands, walks, sits or lies; At is below its shoulders.
type Animal struct {
	Name    string
	At      Vec
	Heading float64
	Phase   float64
	Stride  float64 // 0 standing, 1 trotting, more when it runs
	Sit     float64 // 0 standing, 1 sitting
	Down    float64 // 0 standing, 1 lying
	Nose    float64 // 0 head up, 1 nose on the ground
	Look    float64 // turn of the head against the body, radians
	Up      float64 // 0 looking ahead, 1 looking up to the handler
	Wag     float64 // turn of the tail, radians
	Ear     float64 // 0 hanging, 1 pricked
	Lick    float64 // 0 mouth shut, 1 tongue over the nose
	Height  float64 // of the ground under it: on the bed it stands higher
}

// Cyclist rides along the lane behind the field.
type Cyclist struct {
	At    Vec
	Phase float64
	Speed float64 // along X, metres a second
}

// Passer is what else passes behind the field: a car, or someone with a dog.
type Passer struct {
	Kind  string // one of the kinds of passers below
	At    Vec
	Phase float64 // of wheels or steps, radians
	Speed float64 // along X, metres a second
}

// The kinds of passers.
const (
	Car    = "car"
	Walker = "walker"
)

// Ball rolls by.
type Ball struct {
	At   Vec
	Turn float64
}

// Sound is something that the camera hears.
type Sound struct {
	At    float64 // seconds
	Kind  string  // a maker of package sound: step, word, tone, bell, …
	Word  string  // what is said, for a word
	Pan   float64 // -1 left … 1 right
	Far   float64 // metres from the camera
	Lasts float64 // seconds, for wheels and motor
}

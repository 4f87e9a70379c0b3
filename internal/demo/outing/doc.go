// Package outing plays training sessions that never took place: a handler who
// follows a plan and a dog with a mind of its own, in a field seen by one camera.
// From the same seed the same things happen. It tells three stories of the same
// minute: [Run.Frames] is what the camera sees, [Run.Sounds] what it hears, and
// [Run.Truth] what really happened, as events of the default book; [Count] counts
// that log through. Who draws, plays or codes them is elsewhere.
//
// The ground is measured in metres: X to the right of the picture, Z away from
// the camera. A heading is an angle in radians from X towards Z.
//
//	run := outing.Play(outing.Clips()[0])
package outing

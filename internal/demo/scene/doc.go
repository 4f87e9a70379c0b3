// Package scene draws what the camera of an outing sees: a field that stands
// still, and on it handler, dog and what comes by, built from rounded limbs in
// space and painted flat, so that places can be judged by eye and the film stays
// small.
//
// Lengths are metres: x to the right, y up, z away from the camera.
//
//	camera := scene.NewCamera(1280, 720)
//	field := scene.Field(camera, outing.AlderLane)
//	picture := paint.New(1280, 720)
//	scene.Draw(picture, camera, field, frame)
package scene

package annotate

// Role is what a measure needs to know of a code. Names, keys and further codes
// are the user's own; roles are fixed.
type Role string

// The roles, in the order in which reports list them.
const (
	RoleExercise    Role = "exercise"
	RoleError       Role = "error"
	RoleOffTask     Role = "off_task"
	RoleCue         Role = "cue"
	RoleHeard       Role = "heard"
	RoleAnswer      Role = "answer"
	RoleBreak       Role = "break"
	RolePressure    Role = "pressure"
	RoleHelp        Role = "help"
	RoleReward      Role = "reward"
	RoleOffered     Role = "offered"
	RoleRelease     Role = "release"
	RoleTurn        Role = "turn"
	RolePace        Role = "pace"
	RoleHalt        Role = "halt"
	RoleDistraction Role = "distraction"
	RoleStress      Role = "stress"
	RoleLine        Role = "line"
	RoleHandler     Role = "handler"
	RoleHidden      Role = "hidden"
	RoleRemark      Role = "remark"
)

// Roles returns all roles in report order.
func Roles() []Role {
	return []Role{
		RoleExercise, RoleError, RoleOffTask, RoleCue, RoleHeard, RoleAnswer, RoleBreak, RolePressure,
		RoleHelp, RoleReward, RoleOffered, RoleRelease, RoleTurn, RolePace, RoleHalt, RoleDistraction,
		RoleStress, RoleLine, RoleHandler, RoleHidden, RoleRemark,
	}
}

// Shape says whether events of a code have a length.
type Shape string

// The shapes. A moment has End == Start; a span has End > Start or is open.
const (
	ShapeSpan   Shape = "span"
	ShapeMoment Shape = "moment"
	ShapeEither Shape = "either"
)

// Shapes returns the shapes that a code of role r may have: one shape for most
// roles; for those coded either way (break, pressure, help, stress, remark) all
// three. It returns nil for an unknown role.
func (r Role) Shapes() []Shape {
	switch r {
	case RoleExercise, RoleError, RoleOffTask, RoleDistraction, RoleLine, RoleHandler, RoleHidden:
		return []Shape{ShapeSpan}
	case RoleCue, RoleHeard, RoleAnswer, RoleReward, RoleOffered, RoleRelease, RoleTurn, RolePace, RoleHalt:
		return []Shape{ShapeMoment}
	case RoleBreak, RolePressure, RoleHelp, RoleStress, RoleRemark:
		return []Shape{ShapeEither, ShapeSpan, ShapeMoment}
	}
	return nil
}

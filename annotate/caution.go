package annotate

import "fmt"

// Cautions returns what the tool says wherever pressure is coded or reported: the
// law and the device's manual first. It never advises raising a level.
func Cautions() []string {
	return []string{
		"Law where you are first, then the device's manual. If either says no, it is no.",
		"Levels record one dog, one collar, one day. They are not settings to copy.",
		"Collar time is limited, and the skin under it is checked.",
		"Fear, pain, growling, sore skin: stop. Ask a veterinarian or a qualified behaviour professional.",
	}
}

// NearPressure returns what is said of so many stress signs near pressure.
func NearPressure(signs int) string {
	return fmt.Sprintf("Stress near pressure: %d. Near is not because. Watch these before the next session.", signs)
}

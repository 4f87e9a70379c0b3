package server

import (
	"html/template"

	"afterwalk/annotate"
)

// figure is one chart of a dog's page, with the same in words and as a table.
type figure struct {
	Name     string // as in its address
	Heading  string
	Says     string // what is drawn
	Wrong    string // why there is none, for the person
	SVG      template.HTML
	Alt      string
	Table    *figureTable
	Cautions []string
}

type figureTable struct {
	Head []string
	Rows []figureRow
}

// figureRow is one session; Cells run along the table's head.
type figureRow struct{ Cells []figureCell }

type figureCell struct {
	Text, Href string
	Number     bool
}

// Wording that stands wherever levels are shown.
var levelCautions = []string{
	"Law where you are first, then the device's manual. If either says no, it is no.",
	"Levels record one dog, one collar, one day. They are not settings to copy.",
	"Collar time is limited; look at the skin under it each time.",
	"Fear, pain, growling, sore skin: stop. Ask a veterinarian or a qualified behaviour professional.",
}

var errNoFigure = annotate.ErrNotFound

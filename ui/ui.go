// Package ui holds what the browser gets: page templates, styles and ES
// modules. It has no logic; the server fills the templates and serves the rest
// under /assets/. Tests of the modules lie beside it in jstest, outside what is
// embedded.
package ui

import (
	"embed"
	"io/fs"
)

//go:embed templates/*.html static/css/*.css static/img/*.svg static/js/*/*.js static/js/*/*/*.js
var files embed.FS

// Files returns the embedded files: templates/ and static/.
func Files() fs.FS { return files }

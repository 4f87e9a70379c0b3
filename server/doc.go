// Package server answers the browser: pages, the JSON the pages work with, byte
// ranges of footage, and the stream of what changed. It listens on loopback
// only and lets in whoever opened the start address.
//
// What is done lives elsewhere (library, measure, chart, exchange); a handler
// here parses, calls and answers. All routes stand in routes.go, every kind of
// error and its status in problem.go, everything that refuses a request in
// guard.go.
//
//	s, err := server.New(server.Config{Library: lib, UI: ui.Files(), Log: log, Token: token})
//	if err := s.Listen(ctx); err != nil { … }
//	fmt.Println("open", s.StartURL())
//	err = s.Serve(ctx) // until ctx ends
package server

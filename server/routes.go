package server

// routeEdits is the one route that takes large bodies.
const routeEdits = "/api/readings/:id/edits"

// routes lists every address, in the order of the site: pages from the dogs down
// to the desk, then what the pages ask for, then files.
func (s *Server) routes() {
	e := s.echo

	e.GET("/", s.dogsPage)
	e.GET("/add", s.addPage)
	e.GET("/dogs/:id", s.dogPage)
	e.GET("/sessions/:id", s.sessionPage)
	e.POST("/sessions/:id", s.setSession)
	e.POST("/clips/:id/readings", s.newReading)
	e.GET("/clips/:id", s.clip)
	e.GET("/desk/:id", s.deskPage)

	e.GET("/api/choose", s.choose)
	e.POST("/api/add", s.add)
	e.GET("/api/jobs", s.jobs)
	e.POST("/api/jobs/:id/stop", s.stopJob)
	e.GET("/api/stream", s.stream)

	e.GET("/api/readings/:id", s.reading)
	e.POST(routeEdits, s.edit)
	e.GET("/api/readings/:id/captions.vtt", s.captions)
	e.GET("/api/readings/:id/captions.srt", s.captions)
	e.GET("/api/readings/:id/export", s.exportReading)
	e.GET("/api/clips/:id/frames", s.frames)

	e.GET("/charts/:id/:file", s.chart)
	e.HEAD("/media/:id", s.media)
	e.GET("/media/:id", s.media)
	e.HEAD("/assets/*", s.asset)
	e.GET("/assets/*", s.asset)
}

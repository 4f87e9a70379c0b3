package server

// routeEdits is the one route that takes large bodies.
const routeEdits = "/api/readings/:id/edits"

// routes lists every address, in the order of the site: pages from the dogs down
// to the desk, then what the pages ask for, then files.
func (s *Server) routes() {
	e := s.echo

	e.GET("/", s.dogsPage)
	e.GET("/add", s.addPage)
	e.POST("/dogs", s.newDog)
	e.GET("/dogs/:id", s.dogPage)
	e.POST("/dogs/:id", s.setDog)
	e.GET("/dogs/:id/merge", s.mergePage)
	e.POST("/dogs/:id/merge", s.merge)
	e.POST("/dogs/:id/bin", s.bin(kindDog))
	e.GET("/sessions/:id", s.sessionPage)
	e.POST("/sessions/:id", s.setSession)
	e.POST("/sessions/:id/bin", s.bin(kindSession))
	e.POST("/clips/:id/readings", s.newReading)
	e.GET("/clips/:id", s.clip)
	e.POST("/clips/:id/proxy", s.makeProxy)
	e.POST("/clips/:id/bin", s.bin(kindClip))
	e.POST("/readings/:id/bin", s.bin(kindReading))
	e.GET("/desk/:id", s.deskPage)
	e.GET("/book", s.bookPage)
	e.GET("/book/versions", s.bookVersions)
	e.GET("/book/versions/:version", s.bookVersion)
	e.POST("/book/versions/:version", s.restoreBook)
	e.GET("/book/versions/:version/export", s.exportBook)
	e.GET(searchPath, s.searchPage)
	e.GET("/jobs", s.jobsPage)
	e.POST("/jobs/:id/stop", s.stopJobForm)
	e.GET("/settings", s.settingsPage)
	e.POST("/settings", s.setSettings)
	e.POST("/settings/folders/forget", s.forgetFolder)
	e.POST("/settings/backup", s.backup)
	e.GET("/bin", s.binPage)
	e.POST("/bin/:kind/:id/restore", s.restore)
	e.POST("/acts/:id/undo", s.undo)

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
	e.GET("/api/readings/:id/events.csv", s.readingEvents)
	e.GET("/sessions/:id/events.csv", s.sessionEvents)
	e.GET("/dogs/:id/events.csv", s.dogEvents)
	e.GET("/api/clips/:id/frames", s.frames)

	e.GET(routeBook, s.apiBook)
	e.POST(routeBook, s.saveBook)
	e.POST(routeBookCheck, s.checkBook)
	e.POST(routeBookRead, s.readBookFile)
	e.POST("/api/book/ids", s.newCodeID)
	e.GET("/api/book/versions/:version", s.apiBookVersion)

	e.GET("/charts/:id/:file", s.chart)
	e.HEAD("/media/:id", s.media)
	e.GET("/media/:id", s.media)
	e.HEAD("/assets/*", s.asset)
	e.GET("/assets/*", s.asset)
}

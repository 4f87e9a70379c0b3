package annotate

import (
	"reflect"
	"slices"
)

// empty reports whether f says nothing.
func (f *Facts) empty() bool { return f == nil || *f == Facts{} }

// facts returns those facts of r that like sets, as they are now.
func (r *Reading) facts(like *Facts) *Facts {
	var f Facts
	if like.Window != nil {
		f.Window = new(r.Window)
	}
	if like.Chosen != nil {
		f.Chosen = new(r.Chosen)
	}
	if like.Coded != nil {
		f.Coded = new(r.Coded)
	}
	if like.Finished != nil {
		f.Finished = new(r.Finished)
	}
	if like.Book != nil {
		f.Book = r.Book
	}
	return &f
}

// setFacts sets what f sets; r must be a copy that nobody else holds.
func (r *Reading) setFacts(f *Facts) {
	if f == nil {
		return
	}
	if f.Window != nil {
		r.Window = *f.Window
	}
	if f.Chosen != nil {
		r.Chosen = *f.Chosen
	}
	if f.Coded != nil {
		r.Coded = *f.Coded
	}
	if f.Finished != nil {
		r.Finished = *f.Finished
	}
	if f.Book != nil {
		r.Book = f.Book
	}
}

// fewer returns those facts of f that aren't as r has them, nil if none.
func (f *Facts) fewer(r *Reading) *Facts {
	var d Facts
	for _, name := range f.differing(r) {
		switch name {
		case "window":
			d.Window = f.Window
		case "chosen":
			d.Chosen = f.Chosen
		case "coded":
			d.Coded = f.Coded
		case "finished":
			d.Finished = f.Finished
		case "book":
			d.Book = f.Book
		}
	}
	if d.empty() {
		return nil
	}
	return &d
}

// differing names the facts of f that aren't as r has them.
func (f *Facts) differing(r *Reading) []string {
	var names []string
	add := func(name string, differs bool) {
		if differs {
			names = append(names, name)
		}
	}
	if f == nil {
		return nil
	}
	add("window", f.Window != nil && *f.Window != r.Window)
	add("chosen", f.Chosen != nil && *f.Chosen != r.Chosen)
	add("coded", f.Coded != nil && ((*f.Coded == nil) != (r.Coded == nil) || !slices.Equal(*f.Coded, r.Coded)))
	add("finished", f.Finished != nil && *f.Finished != r.Finished)
	add("book", f.Book != nil && f.Book != r.Book && !reflect.DeepEqual(f.Book, r.Book))
	return names
}

// reaching returns f with its window, if it has one, widened to end at reach or
// later.
func (f *Facts) reaching(reach Micros) *Facts {
	if f == nil || f.Window == nil {
		return f
	}
	wide := *f
	wide.Window = &Span{f.Window.Start, max(f.Window.End, reach)}
	return &wide
}

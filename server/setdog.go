package server

import (
	"errors"
	"net/http"
	"time"

	"github.com/labstack/echo/v4"

	"afterwalk/annotate"
	"afterwalk/internal/library"
	"afterwalk/internal/store"
)

// setDog stores a dog's facts. A button that adds or takes out a row stores
// nothing: the page is shown again with what was typed and one row more or less.
// So it is with what is wrong beside the fields.
func (s *Server) setDog(c echo.Context) error {
	if err := s.parseForm(c); err != nil {
		return err
	}
	ctx := c.Request().Context()
	dog, err := s.cfg.Library.Dog(ctx, c.Param("id"))
	if err != nil {
		return err
	}
	book, err := s.book(ctx)
	if err != nil {
		return err
	}
	form := readFacts(c.Request().PostForm)
	if form.change(c.FormValue("do")) {
		form.setChannels(book)
		return s.showDog(c, http.StatusOK, dog, form)
	}
	form.setChannels(book)
	next, wrong := form.into(dog)
	renamed := next.Name != dog.Name
	if renamed && next.Name != "" {
		if form.SameName, err = s.dogNamed(c, dog.ID, next.Name); err != nil {
			return err
		}
		if form.SameName != nil {
			wrong = append(wrong, annotate.Problem{Field: "name", Message: "Another dog has this name.", Hint: "Choose another one, or merge the two."})
		}
	}
	began := s.cfg.Now().Add(-time.Second)
	if len(wrong) == 0 {
		if err := s.cfg.Library.SetDog(ctx, next); !errors.As(err, &wrong) {
			if err != nil {
				return err
			}
			to := "/dogs/" + dog.ID
			if !renamed {
				return c.Redirect(http.StatusSeeOther, to+"?saved=1#facts")
			}
			acts, err := s.cfg.Library.Acts(ctx, []string{library.ActRename}, began)
			if err != nil {
				return err
			}
			if len(acts) > 0 {
				to += "?act=" + acts[0].ID
			}
			return c.Redirect(http.StatusSeeOther, to)
		}
	}
	form.tell(wrong)
	return s.showDog(c, http.StatusUnprocessableEntity, dog, form)
}

// tell puts what is wrong beside the fields, and what belongs to none of them at
// the head of the form; the first field gets the focus.
func (f *factsForm) tell(wrong annotate.Problems) {
	ids := f.fieldIDs()
	var rest annotate.Problems
	var known annotate.Problems
	for _, p := range wrong {
		if ids[p.Field] {
			known = append(known, p)
			if f.Focus == "" {
				f.Focus = p.Field
			}
		} else {
			p.Field = ""
			rest = append(rest, p)
		}
	}
	f.Wrong, f.General = byField(known), byField(rest)[""]
}

// fieldIDs are the ids of all fields of the form.
func (f *factsForm) fieldIDs() map[string]bool {
	ids := map[string]bool{"name": true, "side": true, "notes": true, "wear_min": true}
	for i := range f.Devices {
		for _, part := range []string{"name", "channel", "max", "ceiling"} {
			ids[rowID("device", i, part)] = true
		}
	}
	for i := range f.Ceilings {
		for _, part := range []string{"scale", "level"} {
			ids[rowID("ceiling", i, part)] = true
		}
	}
	return ids
}

// dogNamed returns another dog that has a name, nil if none has.
func (s *Server) dogNamed(c echo.Context, besides, name string) (*store.Dog, error) {
	others, err := s.otherDogs(c.Request().Context(), besides)
	for _, d := range others {
		if store.NameKey(d.Name) == store.NameKey(name) {
			return &d.Dog, err
		}
	}
	return nil, err
}

package collect

import (
	"slices"
	"strings"

	"setline.example/checks"
	"setline.example/report/fieldsheet"
	"setline.example/schema/length"
)

// entry is what stands in a box: what was written, else what is printed there.
func (r *reader) entry(name string) (fieldsheet.Entry, bool) {
	if e, there := r.instead[name]; there {
		return e, true
	}
	if e, there := r.filled.Entries[name]; there {
		return e, true
	}
	text, printed := r.beside[name]
	return fieldsheet.Entry{Text: text}, printed
}

// writtenOver takes apart what was read over another length than the one printed
// beside its box: "1/64 over 24".
func (r *reader) writtenOver(a *checks.Ask) {
	for i := 1; i < len(a.Blanks); i++ {
		off, over := a.Name(&a.Blanks[i-1]), a.Name(&a.Blanks[i])
		if _, printed := r.beside[over]; !printed || !slices.Equal(a.Blanks[i].Steps, []string{"over"}) {
			continue
		}
		e := r.filled.Entries[off]
		if before, after, found := strings.Cut(e.Text, "over"); found {
			r.instead[off] = fieldsheet.Entry{Text: before, Page: e.Page, Line: e.Line}
			r.instead[over] = fieldsheet.Entry{Text: after, Page: e.Page, Line: e.Line}
		}
	}
}

// says reports whether what stands there says anything: what stood there before
// anybody filled it in does not.
func (r *reader) says(f filledBlank) bool {
	text, isText := f.value.(string)
	if f.blank.Usual == "" || f.blank.Kind != checks.LengthKind || !isText {
		return true
	}
	if _, printed := r.beside[f.name]; printed {
		_, instead := r.instead[f.name]
		return instead
	}
	usual, err1 := length.Parse(f.blank.Usual)
	typed, err2 := length.Parse(text)
	return err1 != nil || err2 != nil || usual != typed
}

package report

import (
	"bytes"
	"errors"
	"fmt"
	"strings"
	"testing"
	"testing/fstest"
	"text/template"

	"setline.example/checks/say"
	"setline.example/schema"
	"setline.example/templates"
)

// TestEndlessTemplates: a template that would never end, or fill the memory, is
// refused by whoever writes the report and by whoever verifies it.
func TestEndlessTemplates(t *testing.T) {
	long(t)
	found, faults, data := findings(t, annex)
	double := strings.Repeat(`{{$x = printf "%s%s" $x $x}}`, 40)
	for name, c := range map[string]struct {
		body string
		want error
	}{
		"a range of numbers":        {`{{range 1000000000000}}{{end}}`, errSteps},
		"ranges in ranges":          {`{{range 100000}}{{range 100000}}{{end}}{{end}}`, errSteps},
		"a template in itself":      {`{{define "a"}}{{range 3}}{{template "a"}}{{end}}{{end}}{{template "a"}}`, errDepth},
		"two that name each other":  {`{{define "a"}}{{template "b"}}{{end}}{{define "b"}}{{template "a"}}{{end}}{{template "a"}}`, errDepth},
		"a long chain of templates": {chain(200, 1), errDepth},
		"a tree of templates":       {chain(60, 2), errSteps},
		"deep ranges":               {strings.Repeat("{{range 1}}", 150) + strings.Repeat("{{end}}", 150), errDepth},
		"very many actions":         {strings.Repeat("{{range 1}}", 10001) + strings.Repeat("{{end}}", 10001), errActions},
		"much text":                 {`{{range 1000000}}` + strings.Repeat("many words ", 100) + `{{end}}`, errBody},
		"much text at once":         {`{{define "a"}}` + strings.Repeat("x", 1<<20) + `{{end}}{{range 100}}{{template "a"}}{{end}}`, errBody},
		"a text doubled":            {`{{$x := "many words"}}` + double, errMade},
		"a text doubled by print":   {`{{$x := "many words"}}` + strings.ReplaceAll(double, `printf "%s%s"`, "print"), errMade},
		"a text made long by html":  {`{{$x := "<<<<<<<<<<"}}` + strings.Repeat(`{{$x = html $x $x}}`, 40), errMade},
		"a great width":             {`{{printf "%1000000000d" 1}}`, errFormat},
		"a great precision":         {`{{printf "%.100000000f" 1.0}}`, errFormat},
		"a width that is given":     {`{{printf "%*d" 100000000 1}}`, errFormat},
		"a value used again":        {`{{printf "%[1]s%[1]s" "x"}}`, errFormat},
		"a call":                    {`{{call .Project}}`, errCall},
		"steps counted by the body": {`{{range 100000}}` + strings.Repeat(`{{if eq 1 2}}{{end}}`, 300) + `{{end}}`, errSteps},
	} {
		t.Run(name, func(t *testing.T) {
			if _, err := New(found, faults, data, options(fstest.MapFS{"turnover.md": {Data: []byte(c.body)}})); !errors.Is(err, c.want) {
				t.Errorf("%v", err)
			}
		})
	}
}

// TestBoundedIsTheSame: within the limits a template gives what it gives without.
func TestBoundedIsTheSame(t *testing.T) {
	found, faults, data := findings(t, annex)
	v, _ := newView(found, faults, nil, options(nil))
	body, err := (*Letterhead)(nil).body(say.Writer{}, "turnover.md", v, len(data))
	if err != nil {
		t.Fatal(err)
	}
	l, err := NewLetterhead(fstest.MapFS{"turnover.md": {Data: ourTemplate(t)}})
	if err != nil {
		t.Fatal(err)
	}
	if again, err := l.body(say.Writer{}, "turnover.md", v, len(data)); err != nil || !bytes.Equal(again, body) {
		t.Errorf("our own template gives something else within the limits: %v", err)
	}
	for source, want := range map[string]string{
		`{{printf "%-5s|%05.1f" "ab" 1.25}}`: "ab   |001.2", `{{print 1 2 "a"}}`: "1 2a", `{{html "<"}}`: "&lt;",
		`{{range 3}}{{.}}{{else}}none{{end}}`: "012", `{{with ""}}x{{else}}y{{end}}`: "y", `{{range $i, $x := slice "abc" 1}}{{end}}`: "",
	} {
		got, err := executeBounded("x", source, nil, 0)
		if want == "" {
			continue
		}
		if err != nil || string(got) != want {
			t.Errorf("%s: %q, %v", source, got, err)
		}
	}
}

// TestLargeJobs: what a template may take goes with the record, so that a job of
// thousands of rooms fits a firm's template as one room does, and a hostile
// template gains nothing by a small record.
func TestLargeJobs(t *testing.T) {
	long(t)
	found, faults, data := findings(t, annex)
	v, _ := newView(found, faults, nil, options(nil))
	// The same rooms many times are as many times the record.
	const times = 300
	rooms := v.Rooms
	v.Rooms = nil
	for range times {
		v.Rooms = append(v.Rooms, rooms...)
	}
	whole, m := *meterFor(schema.MaxBytes), meterFor(schema.MaxBytes)
	source, err := template.New("x").Funcs(m.functions()).Parse(string(ourTemplate(t)))
	if err != nil {
		t.Fatal(err)
	}
	for _, each := range source.Templates() {
		countBody(each.Root)
	}
	if err := source.Execute(&limited{meter: m}, v); err != nil {
		t.Fatal(err)
	}
	steps, bytes := whole.steps-m.steps, whole.written-m.written
	for _, record := range []int{times * len(data), times * len(data) / 2} { // as it is, and without its spaces
		if may := meterFor(record); 10*steps > 6*may.steps || 10*bytes > 6*may.written {
			t.Errorf("%d rooms in %d bytes: our template takes %d of %d steps and %d of %d bytes, expected less than two thirds",
				len(v.Rooms), record, steps, may.steps, bytes, may.written)
		}
	}
	// The largest record gives no template more than a bounded number of steps.
	if most := int64(meterFor(schema.MaxBytes).steps); most > 2<<30 {
		t.Errorf("%d steps", most)
	}
}

// TestTemplateTravels: whoever receives a report in the words of a firm's
// template makes it again without having been sent the template.
func TestTemplateTravels(t *testing.T) {
	long(t)
	found, faults, data := findings(t, annex)
	folder := fstest.MapFS{"turnover.md": {Data: []byte("In our words: {{.Project}}.\n")}, "logo.png": {Data: strip(64, 32)}}
	r, err := New(found, faults, data, options(folder))
	if err != nil {
		t.Fatal(err)
	}
	file := pdfOf(t, r)
	again, err := Rebuild(file)
	if err != nil || again.Differs != "" {
		t.Fatalf("%v %q", err, again.Differs)
	}
	if again.TemplateBy != found.Record.Planned.Project.Installer || len(again.TemplateSHA256) != 64 {
		t.Errorf("in the words of %q, SHA-256 %q", again.TemplateBy, again.TemplateSHA256)
	}
	if text := markdown(t, r); !strings.Contains(text, "is in the words of "+Text(again.TemplateBy).String()+"' template") || !strings.Contains(text, again.TemplateSHA256) {
		t.Error("the report does not say in whose words it is")
	}
	plain, err := New(found, faults, data, options(nil))
	if err != nil {
		t.Fatal(err)
	}
	if text := markdown(t, plain); strings.Contains(text, "in the words of") || strings.Contains(text, "template") {
		t.Error("a report in Setline's words says that it is in others'")
	}
	if again, err := Rebuild(pdfOf(t, plain)); err != nil || again.TemplateBy != "" {
		t.Errorf("%v %+v", err, again)
	}
}

// TestOtherTemplate: pages of another template than travels with them are found.
func TestOtherTemplate(t *testing.T) {
	long(t)
	found, faults, data := findings(t, annex)
	made := func(words string) *Report {
		r, err := New(found, faults, data, options(fstest.MapFS{"turnover.md": {Data: []byte(words)}}))
		if err != nil {
			t.Fatal(err)
		}
		return r
	}
	r := made("All is as it should be.\n")
	r.options.Letterhead = made("Nothing is.\n").options.Letterhead
	if again, err := Rebuild(pdfOf(t, r)); err != nil || again.Differs == "" {
		t.Errorf("%v %+v", err, again)
	}
}

func ourTemplate(t *testing.T) []byte {
	t.Helper()
	text, err := templates.FS.ReadFile(templates.Turnover)
	if err != nil {
		t.Fatal(err)
	}
	return text
}

// chain is n templates, each of which names the next so many times.
func chain(n, times int) string {
	var b strings.Builder
	for i := range n {
		fmt.Fprintf(&b, `{{define "t%d"}}%s{{end}}`, i, strings.Repeat(fmt.Sprintf(`{{template "t%d"}}`, i+1), times))
	}
	fmt.Fprintf(&b, `{{define "t%d"}}{{end}}{{template "t0"}}`, n)
	return b.String()
}

package findings

import (
	"bufio"
	"encoding/xml"
	"fmt"
	"io"
	"slices"

	"setline.example/checks"
	"setline.example/schema/plaintext"
)

// junit writes JUnit XML, which servers that show test results read: a suite
// for each room, a case for each rule and subject. It has no one standard;
// what is written fits the schema of the tasks that made the format known.
type junit struct {
	w *bufio.Writer
}

func newJUnit(w io.Writer) Writer { return &junit{bufio.NewWriter(w)} }

type junitSuite struct {
	XMLName  xml.Name `xml:"testsuite"`
	Name     string   `xml:"name,attr"`
	Tests    int      `xml:"tests,attr"`
	Failures int      `xml:"failures,attr"`
	Errors   int      `xml:"errors,attr"`
	Skipped  int      `xml:"skipped,attr"`
	// Properties give the lasting id of every rule by whose name a case is called.
	Properties *junitProperties `xml:"properties"`
	Cases      []junitCase      `xml:"testcase"`
}

type junitProperties struct {
	All []junitProperty `xml:"property"`
}

type junitProperty struct {
	Name  string `xml:"name,attr"`
	Value string `xml:"value,attr"`
}

type junitCase struct {
	Class   string      `xml:"classname,attr"`
	Name    string      `xml:"name,attr"`
	Skipped *string     `xml:"skipped"`
	Error   *junitFault `xml:"error"`
	Failure *junitFault `xml:"failure"`
	Out     string      `xml:"system-out,omitempty"`
}

type junitFault struct {
	Type    string `xml:"type,attr"`
	Message string `xml:"message,attr"`
	Text    string `xml:",chardata"`
}

func (j *junit) Begin(Run) error {
	_, err := j.w.WriteString(xml.Header + `<testsuites name="setline check">` + "\n")
	return err
}

func (j *junit) File(f *File) error {
	if f.Answer == CannotBeUsed {
		s := junitSuite{Name: plaintext.Visible(f.Path)}
		for _, p := range f.Problems {
			message := plaintext.Visible(p.Text())
			text := at(f.Path, p.Line, p.Column) + ": " + message + mended(plaintext.Visible(p.Mend))
			s.add(junitCase{Class: s.Name, Name: fmt.Sprintf("record can be used (%s)", at(f.Path, p.Line, p.Column)), Error: &junitFault{string(p.Kind), message, text}})
		}
		j.suite(&s)
		return j.w.Flush()
	}
	for _, room := range f.Rooms {
		s := junitSuite{Name: plaintext.Visible(f.Path + ": " + room.Name)}
		for i := range room.Results {
			s.add(caseOf(&room.Results[i]))
			s.names(&room.Results[i])
		}
		if room.Answer == NotReady && len(room.Counts) == 0 {
			s.add(junitCase{Class: "room", Name: "room is judged", Failure: &junitFault{"not observed", "no rule says anything of this room", ""}})
		}
		j.suite(&s)
	}
	return j.w.Flush()
}

// caseOf says an outcome in the words of test results. A case that is
// skipped is one that fails nobody and is not a pass either.
func caseOf(r *Result) junitCase {
	finding := plaintext.Visible(r.Finding)
	c := junitCase{Class: plaintext.Visible(r.Subject), Name: r.Rule}
	skip := func(why string) {
		why += ": " + finding
		c.Skipped = &why
	}
	switch {
	case r.Known:
		skip(string(r.Outcome) + ", known from the baseline")
	case !r.Outcome.Holds():
		text := finding
		if r.Remedy != "" {
			text += "\nto do: " + plaintext.Visible(r.Remedy)
		}
		c.Failure = &junitFault{string(r.Outcome), string(r.Outcome) + ": " + finding, text}
	case r.Outcome == checks.Conceded, r.Outcome == checks.NotApplicable:
		skip(string(r.Outcome))
	case r.Outcome == checks.Notice:
		c.Out = string(r.Outcome) + ": " + finding
	}
	return c
}

func (s *junitSuite) add(c junitCase) {
	s.Cases = append(s.Cases, c)
	s.Tests++
	switch {
	case c.Error != nil:
		s.Errors++
	case c.Failure != nil:
		s.Failures++
	case c.Skipped != nil:
		s.Skipped++
	}
}

// names notes the id of a result's rule, once in a suite.
func (s *junitSuite) names(r *Result) {
	p := junitProperty{"rule_id of " + r.Rule, r.RuleID}
	if s.Properties == nil {
		s.Properties = &junitProperties{}
	}
	if !slices.Contains(s.Properties.All, p) {
		s.Properties.All = append(s.Properties.All, p)
	}
}

func (j *junit) suite(s *junitSuite) {
	plain, err := xml.MarshalIndent(s, "  ", "  ")
	if err != nil {
		panic(err) // everything given to it can be encoded
	}
	j.w.Write(plain)
	j.w.WriteString("\n")
}

func (j *junit) End(Summary, int) error {
	j.w.WriteString("</testsuites>\n")
	return j.w.Flush()
}

// at names a place in a file as compilers do.
func at(path string, line, column int) string {
	if line == 0 {
		return plaintext.Visible(path)
	}
	return fmt.Sprintf("%s:%d:%d", plaintext.Visible(path), line, column)
}

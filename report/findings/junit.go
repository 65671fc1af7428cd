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
// for each room, and in it a case for each result that says more than that
// something holds. What passes, and what does not apply, is one case for each
// rule with the number of its results: a server that shows a hundred records
// would else be given millions of cases that nobody reads. The class of a case
// is its file, and no two cases of a suite have one name, by which servers
// know a case again. The format has no one standard; what is written fits the
// schema of the tasks that made it known.
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

	taken map[string]int // how many cases have asked for a name
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
			s.add(junitCase{Class: s.Name, Name: fmt.Sprintf("record can be used (%s)", at(f.Path, p.Line, p.Column)),
				Error: &junitFault{string(p.Kind), message, text}})
		}
		j.suite(&s)
		return j.w.Flush()
	}
	for i := range f.Rooms {
		j.suite(suiteOf(f.Path, &f.Rooms[i]))
	}
	return j.w.Flush()
}

// suiteOf makes the suite of a room of the record at path.
func suiteOf(path string, room *Room) *junitSuite {
	s := &junitSuite{Name: plaintext.Visible(path + ": " + room.Name)}
	class := plaintext.Visible(path)
	var counted tally
	for i := range room.Results {
		r := &room.Results[i]
		s.names(r)
		if !r.Known && (r.Outcome == checks.Pass || r.Outcome == checks.NotApplicable) {
			counted.add(r)
			continue
		}
		s.add(caseOf(class, r))
	}
	for _, c := range counted.cases {
		s.add(c.in(class, room.Name))
	}
	if room.Answer == NotReady && len(room.Counts) == 0 {
		s.add(junitCase{Class: class, Name: plaintext.Visible(room.Name) + ": room is judged",
			Failure: &junitFault{"not observed", "no rule says anything of this room", ""}})
	}
	return s
}

// tally counts, in the order in which they come, the results of a rule of
// which there is nothing more to say.
type tally struct {
	cases []counted
}

type counted struct {
	rule    string
	outcome checks.Outcome
	n       int
}

func (t *tally) add(r *Result) {
	for i := range t.cases {
		if c := &t.cases[i]; c.rule == r.Rule && c.outcome == r.Outcome {
			c.n++
			return
		}
	}
	t.cases = append(t.cases, counted{r.Rule, r.Outcome, 1})
}

func (c counted) in(class, room string) junitCase {
	says := fmt.Sprintf("%s: %d", c.outcome, c.n)
	made := junitCase{Class: class, Name: plaintext.Visible(room) + ": " + c.rule}
	if c.outcome == checks.NotApplicable {
		made.Name += ": " + string(c.outcome)
		made.Skipped = &says
	} else {
		made.Out = says
	}
	return made
}

// caseOf says an outcome in the words of test results. A case that is
// skipped is one that fails nobody and is not a pass either.
func caseOf(class string, r *Result) junitCase {
	finding := plaintext.Visible(r.Finding)
	c := junitCase{Class: class, Name: plaintext.Visible(r.Subject) + ": " + r.Rule}
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
	case r.Outcome == checks.Conceded:
		skip(string(r.Outcome))
	case r.Outcome == checks.Notice:
		c.Out = string(r.Outcome) + ": " + finding
	}
	return c
}

func (s *junitSuite) add(c junitCase) {
	c.Name = s.unique(c.Name)
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

// unique returns name, with a number behind it where the suite has it already.
func (s *junitSuite) unique(name string) string {
	if s.taken == nil {
		s.taken = map[string]int{}
	}
	s.taken[name]++
	if n := s.taken[name]; n > 1 {
		return s.unique(fmt.Sprintf("%s (%d)", name, n))
	}
	return name
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
	j.w.WriteString(plaintext.Brackets(string(plain), "&#91;"))
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

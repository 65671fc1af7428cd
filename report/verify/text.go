package verify

import (
	"fmt"
	"io"
	"slices"
	"strings"

	"setline.example/report"
	"setline.example/schema/plaintext"
)

// Text writes a verification for people: the verdict in the first line, then
// every check. name is the file's.
func (v *Verification) Text(w io.Writer, name string) error {
	var b strings.Builder
	fmt.Fprintf(&b, "%s: %s\n", plaintext.Visible(name), v.headline())
	words := map[Result]string{Good: "holds", Remark: "remark", Open: "NOT PROVEN", Bad: "DOES NOT", NotChecked: "not checked"}
	for _, c := range v.Checks {
		fmt.Fprintf(&b, "  %-11s  %s\n               %s\n", words[c.Result], plaintext.Visible(c.What), plaintext.Visible(c.Found))
	}
	if v.Mend != "" {
		fmt.Fprintf(&b, "  %-11s  %s\n", "to do", v.Mend)
	}
	_, err := io.WriteString(w, b.String())
	return err
}

// said is the answer as the first page has it: of how many rooms, where these are
// not all.
func (v *Verification) said() string {
	if v.Covers == nil {
		return v.Answer
	}
	c := report.Coverage{Rooms: v.Covers.Rooms, Others: v.Covers.Others}
	return c.Answer(v.Answer == roomsReady)
}

// headline is the verdict. Only a report that holds has an answer in it.
func (v *Verification) headline() string {
	switch v.Verdict {
	case Holds:
		said := "HOLDS; its answer is " + v.said()
		if v.Made != nil { // made again with this date it is the same
			said += " as of " + v.Made.Date
		}
		if v.Template != nil {
			said += ", in the words of " + plaintext.Visible(plaintext.Whose(v.Template.By)) + " template"
		}
		return said
	case Indeterminate:
		if slices.ContainsFunc(v.Checks, func(c Check) bool { return c.Code == OtherSoftware && c.Result == Open }) {
			return fmt.Sprintf("INDETERMINATE; up to revision %d everything holds, and its pages are not proven after that", v.HoldsTo)
		}
		if v.Made != nil {
			return fmt.Sprintf("INDETERMINATE; its pages are not proven; they are said to be by Setline %s, page format %d", v.Made.Version, v.Made.PageFormat)
		}
		return "INDETERMINATE; its pages are not proven"
	}
	return "DOES NOT HOLD"
}

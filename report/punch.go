package report

import (
	"encoding/csv"
	"io"
	"strconv"

	"setline.example/checks"
	"setline.example/checks/say"
	"setline.example/schema/plaintext"
)

// PunchCSV writes the punch list as CSV (RFC 4180) with a byte-order mark, by
// which spreadsheets know that it is UTF-8: what is left to put right, room by
// room, worst first, and then what is to be looked at. Where all is false, one
// row for each room says how much that is. A fault that nobody looked at again as
// it would be needed is a fault yet, and has its row.
func PunchCSV(w io.Writer, found *checks.Findings, faults []checks.Fault, all bool) error {
	return punchCSV(w, found, faults, all, nil)
}

// punchHeads name the columns of the punch list.
var punchHeads = []say.Words{"number", "room", "where", "rule", "result", "found", "value", "limit", "source", "to do", "since visit", "since date"}

// punchCSV writes the punch list in a language; nil is English.
func punchCSV(w io.Writer, found *checks.Findings, faults []checks.Fault, all bool, in say.Language) error {
	b := newViewer(found, faults)
	b.words.Language = in
	if _, err := io.WriteString(w, "\uFEFF"); err != nil {
		return err
	}
	out := csv.NewWriter(w)
	out.UseCRLF = true
	heads := make([]string, len(punchHeads))
	for i, h := range punchHeads {
		heads[i] = b.words.Words(h)
	}
	rows := [][]string{heads}
	var unseen [][]string
	for _, room := range found.Rooms {
		looked := len(unseen)
		for _, r := range room.Reasons() {
			row := b.punchRow(r)
			if r.Outcome == checks.NotObserved && row[0] == "" {
				unseen = append(unseen, row)
			} else {
				rows = append(rows, row)
			}
		}
		if n := len(unseen) - looked; n > 0 && !all {
			unseen = append(unseen[:looked], b.unseenRow(room.Room.Name, n))
		}
	}
	for _, row := range append(rows, unseen...) {
		for i, cell := range row {
			row[i] = plaintext.Inert(plaintext.Visible(cell))
		}
		if err := out.Write(row); err != nil {
			return err
		}
	}
	out.Flush()
	return out.Error()
}

// unseenRow says of a room how much nobody looked at.
func (b *viewer) unseenRow(room string, n int) []string {
	row := make([]string, len(punchHeads))
	row[1], row[4] = room, b.words.Words(checks.NotObserved.Words())
	row[5] = b.words.Text(say.Count(n, "%[1]s thing that nobody looked at; `setline punch --all` lists what",
		"%[1]s things that nobody looked at; `setline punch --all` lists what"))
	return row
}

func (b *viewer) punchRow(r checks.Result) []string {
	v := b.result(r)
	blank := func(t Text) string {
		if t == none {
			return ""
		}
		return string(t)
	}
	row := []string{
		blank(v.Number), r.Subject.Room, string(v.Where), b.words.Words(r.Rule.Title()), b.words.Words(r.Outcome.Words()), b.words.Text(r.Finding),
		blank(v.Value), blank(v.Limit), b.words.Text(r.Source), b.words.Text(r.Remedy), "", "",
	}
	visit := r.Visit
	if f, ok := b.open[[2]string{r.Rule.Name, r.Subject.String()}]; ok {
		visit = f.FoundOn
	}
	if visit >= 0 {
		row[10], row[11] = strconv.Itoa(b.number[visit]), string(b.rec.Measured.Visits[visit].Date)
	}
	return row
}

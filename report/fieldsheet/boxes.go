package fieldsheet

import (
	"encoding/json"
	"fmt"
	"strings"

	"setline.example/checks"
	"setline.example/checks/say"
	"setline.example/report/markup"
)

// Boxes are the boxes of a sheet in Markdown by what it calls them: by section,
// by words, and by answer.
type Boxes map[string]map[string]map[string]string

// Lines are what a sheet in Markdown says of its own lines. They travel with it,
// so that it is read back by what stands on it, whatever a later version, or
// another language, calls the same things.
type Lines struct {
	Boxes Boxes    `json:"boxes"`
	Again []string `json:"again,omitempty"` // the lines that say what did not hold, and what to do about it
}

// BoxesOf gives the boxes of asks as a writer calls them. Sheets that carry no
// lines, as they once did not, are in English.
func BoxesOf(asks []*checks.Ask, say say.Writer) Boxes {
	all := Boxes{}
	for _, a := range asks {
		section := AsRead(Section(a, say))
		if all[section] == nil {
			all[section] = map[string]map[string]string{}
		}
		for _, f := range FieldsOf(a) {
			words := AsRead(say.Text(Words(a, f.Blank)))
			if all[section][words] == nil {
				all[section][words] = map[string]string{}
			}
			all[section][words][AsRead(say.Text(checks.AnswerWords(f.Answer)))] = f.Name
		}
	}
	return all
}

// AsRead is a text as it comes back from Markdown.
func AsRead(s string) string { return Unescape(markup.Text(s).String()) }

// Unescape takes the backslashes of Markdown off (CommonMark 0.31, 2.4).
func Unescape(s string) string {
	const punctuation = "!\"#$%&'()*+,-./:;<=>?@[\\]^_`{|}~"
	var b strings.Builder
	for {
		i := strings.IndexByte(s, '\\')
		if i < 0 || i+1 == len(s) {
			b.WriteString(s)
			return b.String()
		}
		b.WriteString(s[:i])
		if strings.IndexByte(punctuation, s[i+1]) < 0 {
			b.WriteByte(s[i])
		}
		b.WriteByte(s[i+1])
		s = s[i+2:]
	}
}

// lines are those of a sheet.
func (s *Sheet) lines() (string, error) {
	l := Lines{Boxes: BoxesOf(s.asks(), s.Say)}
	for _, e := range s.Pages {
		for _, n := range e.Notes {
			l.Again = append(l.Again, saidAgain(n.Text))
		}
		for _, g := range e.Groups {
			for _, again := range g.Again {
				l.Again = append(l.Again, saidAgain(again))
			}
		}
	}
	data, err := json.Marshal(l)
	if err != nil {
		return "", fmt.Errorf("write into the sheet what its lines are: %w", err)
	}
	return pack(data)
}

// DecodeLines reads what a sheet says of its lines.
func DecodeLines(text string) (*Lines, error) {
	data, err := unpack(text)
	if err != nil {
		return nil, err
	}
	l := new(Lines)
	if err := json.Unmarshal(data, l); err != nil {
		return nil, err
	}
	return l, nil
}

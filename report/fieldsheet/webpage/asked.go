package webpage

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"strconv"
	"strings"
	"time"

	"setline.example/checks"
	"setline.example/report"
	"setline.example/report/drawing"
	"setline.example/report/fieldsheet"
	"setline.example/report/fieldsheet/live"
	"setline.example/report/markup"
	"setline.example/schema"
	"setline.example/schema/length"
)

// asked is what a page asks, in the form that it reads.
type asked struct {
	ID       string      `json:"id"`
	Title    string      `json:"title"`
	Job      string      `json:"job"`
	Asked    string      `json:"asked"`
	Advice   []string    `json:"advice"`
	Cautions []string    `json:"cautions"`
	CodeNote string      `json:"codeNote"`
	Unit     string      `json:"unit"`
	UnitWord string      `json:"unitWord"`
	Made     string      `json:"made"`
	Visit    []group     `json:"visit"`
	Rooms    []room      `json:"rooms"`
	Pages    []elevation `json:"pages"`
}

// room is what judges a room: the record of it, and the verdict while nothing is
// filled in, which a page shows before its program has started. Both are JSON in a
// text, so that of a large job a page reads only what it shows.
type room struct {
	Name   string `json:"name"`
	Prefix string `json:"prefix"` // of the names of its boxes
	Record string `json:"record"`
	First  string `json:"first,omitempty"`
}

type elevation struct {
	Room    string  `json:"room"`
	Name    string  `json:"name"`
	Title   string  `json:"title"`
	Drawing *sketch `json:"drawing,omitempty"`
	Groups  []group `json:"groups"`
}

// sketch is the elevation from the front, and where its units stand on it.
type sketch struct {
	SVG    string  `json:"svg"`
	Width  float64 `json:"width"`
	Height float64 `json:"height"`
	Foot   float64 `json:"foot"` // below the units and what is under them
	Places []spot  `json:"places"`
}

type spot struct {
	Of     string  `json:"of"`
	Filler bool    `json:"filler,omitempty"`
	Left   float64 `json:"left"`
	Top    float64 `json:"top"`
	Right  float64 `json:"right"`
	Bottom float64 `json:"bottom"`
}

type group struct {
	Of    string   `json:"of"`
	Kind  string   `json:"kind"`
	First string   `json:"first,omitempty"`
	Title string   `json:"title"`
	About string   `json:"about,omitempty"`
	Again []string `json:"again,omitempty"`
	Asks  []ask    `json:"asks"`
}

type ask struct {
	Name     string   `json:"name"`
	Words    string   `json:"words"`
	Short    string   `json:"short,omitempty"`
	Limit    string   `json:"limit,omitempty"`
	Key      string   `json:"key,omitempty"`
	Stands   string   `json:"stands,omitempty"`
	Optional bool     `json:"optional,omitempty"`
	Seen     bool     `json:"seen,omitempty"`
	Line     bool     `json:"line,omitempty"`
	Remark   bool     `json:"remark,omitempty"`
	Usual    bool     `json:"usual,omitempty"`
	Covers   int      `json:"covers,omitempty"`
	Names    []string `json:"names,omitempty"` // of what can be excepted
	Rules    []string `json:"rules,omitempty"`
	Blanks   []blank  `json:"blanks"`
}

type blank struct {
	Name    string   `json:"name"`
	Kind    string   `json:"kind"`
	Words   string   `json:"words,omitempty"`
	Usual   string   `json:"usual,omitempty"`
	Choices []choice `json:"choices,omitempty"`
}

// choice is an answer that can be ticked, or picked where it has no box.
type choice struct {
	Name  string `json:"name,omitempty"`
	Value string `json:"value"`
	Words string `json:"words"`
}

// writer makes what a page asks of a sheet.
type writer struct{ *fieldsheet.Sheet }

func (w *writer) asked() (*asked, error) {
	program, day := w.Made()
	a := &asked{
		Title: w.Say.Words("Field sheet"), Job: w.Job(), Asked: w.Asked(), Advice: w.Advice(),
		Unit: string(w.Say.Lengths), UnitWord: w.Say.Words(fieldsheet.UnitWord(w.Say.Lengths)),
		Made: program + ", " + day.UTC().Format(time.DateOnly), Visit: w.visit(),
	}
	if a.Unit == "" {
		a.Unit = string(length.InchSystem)
	}
	a.Cautions, a.CodeNote = cautions(markup.Cautions(w.Say))
	for i := range w.Pages {
		e := &w.Pages[i]
		if n := len(a.Rooms); n == 0 || a.Rooms[n-1].Name != e.Room {
			text, err := live.OfRoom(w.Record(), e.Room)
			if err != nil {
				return nil, err
			}
			a.Rooms = append(a.Rooms, room{Name: e.Room, Prefix: checks.PlaceName("rooms", e.Room) + "/", Record: string(text)})
		}
		a.Pages = append(a.Pages, w.elevation(e))
	}
	a.ID = id(a)
	return a, a.judge()
}

// judge says of each room what holds before anything is filled in. That is not
// asked, and does not name the sheet.
func (a *asked) judge() error {
	for i := range a.Rooms {
		first, err := live.FirstVerdict([]byte(a.Rooms[i].Record))
		if err != nil {
			return err
		}
		a.Rooms[i].First = string(first)
	}
	return nil
}

// id names a sheet by what it asks, so that a page finds what was kept of it.
func id(a *asked) string {
	text, err := json.Marshal(a)
	if err != nil {
		panic(err) // it is made of strings and numbers
	}
	sum := sha256.Sum256(text)
	return hex.EncodeToString(sum[:8])
}

// cautions takes the sentences out of the cautions in Markdown, and the note on
// local codes.
func cautions(text []byte) (all []string, note string) {
	for line := range strings.Lines(string(text)) {
		line = strings.TrimSpace(strings.TrimPrefix(strings.TrimSpace(line), ">"))
		plain := fieldsheet.Unescape(strings.ReplaceAll(line, "**", ""))
		switch {
		case strings.HasPrefix(line, "- "):
			all = append(all, plain[len("- "):])
		case strings.HasPrefix(line, "**") && !strings.HasSuffix(line, "**"):
			note = plain
		}
	}
	return all, note
}

// visit gathers what is asked of the visit under its headings.
func (w *writer) visit() []group {
	var all []group
	for i := range w.Visit {
		a := &w.Visit[i]
		title := fieldsheet.Section(a, w.Say)
		if n := len(all); n == 0 || all[n-1].Title != title {
			all = append(all, group{Of: title, Kind: "visit", Title: title})
		}
		g := &all[len(all)-1]
		g.Asks = append(g.Asks, w.ask(a, nil))
	}
	return all
}

func (w *writer) elevation(e *fieldsheet.Elevation) elevation {
	page := elevation{Room: e.Room, Name: e.Name, Title: w.Words(e.Title()), Drawing: w.sketch(e)}
	for i := range e.Groups {
		g := &e.Groups[i]
		out := group{Of: g.Subject.Item, Kind: string(g.Subject.Kind), First: g.Subject.First, Title: g.Title, About: g.About, Again: g.Again}
		if i == 0 {
			out.Again = append(notesOf(e), g.Again...)
		}
		for _, a := range g.Asks {
			out.Asks = append(out.Asks, w.ask(a, e))
		}
		page.Groups = append(page.Groups, out)
	}
	return page
}

// notesOf are what stands over all that is asked of an elevation.
func notesOf(e *fieldsheet.Elevation) (all []string) {
	for _, n := range e.Notes {
		all = append(all, n.Text)
	}
	return all
}

// sketchWidth is how wide a drawing is before it is made wider for its units to
// stand in one row, and mostWidth how wide at most, in points.
const (
	sketchWidth = 400
	mostWidth   = 14400
)

// sketch draws an elevation as one picture, nil where it cannot be one.
func (w *writer) sketch(e *fieldsheet.Elevation) *sketch {
	var d drawing.Drawing
	for width := float64(sketchWidth); ; width = float64(width * 2) {
		all := report.FrontDrawings(e.Layout, w.Say, width)
		if d = all[0]; len(all) == 1 || width > mostWidth {
			break
		}
	}
	if len(d.Units) == 0 {
		return nil
	}
	s := &sketch{SVG: string(d.SVG()), Width: d.Width, Height: d.Height}
	_, after, _ := strings.Cut(s.SVG, "\n") // an XML declaration has no place in a page
	s.SVG = after
	for _, u := range d.Units {
		s.Foot = max(s.Foot, u.Bottom)
		s.Places = append(s.Places, spot{u.Tag, u.Filler, u.Left, u.Top, u.Right, u.Bottom})
	}
	return s
}

// stands name where asks stand on a sheet.
var stands = map[checks.Stand]string{checks.AtCorner: "corner", checks.UnderCorner: "corner", checks.AmongFronts: "front"}

func (w *writer) ask(a *checks.Ask, e *fieldsheet.Elevation) ask {
	out := ask{
		Name: a.Name(nil), Words: w.Words(a.Words), Short: w.Words(a.Short), Limit: w.Words(fieldsheet.LimitShown(a)),
		Key: a.Key, Stands: stands[a.Thing.Stands], Optional: a.Optional || len(a.Rules) == 0, Seen: a.SeenOn != "",
		Line: a.Thing.Stands == checks.AsLine, Remark: a.Thing.Stands == checks.AsRemark, Covers: a.Covers,
	}
	if a.Covers > 0 {
		out.Names = excepted(a.Key, e)
	}
	for _, r := range a.Rules {
		out.Rules = append(out.Rules, r.ID)
	}
	for i := range a.Blanks {
		if a.Blanks[i].Printed {
			continue // it stands in the words of what it goes with
		}
		b := w.blank(a, &a.Blanks[i])
		out.Usual = out.Usual || b.Usual != ""
		out.Blanks = append(out.Blanks, b)
	}
	return out
}

func (w *writer) blank(a *checks.Ask, b *checks.Blank) blank {
	out := blank{Name: a.Name(b), Kind: string(b.Kind), Words: w.Words(b.Words), Usual: fieldsheet.UsualText(b, w.Say.Lengths)}
	for _, f := range fieldsheet.FieldsOf(a) {
		if f.Tick && f.Blank == b {
			out.Choices = append(out.Choices, choice{f.Name, f.Answer, w.Words(checks.AnswerWords(f.Answer))})
		}
	}
	if out.Choices == nil {
		for _, c := range b.Choices {
			out.Choices = append(out.Choices, choice{"", c, w.Words(checks.AnswerWords(c))})
		}
	}
	return out
}

// excepted lists what may be excepted from what is said of all of an elevation.
func excepted(of string, e *fieldsheet.Elevation) (names []string) {
	if e == nil {
		return nil
	}
	if of == schema.SaidOfClosing {
		for i := range schema.ClosesOut() {
			names = append(names, strconv.Itoa(i+1)) // as its words number them
		}
		return names
	}
	for i, u := range e.Layout.Units {
		joined := i > 0 && e.Layout.Plan.Units[i].SpaceBefore == nil
		switch filler := u.Cabinet == nil; of {
		case "labels", "in_sight":
			names = append(names, u.Tag)
		case "held_from", "top_on", "comes_off":
			if filler {
				names = append(names, u.Tag)
			}
		case "fastened":
			if joined {
				names = append(names, schema.JointName(e.Layout.Units[i-1].Tag, u.Tag))
			}
			if filler {
				names = append(names, u.Tag)
			}
		default:
			if !filler {
				names = append(names, u.Tag)
			}
		}
	}
	return names
}

// encode writes what is asked as JSON.
func (a *asked) encode() ([]byte, error) {
	var b bytes.Buffer
	e := json.NewEncoder(&b)
	e.SetEscapeHTML(false)
	err := e.Encode(a)
	return b.Bytes(), err
}

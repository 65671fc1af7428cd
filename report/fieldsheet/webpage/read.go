package webpage

import (
	"bytes"
	"crypto/sha256"
	"encoding/base64"
	"encoding/hex"
	"errors"
	"fmt"
	"io"
	"maps"
	"slices"
	"strings"
	"unicode"

	"github.com/go-json-experiment/json"
	"github.com/go-json-experiment/json/jsontext"
	"golang.org/x/net/html"
	"setline.example/report/fieldsheet"
	"setline.example/report/pdf/pixels"
	"setline.example/schema"
)

// Limits on a filled page, far above what one holds.
const (
	mostPhotos  = 500
	mostSide    = 2000 // pixels of a photograph; a page makes them 1600
	mostAnswers = 200_000
	answersForm = 1
)

// answers are those of a page, as it wrote them.
type answers struct {
	Form    int                       `json:"setline_answers"`
	Entries map[string]jsontext.Value `json:"entries"`
	Stands  []string                  `json:"stands"`
	Photos  []struct {
		ID      string `json:"id"`
		Room    string `json:"room"`
		Of      string `json:"of"`
		Caption string `json:"caption"`
		By      string `json:"by"`
		Type    string `json:"type"`
	} `json:"photos"`
}

// Read reads the answers and the photographs of a page that was filled in and
// saved, by its own button or as a browser saves pages. name is how messages call
// the file. Nothing else in it is looked at. The error is [schema.Problems].
func Read(name string, data []byte) (*fieldsheet.Filled, error) {
	refused := func(kind schema.ProblemKind, found, expected string) error {
		return schema.Problems{fieldsheet.NotSheet(kind, name, found, expected)}
	}
	if len(data) > fieldsheet.MaxFilled {
		return nil, refused(schema.TooLarge, fmt.Sprintf("%d MiB", len(data)>>20), "a field sheet, which is far smaller")
	}
	blocks, err := blocksOf(data)
	if err != nil {
		return nil, refused(schema.Malformed, "a page that cannot be read ("+err.Error()+")", "a field sheet as it was saved")
	}
	text, ok := blocks[answersBlock]
	if !ok {
		return nil, refused(schema.OtherFile, "a page without answers of a field sheet", "a field sheet as a page")
	}
	a, no := answersIn(text)
	if no != nil {
		no.File = name
		return nil, schema.Problems{*no}
	}
	f := &fieldsheet.Filled{File: name, Plan: strings.Join(strings.Fields(blocks[planBlock]), ""), Entries: map[string]fieldsheet.Entry{}, AsRead: a.Stands}
	for _, box := range slices.Sorted(maps.Keys(a.Entries)) {
		e, ok := entryOf(box, a.Entries[box])
		if !ok {
			p := fieldsheet.NotSheet(schema.Malformed, name, "what no box of a page holds", "text, or true where a tick belongs")
			p.Box, p.Mend = fieldsheet.NameShown(box), "open the page, look at the box, and save it again"
			return nil, schema.Problems{p}
		}
		f.Entries[box] = e
	}
	var wrong schema.Problems
	for i, p := range a.Photos {
		photo := fieldsheet.Photo{Room: p.Room, Of: p.Of, Caption: p.Caption, By: p.By}
		if err := take(&photo, blocks, p.ID, i); err != nil {
			q := fieldsheet.NotSheet(schema.Malformed, name, fmt.Sprintf("photograph %d of %s: %v", i+1, strings.TrimSuffix(p.Room+"/"+p.Of, "/"), err), "the picture as it was taken")
			q.Mend = "take it away on the page, or take it again, and save the page"
			wrong = append(wrong, q)
		}
		f.Photos = append(f.Photos, photo)
	}
	if len(wrong) > 0 {
		return nil, wrong
	}
	return f, nil
}

// answersIn reads the block of answers.
func answersIn(text string) (*answers, *schema.Problem) {
	var form struct {
		Form int `json:"setline_answers"`
	}
	var a answers
	err := json.Unmarshal([]byte(text), &form)
	if err == nil && form.Form > answersForm {
		p := fieldsheet.NotSheet(schema.Malformed, "", fmt.Sprintf("answers in form %d", form.Form), fmt.Sprintf("form %d, which this version reads", answersForm))
		p.Mend = "collect it with the version that made the sheet, or a later one"
		return nil, &p
	}
	if err == nil {
		err = json.Unmarshal([]byte(text), &a, json.RejectUnknownMembers(true))
	}
	if err != nil || a.Form != answersForm || len(a.Entries) > mostAnswers {
		p := fieldsheet.NotSheet(schema.Malformed, "", "answers that cannot be read"+after(err), "the answers as the page wrote them")
		return nil, &p
	}
	return &a, nil
}

// after says after how many bytes of the answers something is wrong, where that is
// known.
func after(err error) string {
	var syntactic *jsontext.SyntacticError
	var semantic *json.SemanticError
	switch {
	case errors.As(err, &syntactic):
		return fmt.Sprintf(", from byte %d of them on", syntactic.ByteOffset+1)
	case errors.As(err, &semantic):
		return fmt.Sprintf(", from byte %d of them on", semantic.ByteOffset+1)
	}
	return ""
}

// entryOf is a box: a text, or true where the name is that of a tick; false where it
// is neither.
func entryOf(box string, value jsontext.Value) (e fieldsheet.Entry, ok bool) {
	if strings.Contains(box, "=") { // as ticks are named, and no box else
		e.On = value.Kind() == 't'
		return e, e.On
	}
	return e, value.Kind() == '"' && json.Unmarshal(value, &e.Text) == nil
}

var (
	errTwice    = errors.New("it has two blocks of one name")
	errNoBlock  = errors.New("it is not in the page")
	errOther    = errors.New("it was changed since it was taken")
	errNotJPEG  = errors.New("it is no JPEG that a report can show")
	errCut      = errors.New("it cannot be drawn whole: part of it is missing or broken")
	errTooMany  = fmt.Errorf("more than %d", mostPhotos)
	errUnpacked = errors.New("it cannot be unpacked")
)

// blocksOf gives the text of the blocks of a page that are read, by their names.
// Where one of them stands twice it is not known which counts.
func blocksOf(data []byte) (map[string]string, error) {
	blocks := map[string]string{}
	z := html.NewTokenizer(bytes.NewReader(data))
	z.SetMaxBuf(fieldsheet.MaxFilled)
	id := "" // of the block that is open
	for {
		switch z.Next() {
		case html.ErrorToken:
			if err := z.Err(); !errors.Is(err, io.EOF) {
				return nil, err
			}
			return blocks, nil
		case html.StartTagToken:
			if id = blockName(z); id == "" {
				continue
			}
			if _, twice := blocks[id]; twice {
				return nil, errTwice
			}
			blocks[id] = ""
		case html.TextToken:
			if id != "" {
				blocks[id] += string(z.Raw()) // of a script, in which nothing is escaped
			}
		default:
			id = ""
		}
	}
}

// blockName is the name of the block that a tag begins, "" where it is none that
// is read.
func blockName(z *html.Tokenizer) string {
	name, more := z.TagName()
	if string(name) != "script" {
		return ""
	}
	for more {
		var key, value []byte
		key, value, more = z.TagAttr()
		id := string(value)
		if string(key) == "id" && (id == planBlock || id == answersBlock || strings.HasPrefix(id, photoBlock)) {
			return id
		}
	}
	return ""
}

// take finds a photograph in its block, and names it. Its SHA-256 is computed
// here, and has to be that by which the page tied it to its place.
func take(p *fieldsheet.Photo, blocks map[string]string, id string, n int) error {
	text, ok := blocks[photoBlock+id]
	if !ok {
		return errNoBlock
	}
	if n >= mostPhotos {
		return errTooMany
	}
	data, err := base64.StdEncoding.DecodeString(text)
	if err != nil {
		return errUnpacked
	}
	sum := sha256.Sum256(data)
	p.SHA256 = hex.EncodeToString(sum[:])
	if p.SHA256 != id {
		return errOther
	}
	switch _, kind, err := pixels.Decode(data, pixels.Limits{Pixels: mostSide * mostSide, Side: mostSide}); {
	case errors.Is(err, pixels.ErrBroken):
		return errCut
	case err != nil || kind != pixels.JPEG:
		return errNotJPEG
	}
	p.Data, p.File = data, fileOf(p)
	return nil
}

// longestWord is how much of what a photograph shows stands in its file's name.
const longestWord = 40

// fileOf names the file of a photograph by what it shows and its SHA-256.
func fileOf(p *fieldsheet.Photo) string {
	word := func(s string) string {
		all := []rune(strings.Map(func(r rune) rune {
			if unicode.IsLetter(r) || unicode.IsDigit(r) || r == '-' || r == '+' {
				return r
			}
			return '_'
		}, s))
		return string(all[:min(len(all), longestWord)])
	}
	names := []string{word(p.Room), word(p.Of), p.SHA256[:12]}
	return strings.Join(slices.DeleteFunc(names, func(s string) bool { return s == "" }), "-") + ".jpg"
}

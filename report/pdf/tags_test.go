package pdf

import (
	"bytes"
	"fmt"
	"slices"
	"strings"
	"testing"

	"setline.example/report/pdf/object"
	"setline.example/report/pdf/structure"
)

// crossed is a figure with text in it.
type crossed struct{}

func (crossed) Size() (w, h float64) { return 90, 90 }

func (crossed) Paint(c *Canvas) {
	c.Line(1, 0, 0, Point{0, 0}, Point{90, 90})
	c.Text(Point{10, 10}, Left, 9, false, "in the square")
	c.Part(20, 20, 20, 20).Fill(0.5, Point{0, 0}, Point{20, 0}, Point{20, 20})
}

// boxes is a piece of a form with a figure in it.
type boxes struct{ name string }

func (boxes) Size() (w, h float64) { return 300, 100 }

func (boxes) Reads() {}

func (b boxes) Paint(c *Canvas) {
	crossed{}.Paint(c.Figure(200, 0, 90, 90, "a square beside boxes"))
	c.Heading(Point{0, 10}, Left, 9, true, "Boxes")
	c.Text(Point{0, 30}, Left, 9, false, "Width")
	c.Field(50, 20, 60, 15, Field{Name: b.name, Tooltip: "Width, in inches"})
	c.Text(Point{0, 60}, Left, 9, false, "Good")
	c.Field(50, 50, 12, 12, Field{Kind: TickField, Name: b.name + "-good", Tooltip: "Good: yes"})
	c.Field(0, 0, 1, 1, Field{Name: b.name + "-hidden", Hidden: true})
}

// readDocument has one of everything that is read, over several pages.
func readDocument() Document {
	rows := strings.Repeat("| a cell whose words take more than one line of its narrow column, so that they break somewhere | [b](https://example.org/) | |\n", 60)
	tall := "| " + strings.Repeat("so much in one cell that no page holds it whole ", 300) + " | b | c |\n"
	return Document{
		Title: "What is read", Lang: "en", HeaderLeft: "left", HeaderRight: "right", FooterLeft: "foot", HeaderSection: true,
		Parts: [][]byte{[]byte("# One\n\nA paragraph with a [link that is so long that it is broken somewhere, because it goes on and on, and on a second line still](#two), and words behind it.\\\nA line of its own.\n\n" +
			"> ## In a box\n>\n> - an item\n> - another\n>\n>   1. below it\n>\n>      with a paragraph\n\n" +
			"![a square](square)\n\n![left](square) Words below.\n\n![right](square) Others.\n\n" +
			"| A | [B](https://example.org/head) | |\n|---|--:|---|\n| all of these | | |\n" + rows + tall + "\n#### Skipped\n\ntext\n\n## Two\n\n    code\n\n---\n\n<div>\n\n![boxes](boxes)\n\n- \n- 2\n"),
			[]byte("### Deeper\n\n" + strings.Repeat("word ", 3000) + "\n\n|" + strings.Repeat("c|", 40) + "\n|" + strings.Repeat("-|", 40) + "\n|" + strings.Repeat("x|", 40) + "\n\n# \n\n![boxes](more)\n")},
		Pictures: map[string]Picture{"square": crossed{}, "boxes": boxes{"first"}, "more": boxes{"second"}},
	}
}

// TestStructure reads a document along its structure: all that is on its pages
// is there once, in the order of the Markdown, and keeps the rules.
func TestStructure(t *testing.T) {
	file := write(t, readDocument())
	d, err := structure.Read(file)
	if err != nil {
		t.Fatal(err)
	}
	for _, problem := range d.Problems() {
		t.Error(problem)
	}
	var said []string
	counts := map[string]int{}
	d.Root.Each(func(e *structure.Element) {
		counts[e.Role]++
		switch e.Role {
		case "TD", "TH", "LI", "LBody", "Div", "Document", "L", "Table", "TR":
		default:
			said = append(said, fmt.Sprintf("%s %.40s", e.Role, d.Text(e)))
		}
	})
	want := []string{
		"H1 One", "P A paragraph with a link that is so long ", "Link link that is so long that it is broken s",
		"H2 In a box", "Lbl •", "P an item", "Lbl •", "P another", "Lbl 1.", "P below it", "P with a paragraph",
		"Figure a square", "Figure left", "P Words below.", "Figure right", "P Others.",
	}
	if !slices.Equal(said[:len(want)], want) {
		t.Errorf("found\n%q\nexpected\n%q", said[:len(want)], want)
	}
	for role, n := range map[string]int{"Table": 1, "TR": 63, "TH": 3, "TD": 1 + 61*3, "Form": 4, "L": 3, "LI": 5, "H1": 1, "Figure": 5} {
		if counts[role] != n {
			t.Errorf("found %d of %s, expected %d", counts[role], role, n)
		}
	}
	last := said[len(said)-8:]
	if want := []string{"Figure a square beside boxes", "H4 Boxes", "P Width", "Form Width, in inches", "P Good", "Form Good: yes"}; !slices.Equal(last[len(last)-6:], want) {
		t.Errorf("the boxes are read as %q", last)
	}
	checkSound(t, file)
}

// TestWordsEndAtLines: who reads the lines of a paragraph one behind the other
// finds every blank of it (14.8.2.5).
func TestWordsEndAtLines(t *testing.T) {
	text := strings.TrimSpace(strings.Repeat("some words of several lengths, and *slanted* **bold** ones ", 60))
	plain := strings.NewReplacer("*", "").Replace(text)
	d, err := structure.Read(write(t, Document{Title: "t", Lang: "en", Parts: [][]byte{[]byte(text)}}))
	if err != nil {
		t.Fatal(err)
	}
	if got := d.Text(d.Root); got != plain {
		t.Errorf("found %q\nexpected %q", got, plain)
	}
}

// TestStructureIsHeld: the reader sees what is wrong.
func TestStructureIsHeld(t *testing.T) {
	whole := write(t, Document{Title: "t", Lang: "en", Parts: [][]byte{[]byte("# One\n\n## Two\n\n| a |\n|-|\n| b |\n\n![c](square)\n\n[d](https://example.org/)\n")}, Pictures: map[string]Picture{"square": crossed{}}})
	content := func(old, new string) func(f *object.File) []object.Item {
		return func(f *object.File) []object.Item {
			items := itemsOf(f)
			for i, it := range items {
				if it.Value.Get("Filter").IsName("FlateDecode") && len(it.Value.Keys) == 2 {
					plain, err := object.Unpack(it.Stream, 1<<20)
					if err == nil && bytes.Contains(plain, []byte(old)) {
						items[i].Stream = bytes.Clone(object.Pack(bytes.Replace(plain, []byte(old), []byte(new), 1)))
					}
				}
			}
			return items
		}
	}
	tree := func(old, new string) func(f *object.File) []object.Item {
		return func(f *object.File) []object.Item {
			items := itemsOf(f)
			for i, it := range items {
				if source := it.Value.Source(); it.Stream == nil && strings.Contains(source, old) {
					v, err := object.Parse([]byte(strings.Replace(source, old, new, 1)))
					if err != nil {
						t.Fatal(err)
					}
					items[i].Value = v
					return items
				}
			}
			t.Fatalf("no object has %q", old)
			return nil
		}
	}
	for _, c := range []struct {
		name   string
		change func(f *object.File) []object.Item
		want   string
	}{
		{"nothing", func(f *object.File) []object.Item { return itemsOf(f) }, ""},
		{"text outside", content("/H1 <</MCID 0>> BDC\n", "/H1 <</MCID 0>> BDC EMC\n"), "belongs to nothing"},
		{"another role", content("/H1 <</MCID 0>>", "/P <</MCID 0>>"), "is marked P and stands in a H1"},
		{"a mark that does not end", content("EMC\n", ""), "does not nest"},
		{"the same identifier", content("/H2 <</MCID 1>>", "/H2 <</MCID 0>>"), "there are"},
		{"a heading that skips", tree("/S /H2", "/S /H3"), "a heading of level 3 follows one of level 1"},
		{"no head cells", tree("/S /TH", "/S /TD"), "a TD is in row 1"},
		{"no scope", tree(" /A << /O /Table /Scope /Column >>", ""), "does not say what it is the head of"},
		{"a figure without words", tree(" /Alt (c)", ""), "not told in words"},
		{"a link without words", tree(" /Contents (https://example.org/)", ""), "does not say where it leads"},
		{"no language", tree(" /Lang (en)", ""), "its language"},
		{"tabs as they come", tree(" /Tabs /S", ""), "not tabbed"},
		{"another parent", tree("/StructParent ", "/StructParent 1"), "not where the tree of parents has it"},
	} {
		t.Run(c.name, func(t *testing.T) {
			f, err := object.Read(whole)
			if err != nil {
				t.Fatal(err)
			}
			d, err := structure.Read(object.Write(c.change(f), f.Revisions[0].Trailer))
			said := fmt.Sprint(err)
			if err == nil {
				said = strings.Join(d.Problems(), "\n")
			}
			if c.want == "" && said != "" || !strings.Contains(said, c.want) {
				t.Errorf("found %q, expected %q", said, c.want)
			}
		})
	}
}

// itemsOf are the objects of a file, to be written again.
func itemsOf(f *object.File) []object.Item {
	r := f.Revisions[0]
	items := make([]object.Item, len(r.Numbers()))
	for _, n := range r.Numbers() {
		o, _ := r.Object(n)
		items[n-1] = object.Item{Value: o.Value}
		if o.Stream {
			items[n-1].Stream = f.Data[o.From:o.To]
		}
	}
	return items
}

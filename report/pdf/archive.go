package pdf

import (
	"encoding/xml"
	"path/filepath"
	"strings"
	"time"

	"setline.example/report/pdf/object"
)

// Relation is what an attachment is to the document (ISO 32000-2, 7.11.3, which
// ISO 19005-3 took up first).
type Relation string

// The relations that [Attachment] knows.
const (
	Source     Relation = "Source"     // what the document was made from
	Data       Relation = "Data"       // what stands behind what is seen
	Supplement Relation = "Supplement" // what adds to it
)

// mediaTypes are those of files by the ends of their names.
var mediaTypes = map[string]string{
	".json": "application/json", ".md": "text/markdown", ".txt": "text/plain",
	".csv": "text/csv", ".jpg": "image/jpeg", ".png": "image/png",
}

// mediaType is what kind of file an attachment is (RFC 6838).
func mediaType(name string) string {
	if t := mediaTypes[strings.ToLower(filepath.Ext(name))]; t != "" {
		return t
	}
	return "application/octet-stream"
}

// addMetadata adds what the information dictionary says as XMP too (14.3.2, ISO
// 16684-1), for programs that keep files, and returns its object's number. It is
// not packed: they look for it without knowing what a PDF is.
func (f *file) addMetadata(d Document) int {
	dict := object.NewDict("Metadata")
	dict.Add("Subtype", object.NameOf("XML"))
	return f.addPlain(dict, metadata(d))
}

func metadata(d Document) []byte {
	var b strings.Builder
	b.WriteString("<?xpacket begin=\"\ufeff\" id=\"W5M0MpCehiHzreSzNTczkc9d\"?>\n" +
		`<x:xmpmeta xmlns:x="adobe:ns:meta/">` + "\n" +
		`<rdf:RDF xmlns:rdf="http://www.w3.org/1999/02/22-rdf-syntax-ns#">` + "\n" +
		`<rdf:Description rdf:about="" xmlns:dc="http://purl.org/dc/elements/1.1/" xmlns:xmp="http://ns.adobe.com/xap/1.0/">` + "\n" +
		"<dc:format>application/pdf</dc:format>\n")
	// Text in a language, a list in order, a list in none, and plain text.
	write := func(before, text, after string) {
		if text != "" {
			b.WriteString(before)
			_ = xml.EscapeText(&b, []byte(text)) // what XML cannot hold becomes U+FFFD
			b.WriteString(after + "\n")
		}
	}
	write(`<dc:title><rdf:Alt><rdf:li xml:lang="x-default">`, d.Title, `</rdf:li></rdf:Alt></dc:title>`)
	write(`<dc:description><rdf:Alt><rdf:li xml:lang="x-default">`, d.Subject, `</rdf:li></rdf:Alt></dc:description>`)
	write(`<dc:creator><rdf:Seq><rdf:li>`, d.Author, `</rdf:li></rdf:Seq></dc:creator>`)
	write(`<dc:language><rdf:Bag><rdf:li>`, d.Lang, `</rdf:li></rdf:Bag></dc:language>`)
	write(`<xmp:CreatorTool>`, d.Creator, `</xmp:CreatorTool>`)
	if !d.Date.IsZero() {
		at := d.Date.UTC().Format(time.RFC3339)
		write(`<xmp:CreateDate>`, at, `</xmp:CreateDate>`)
		write(`<xmp:ModifyDate>`, at, `</xmp:ModifyDate>`)
	}
	b.WriteString("</rdf:Description>\n</rdf:RDF>\n</x:xmpmeta>\n<?xpacket end=\"r\"?>")
	return []byte(b.String())
}

// addIntent says which colours are meant (14.11.5), and returns the list of the
// one intent. Its /S names the kind of intent that archives ask for; it is no
// claim to be one of their files.
func (f *file) addIntent() object.Value {
	dict := object.NewDict("")
	dict.Add("N", object.Whole(3))
	profile := f.addItem(object.Item{Value: dict, Plain: srgb()})
	d := object.NewDict("OutputIntent")
	d.Add("S", object.NameOf("GTS_PDFA1"))
	d.Add("OutputConditionIdentifier", object.Bytes("sRGB"))
	d.Add("RegistryName", object.Bytes("http://www.color.org"))
	d.Add("Info", object.Bytes("sRGB, IEC 61966-2-1"))
	d.Add("DestOutputProfile", object.RefTo(profile))
	return object.List(object.RefTo(f.add(d)))
}

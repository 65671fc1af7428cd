package verify

import (
	"bytes"
	"encoding/binary"
	"errors"
	"fmt"
	"slices"
	"strings"
	"testing"
	"time"
	"unicode/utf16"

	"setline.example/report"
	"setline.example/report/pdf/object"
	"setline.example/report/sign"
)

// rewritten writes a report's objects again, as change leaves them; it gets
// streams unpacked. So could any version of Setline have written it, and anyone.
func rewritten(t testing.TB, file []byte, change func(dict *object.Value, stream []byte) []byte) []byte {
	t.Helper()
	f, err := object.Read(file)
	if err != nil {
		t.Fatal(err)
	}
	r := f.Revisions[0]
	items := make([]object.Item, len(r.Numbers()))
	for _, n := range r.Numbers() {
		o, _ := r.Object(n)
		it := object.Item{Value: o.Value}
		if o.Stream {
			it.Stream = file[o.From:o.To]
			if o.Get("Filter").IsName("FlateDecode") {
				if it.Stream, err = object.Unpack(it.Stream, object.MostUnpacked); err != nil {
					t.Fatal(err)
				}
			}
		}
		it.Stream = change(&it.Value, it.Stream)
		if o.Get("Filter").IsName("FlateDecode") {
			it.Stream = bytes.Clone(object.Pack(it.Stream))
		}
		items[n-1] = it
	}
	return object.Write(items, r.Trailer)
}

// onPages is text as pages show it.
func onPages(s string) []byte {
	var b []byte
	for _, u := range utf16.Encode([]rune(s)) {
		b = binary.BigEndian.AppendUint16(b, u)
	}
	return b
}

// another claims that a report is of another format, with changes to what streams hold.
func another(t testing.TB, file []byte, format string, changes ...[2]string) []byte {
	t.Helper()
	made := 0
	out := rewritten(t, file, func(dict *object.Value, stream []byte) []byte {
		if creator := object.DecodeText(dict.Get("Creator").Text); creator != "" {
			made++
			was := fmt.Sprintf(", page format %d", report.PageFormat())
			*dict = dict.With("Creator", object.Value{Kind: object.String, Text: strings.Replace(creator, was, format, 1)})
		}
		for _, c := range changes {
			stream = bytes.ReplaceAll(stream, []byte(c[0]), []byte(c[1]))
		}
		return stream
	})
	if made != 1 {
		t.Fatalf("%d objects say what made the file", made)
	}
	return out
}

func TestAnotherFormat(t *testing.T) {
	long(t)
	id := ada(t)
	trust := &sign.Trust{Signers: []sign.Trusted{trusting(id)}}
	ready, notReady := reportOf(t, metric), reportOf(t, "../../examples/annex/job.json")
	next := fmt.Sprintf(", page format %d", report.PageFormat()+1)
	shown := func(was, is string) [2]string {
		return [2]string{"(" + string(onPages(was)) + ") Tj", "(" + string(onPages(is)) + ") Tj"}
	}
	const readyData, oneRule = `"setline_results": 1, "ready": true`, `"rule":"fronts-flush","subject":"1.12/N2+N3","outcome":`
	for _, c := range []struct {
		name      string
		file      []byte
		verdict   Verdict
		bad, open string
		remarks   string
	}{
		{"as it was", ready, Holds, "", "", ""},
		{"an earlier format", another(t, ready, ", page format 1"), Indeterminate, "", "pages-of-record", ""},
		{"a later format", another(t, ready, next), Indeterminate, "", "pages-of-record", ""},
		{"not ready", another(t, notReady, next), Indeterminate, "", "pages-of-record", ""},
		{"other words on the pages", another(t, ready, next, shown("Answer", "Verdict")), Indeterminate, "", "pages-of-record", ""},
		{"a result judged otherwise", another(t, ready, next, [2]string{oneRule + `"pass"`, oneRule + `"conceded"`}), Indeterminate, "", "pages-of-record", "results-as-judged"},
		{"results that come to another answer", another(t, ready, next, [2]string{readyData, strings.Replace(readyData, "true", "false", 1)}), DoesNotHold, "results-as-judged", "pages-of-record", ""},
		{"results of a later form", another(t, ready, next, [2]string{`"setline_results": 1`, `"setline_results": 2`}), Indeterminate, "", "results-as-judged pages-of-record", ""},
		{"a first page that says READY", another(t, notReady, next, shown("NOT READY", "READY")), DoesNotHold, "answer-on-first-page", "pages-of-record", ""},
		{"a first page that says NOT READY", another(t, ready, next, shown("READY", "NOT READY")), DoesNotHold, "answer-on-first-page", "pages-of-record", ""},
		{"a first page without an answer", another(t, ready, next, shown("READY", "SPLENDID")), Indeterminate, "", "answer-on-first-page pages-of-record", ""},
		{"this format, other words", another(t, ready, fmt.Sprintf(", page format %d", report.PageFormat()), shown("Answer", "Verdict")), DoesNotHold, "pages-of-record", "", ""},
		{"no format", another(t, ready, ""), DoesNotHold, "record-is-one", "", ""},
		{"format nought", another(t, ready, ", page format 0"), DoesNotHold, "record-is-one", "", ""},
		{"a format without end", another(t, ready, ", page format 99999999999999999999"), DoesNotHold, "record-is-one", "", ""},
		{"an answer for a format", another(t, ready, ", page format READY"), DoesNotHold, "record-is-one", "", ""},
	} {
		t.Run(c.name, func(t *testing.T) {
			file := c.file
			for i, role := range []sign.Role{sign.Inspector, sign.Installer} {
				v := verified(t, signedBy(t, file, id, role, i), Options{Trust: trust})
				remarks := strings.TrimSpace(strings.NewReplacer("signed-by-person-named", "", "one-key-one-role", "").Replace(having(v, Remark)))
				if v.Verdict != c.verdict || having(v, Bad) != c.bad || having(v, Open) != c.open || remarks != c.remarks {
					t.Errorf("%s; bad %q, open %q, remarks %q", v.Verdict, having(v, Bad), having(v, Open), remarks)
				}
				if v.Verdict != Holds && (v.Answer != "" || strings.Contains(v.headline(), "READY") || v.Holds) {
					t.Errorf("answer %q in %q", v.Answer, v.headline())
				}
				// Countersigned, it is what it was.
				file = signedBy(t, file, id, role, i)
			}
		})
	}
}

func signedBy(t testing.TB, file []byte, id sign.Identity, role sign.Role, hours int) []byte {
	t.Helper()
	return signed(t, file, id, role, noon.Add(time.Duration(hours)*time.Hour))
}

// TestUnknownAttachment: what travels in a report of another version beside
// what this one knows is named.
func TestUnknownAttachment(t *testing.T) {
	file := rewritten(t, another(t, reportOf(t, metric), ", page format 1"), func(dict *object.Value, stream []byte) []byte {
		if object.DecodeText(dict.Get("UF").Text) == report.ResultsName {
			*dict = dict.With("UF", object.Text("run-me.exe")).With("F", object.Text("run-me.exe"))
		}
		return stream
	})
	v := verified(t, signedBy(t, file, ada(t), sign.Inspector, 0), Options{})
	if found := strings.Join(foundBy(v, OnlyKnown), ""); v.Verdict != Indeterminate || found != "1 attachment that this version knows nothing of and did not open: run-me.exe" {
		t.Errorf("%s: %q", v.Verdict, found)
	}
}

// TestEqualNames: of two attachments of one name nobody can say which is meant;
// one reader shows the first, the next the last.
func TestEqualNames(t *testing.T) {
	long(t)
	text := func(s string) object.Value { return object.Value{Kind: object.String, Text: s} }
	named := func(key string) func(dict *object.Value) {
		return func(dict *object.Value) {
			if object.DecodeText(dict.Get("UF").Text) == report.ResultsName {
				*dict = dict.With(key, text(report.AttachmentName))
			}
		}
	}
	for want, change := range map[string]func(dict *object.Value){
		fmt.Sprintf("two attachments are called %q", report.AttachmentName):                           named("UF"),
		fmt.Sprintf("attachment %q has a second name, %q", report.ResultsName, report.AttachmentName): named("F"),
		`two attachments stand under "file 000001"`: func(dict *object.Value) {
			names := dict.Get("Names")
			list := slices.Clone(names.Get("EmbeddedFiles").Get("Names").Items)
			if len(list) > 2 {
				list[2] = list[0]
				*dict = dict.With("Names", names.With("EmbeddedFiles", names.Get("EmbeddedFiles").With("Names", object.Value{Kind: object.Array, Items: list})))
			}
		},
	} {
		for _, format := range []string{", page format 1", fmt.Sprintf(", page format %d", report.PageFormat())} {
			file := rewritten(t, another(t, reportOf(t, metric), format), func(dict *object.Value, stream []byte) []byte {
				change(dict)
				return stream
			})
			v := verified(t, signedBy(t, file, ada(t), sign.Inspector, 0), Options{})
			if found := strings.Join(foundBy(v, RecordIsOne), ""); v.Verdict != DoesNotHold || v.Part != nil || !strings.Contains(found, want) {
				t.Errorf("%s: %s: %q, want %q", format, v.Verdict, found, want)
			}
		}
	}
}

// TestBeforeTheHeader: nothing may stand before a report, though some readers
// look for where it begins, and count from there.
func TestBeforeTheHeader(t *testing.T) {
	file := signedBy(t, reportOf(t, metric), ada(t), sign.Inspector, 0)
	for _, more := range []string{"\n", "more\n", "%PDF-1.4\n", "\xef\xbb\xbf"} {
		before := append([]byte(more), file...)
		v, err := Report(before, Options{At: noon})
		if err == nil && (v.Verdict != DoesNotHold || v.Part != nil) || err != nil && !errors.Is(err, sign.ErrFile) {
			t.Errorf("%q before it: %v %+v", more, err, v)
		}
		if _, err := sign.Sign(before, sign.Request{Identity: ada(t), As: sign.Installer, Reason: accepted, Time: noon}); err == nil {
			t.Errorf("%q before it: signed", more)
		}
	}
}

// TestOneByOne: each result that is judged otherwise is named.
func TestOneByOne(t *testing.T) {
	file := another(t, reportOf(t, metric), ", page format 1", [2]string{`"outcome":"pass"`, `"outcome":"conceded"`})
	v := verified(t, signedBy(t, file, ada(t), sign.Inspector, 0), Options{})
	said := 0
	for _, c := range v.Checks {
		if c.Code == ResultsSame {
			said++
			if c.Result != Remark || !strings.Contains(c.Found, ": the report says conceded") || !strings.Contains(c.Found, "this version says pass") {
				t.Errorf("%+v", c)
			}
		}
	}
	if want := bytes.Count(unpackedResults(t, file), []byte(`"outcome":"conceded"`)); said != want || want < 20 {
		t.Errorf("%d results are named, want %d", said, want)
	}
}

func unpackedResults(t testing.TB, file []byte) (found []byte) {
	t.Helper()
	rewritten(t, file, func(_ *object.Value, stream []byte) []byte {
		if bytes.HasPrefix(stream, []byte(`{"setline_results"`)) {
			found = bytes.Clone(stream)
		}
		return stream
	})
	return found
}

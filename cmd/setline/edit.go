package main

import (
	"errors"
	"fmt"
	"io"
	"maps"
	"slices"
	"strconv"
	"strings"

	"github.com/go-json-experiment/json"
	"github.com/spf13/cobra"
	"setline.example/checks"
	"setline.example/schema"
	"setline.example/schema/amend"
	"setline.example/schema/intake"
	"setline.example/schema/plaintext"
)

// edit is a change of the record at path in the making, by the smallest change
// of its text.
type edit struct {
	path string
	rec  *schema.Record // as it was read
	src  *schema.Source
	text []byte
	from map[string]string // what said the value at a pointer, such as "--of"
	told []string          // what became of it, a line each
	// first is what has to be done before the record is written, once nothing
	// speaks against that.
	first []func() error
	// brings are pictures that come beside the record, by name their SHA-256.
	brings map[string]string
}

// inPlace changes the record at path under its lock. make says what is to
// change; what comes of it is held against the schema and the rules before it
// is written. A change that changes nothing writes nothing.
func inPlace(c *cobra.Command, path string, backup bool, make func(*edit) error) error {
	rec, src, release, err := readHeld(c, path)
	if err != nil {
		return err
	}
	defer release()
	e := &edit{path: path, rec: rec, src: src, text: src.Data, from: map[string]string{}}
	if err := make(e); err != nil {
		return err
	}
	if string(e.text) == string(src.Data) {
		return e.tell(c.OutOrStdout())
	}
	if err := e.check(); err != nil {
		return err
	}
	for _, do := range e.first {
		if err := do(); err != nil {
			return err
		}
	}
	return change(c, path, src.Data, e.text, backup, e.tell)
}

// readHeld reads the record at path, which is held until release is called.
func readHeld(c *cobra.Command, path string) (rec *schema.Record, src *schema.Source, release func(), err error) {
	if path == stdinName {
		return nil, nil, nil, usage(c, errors.New("found standard input, expected a file, since the record is changed in place"))
	}
	if release, err = hold(c.Context(), path, c.CommandPath(), c.ErrOrStderr()); err != nil {
		return nil, nil, nil, err
	}
	if rec, src, err = read(path, c.InOrStdin()); err != nil {
		release()
		return nil, nil, nil, err
	}
	return rec, src, release, nil
}

// add puts value at pointer, as [amend.AddWithParents] does. from says by
// member what said it; "" stands for the value as a whole.
func (e *edit) add(pointer string, value any, from map[string]string) error {
	text, err := json.Marshal(value, json.Deterministic(true))
	if err == nil {
		text, err = amend.AddWithParents(e.text, pointer, text)
	}
	if err != nil {
		return fmt.Errorf("%s: %w", e.path, err)
	}
	e.text = text
	e.says(pointer, from)
	return nil
}

// says notes what said the value at pointer, by member.
func (e *edit) says(pointer string, from map[string]string) {
	for _, member := range slices.Sorted(maps.Keys(from)) {
		e.from[strings.TrimSuffix(pointer+"/"+member, "/")] = from[member] // members have no "/" in their names
	}
}

// last puts value at the end of the list at pointer, which has n elements.
func (e *edit) last(pointer string, n int, value any, from map[string]string) error {
	if err := e.add(pointer+"/-", value, nil); err != nil {
		return err
	}
	e.says(schema.Pointer(pointer, n), from)
	return nil
}

func (e *edit) say(format string, args ...any) {
	e.told = append(e.told, plaintext.Visible(fmt.Sprintf(format, args...)))
}

func (e *edit) tell(w io.Writer) error {
	lines := e.told
	if string(e.text) == string(e.src.Data) && len(lines) == 0 {
		lines = []string{"nothing new"}
	}
	for _, line := range lines {
		if _, err := fmt.Fprintf(w, "%s: %s\n", plaintext.Visible(e.path), line); err != nil {
			return err
		}
	}
	return nil
}

// check reads what the record would be, and holds it against the rules. What
// was wrong before is not held against the change.
func (e *edit) check() error {
	if len(e.text) > schema.MaxBytes {
		return hinted{fmt.Errorf("%s: found a record of more than %d MiB with what is added, expected one that can be read again", e.path, schema.MaxBytes>>20), "make one record per room"}
	}
	problems := e.problems()
	for i := range problems {
		p := &problems[i]
		p.Line, p.Column = 0, 0 // the text is not written yet, so it has no lines to look at
		if flag, ok := e.saidBy(p.Pointer); ok {
			p.Pointer, p.Words = "", flag
		}
	}
	if len(problems) == 0 {
		return nil
	}
	return errors.Join(problems, hinted{fmt.Errorf("%s: nothing was written", e.path), ""})
}

// retire makes history of concessions that the record as it would be has no
// use for: the place is gone, or nobody observed any more what was conceded.
func (e *edit) retire() error {
	for {
		problems := e.problems()
		i := slices.IndexFunc(problems, func(p schema.Problem) bool { return strings.HasPrefix(p.Pointer, "/agreed/concessions/") })
		if i < 0 {
			return nil // what else there is will be told of the record as it would be
		}
		n, err := strconv.Atoi(strings.Split(problems[i].Pointer, "/")[3])
		if err != nil {
			return err
		}
		subject := "concession"
		if rec, _, err := schema.Read(e.path, e.text); err == nil {
			subject = rec.Agreed.Concessions[n].Subject
		}
		if e.text, err = intake.Retire(e.text, n); err != nil {
			return err
		}
		e.say("%s: what was conceded is history now", subject)
	}
}

// problems are those that the record would have and has not now.
func (e *edit) problems() schema.Problems {
	rec, src, err := schema.Read(e.path, e.text)
	if err == nil {
		_, err = checks.Run(rec, src)
	}
	var now, before schema.Problems
	errors.As(err, &now)
	_, err = checks.Run(e.rec, e.src)
	errors.As(err, &before)
	return slices.DeleteFunc(slices.Clone(now), func(p schema.Problem) bool {
		return slices.ContainsFunc(before, func(b schema.Problem) bool { return b.Pointer == p.Pointer && b.Found == p.Found })
	})
}

// saidBy is what said the value at pointer, or what holds it.
func (e *edit) saidBy(pointer string) (string, bool) {
	for {
		if flag, ok := e.from[pointer]; ok {
			return flag, true
		}
		cut := strings.LastIndexByte(pointer, '/')
		if cut < 0 {
			return "", false
		}
		pointer = pointer[:cut]
	}
}

// needs refuses a call that leaves out flags it cannot do without.
func needs(c *cobra.Command, flags ...string) error {
	var missing []string
	for _, name := range flags {
		if f := c.Flags().Lookup(name); strings.TrimSpace(f.Value.String()) == "" {
			missing = append(missing, "--"+name)
		}
	}
	if len(missing) == 0 {
		return nil
	}
	return usage(c, fmt.Errorf("found no %s, expected all of --%s", strings.Join(missing, ", "), strings.Join(flags, ", --")))
}

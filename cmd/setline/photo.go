package main

import (
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"

	"github.com/spf13/cobra"
	"setline.example/report"
	"setline.example/schema"
	"setline.example/schema/plaintext"
)

func newPhoto() *cobra.Command {
	var of, visit string
	var p schema.Photo
	var backup bool
	c := &cobra.Command{
		Use:   "photo RECORD PICTURE... --of PLACE --visit VISIT",
		Short: "Add photographs to a visit",
		Long: `Photo adds photographs to a visit: what they show, a caption, and who took them.
A place is named as the report does: "S-104/A3", "S-104/A3+A4", or "S-104" for
the room. A visit is named by its date, or by its number where a day had several.

The SHA-256 of each file is computed, so that the report shows that picture and
no other. A picture that does not lie beside the record, or in a folder beside
it, is copied there; another file of that name is never overwritten.

Exit codes: 0 the record has them now, 2 it has not, and is as it was; 4 the
record was changed, and telling so failed.`,
		Example: `  setline photo job.json IMG_0412.jpg --of S-104/A3 --visit 2026-09-22 --caption "scratch, touched up" --by "Ingrid Sørlie"
  setline photo job.json left.jpg right.jpg --of S-104 --visit 3`,
		ValidArgsFunction: files("json", "jpg", "jpeg", "png"),
		Args: func(c *cobra.Command, args []string) error {
			if len(args) < 2 {
				return usage(c, fmt.Errorf("found %s, expected a job record and at least one picture", plaintext.Count(len(args), "file")))
			}
			return nil
		},
		RunE: func(c *cobra.Command, args []string) error {
			if err := needs(c, "of", "visit"); err != nil {
				return err
			}
			return inPlace(c, args[0], backup, func(e *edit) error { return e.photos(c, args[1:], of, visit, p) })
		},
	}
	c.Flags().StringVar(&of, "of", "", "what they show: a unit (S-104/A3), a joint (S-104/A3+A4) or a room (S-104)")
	c.Flags().StringVar(&visit, "visit", "", "visit on which they were taken: its date, or its number")
	c.Flags().StringVar(&p.Caption, "caption", "", "what to see in them")
	c.Flags().StringVar(&p.By, "by", "", "who took them")
	c.Flags().BoolVar(&backup, "backup", false, "keep what is replaced as RECORD.bak")
	return c
}

// photos adds pictures to a visit. p says what they have in common.
func (e *edit) photos(c *cobra.Command, pictures []string, of, visit string, p schema.Photo) error {
	room, what, err := e.room("--of", of)
	if err != nil {
		return err
	}
	v, err := e.visit("--visit", visit)
	if err != nil {
		return err
	}
	p.Of = what
	seen := e.rec.Measured.Visits[v]
	all := seen.Rooms[room].Photos
	at := schema.Pointer("/measured/visits", v, "rooms", room, "photos")
	var wrong []error
	for _, name := range pictures {
		one := p
		copy, err := e.photo(c, name, &one)
		if err != nil {
			wrong = append(wrong, err)
			continue
		}
		if i, twice := hasPhoto(all, one); twice {
			if all[i] != one {
				wrong = append(wrong, hinted{fmt.Errorf("%s: found a picture that the visit has already, of %s, expected each once", name, orWord(all[i].Of, "the room")), "correct the record where that is wrong"})
			}
			continue
		}
		e.first = append(e.first, copy)
		e.say("added %s, of %s, to the visit of %s", one.File, of, seen.Date)
		if err := e.last(at, len(all), one, map[string]string{"of": "--of", "caption": "--caption", "by": "--by", "file": name}); err != nil {
			return err
		}
		all = append(all, one)
	}
	return errors.Join(wrong...)
}

// hasPhoto finds a photograph of the same file and place.
func hasPhoto(all []schema.Photo, p schema.Photo) (int, bool) {
	for i, old := range all {
		if old.File == p.File && strings.EqualFold(old.SHA256, p.SHA256) && old.Of == p.Of {
			return i, true
		}
	}
	return 0, false
}

// photo says what file a picture is, and how it comes beside the record.
func (e *edit) photo(c *cobra.Command, name string, p *schema.Photo) (copy func() error, err error) {
	data, err := readFile(name, pictureFile)
	if err != nil {
		return nil, err
	}
	sum := sha256.Sum256(data)
	p.SHA256 = hex.EncodeToString(sum[:])
	base := filepath.Base(name)
	if problem := report.PhotoProblem(os.DirFS(filepath.Dir(name)), schema.Photo{File: base, SHA256: p.SHA256}); problem != "" {
		return nil, hinted{fmt.Errorf("%s: found a file that no report can show (%s), expected a photograph in JPEG or PNG that can be drawn to its last row", name, problem), "copy it from the camera again, or save it as JPEG"}
	}
	folder := filepath.Dir(e.path)
	if beside, ok := fileIn(folder, name); ok && showsIn(folder, beside, p.SHA256) {
		p.File = beside
		return func() error { return nil }, nil
	}
	p.File = base
	to := filepath.Join(folder, base)
	if !here(to) {
		return func() error { return writeFresh(c.ErrOrStderr(), to, 0o644, data) }, nil
	}
	there, err := readFile(to, pictureFile)
	if err != nil {
		return nil, err
	}
	if sha256.Sum256(there) != sum {
		return nil, hinted{fmt.Errorf("%s: found another file of that name beside the record (%s), expected none, since it would be overwritten", name, to), "give the picture another name"}
	}
	if !showsIn(folder, base, p.SHA256) {
		return nil, hinted{fmt.Errorf("%s: found a link that leads out of the folder of the record, expected the picture itself, since no report follows it", to), "put the picture in the place of the link"}
	}
	return func() error { return nil }, nil
}

// showsIn reports whether a report of a record in a folder shows the picture: one
// behind a link that leads out of the folder it does not.
func showsIn(folder, file, sum string) bool {
	root, err := os.OpenRoot(folder)
	if err != nil {
		return false
	}
	defer root.Close()
	return report.PhotoProblem(root.FS(), schema.Photo{File: file, SHA256: sum}) == ""
}

// fileIn gives the path of a file from a folder that it lies in, with "/"
// between.
func fileIn(folder, name string) (string, bool) {
	from, err1 := filepath.Abs(folder)
	to, err2 := filepath.Abs(name)
	if err1 != nil || err2 != nil {
		return "", false
	}
	path, err := filepath.Rel(from, to)
	if err != nil || !filepath.IsLocal(path) {
		return "", false
	}
	return filepath.ToSlash(path), true
}

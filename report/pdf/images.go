package pdf

import (
	"bytes"
	"fmt"
	"regexp"
	"slices"
	"strconv"
)

const (
	imageStart = "<</Type /XObject\n/Subtype /Image\n"
	resources  = 1 // where fpdf puts what all pages share: object 2
)

// imageName is a picture among the resources of the pages.
var imageName = regexp.MustCompile(`(?m)^/I[0-9a-f]{40} (\d+) 0 R$`)

// sortImages puts the pictures in an order of their own. fpdf orders them by
// width out of a map, so that those of one width change places at random.
// Nothing but the resources of the pages refers to them.
func sortImages(objects [][]byte) error {
	var places []int // of the pictures
	var images [][]byte
	for i, o := range objects {
		if bytes.HasPrefix(afterLine(o), []byte(imageStart)) {
			places, images = append(places, i), append(images, o)
		}
	}
	slices.SortFunc(images, func(a, b []byte) int { return bytes.Compare(afterLine(a), afterLine(b)) })
	moved := make(map[int]int, len(images)) // by the old number
	for i, o := range images {
		number, _, _ := bytes.Cut(o, []byte(" "))
		old, err := strconv.Atoi(string(number))
		if err != nil {
			return errLayout
		}
		moved[old] = places[i] + 1
		objects[places[i]] = fmt.Appendf(nil, "%d%s", moved[old], o[len(number):])
	}
	named := 0
	objects[resources] = imageName.ReplaceAllFunc(objects[resources], func(entry []byte) []byte {
		name, ref, _ := bytes.Cut(entry, []byte(" "))
		old, _ := strconv.Atoi(string(bytes.TrimSuffix(ref, []byte(" 0 R"))))
		if moved[old] != 0 {
			named++
		}
		return fmt.Appendf(nil, "%s %d 0 R", name, moved[old])
	})
	if named != len(moved) {
		return errLayout
	}
	return nil
}

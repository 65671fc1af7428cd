package sign

import "setline.example/report/pdf/object"

// ErrFile is wrapped by every error that says a file is not a report in the
// form that this package reads.
var ErrFile = object.ErrFile

// maxDepth is how deep a tree of pages may be.
const maxDepth = 40

// file is a PDF read to the last byte, as signatures see it.
type file struct{ *object.File }

func read(data []byte) (*file, error) {
	f, err := object.Read(data)
	if err != nil {
		return nil, err
	}
	return &file{f}, nil
}

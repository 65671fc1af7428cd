package findings

import (
	"bytes"
	"io"
	"os"
)

// spool keeps a list that a format wants after everything else: in memory
// while it is small, beyond that in a temporary file.
type spool struct {
	memory bytes.Buffer
	file   *os.File
	n      int // items so far
}

// spoolMemory is how much of a list stays in memory, in bytes.
const spoolMemory = 1 << 20

// add appends one item, with a comma between two.
func (s *spool) add(item []byte) error {
	if s.n > 0 {
		s.memory.WriteString(",\n")
	}
	s.n++
	s.memory.Write(item)
	if s.memory.Len() < spoolMemory {
		return nil
	}
	if s.file == nil {
		f, err := os.CreateTemp("", "setline-*.tmp")
		if err != nil {
			return err
		}
		// Where a system lets an open file be removed, nothing is left behind whatever happens.
		os.Remove(f.Name())
		s.file = f
	}
	_, err := s.memory.WriteTo(s.file)
	return err
}

// copyTo writes the list to w and forgets it.
func (s *spool) copyTo(w io.Writer) error {
	defer s.close()
	if s.file != nil {
		if _, err := s.file.Seek(0, io.SeekStart); err != nil {
			return err
		}
		if _, err := io.Copy(w, s.file); err != nil {
			return err
		}
	}
	_, err := s.memory.WriteTo(w)
	return err
}

// close forgets the list. It may be called more than once.
func (s *spool) close() {
	if s.file == nil {
		return
	}
	s.file.Close()
	os.Remove(s.file.Name())
	s.file = nil
}

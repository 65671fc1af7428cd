// Package object reads and writes the objects of a PDF (ISO 32000-1, 7.3 and
// 7.5), in one way for all of Setline: there is no second reader that could see
// another document in the same file.
//
// [Read] takes a file apart to its last byte. [Write] writes one, and there is
// one way only in which it writes: the objects from 1 on, one behind the other,
// every object in one form, one table, one trailer. [File.Canonical] holds that
// a file is in that form, by writing it again: nothing can stand between the
// objects, behind packed data or beside the table that one program reads and
// another does not.
//
// [Pack] packs streams with a library whose version go.mod fixes, since the
// standard library's may pack the same text otherwise in its next version.
//
// What is where: canonical.go holds that a file is what writing its own objects again
// gives, pack.go packs with a library of a fixed version.
package object

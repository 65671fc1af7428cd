// Package object reads and writes the objects of a PDF (ISO 32000-1, 7.3 and
// 7.5), in one way for all of Setline: there is no second reader that could see
// another document in the same file.
//
// [Read] takes a file apart to its last byte. [Write] writes one, and there is
// one way only in which it writes: the objects from 1 on, one behind the other,
// every object in one form, one table, one trailer. The elements of a structure, of
// which there are more than of all else, are packed into streams of objects, and
// nothing else is: what shows or does something stands in the file where anyone
// sees it. Files of former versions have none of these and a table in the old form,
// and are read as well. [File.Canonical] holds that
// a file is in that form, by writing it again: nothing can stand between the
// objects, behind packed data or beside the table that one program reads and
// another does not.
//
// [Pack] packs streams with a library whose version go.mod fixes, since the
// standard library's may pack the same text otherwise in its next version.
//
// What is where: canonical.go holds that a file is what writing its own objects again
// gives, table.go reads and writes a table that is a stream, held.go the objects in
// streams, pack.go packs with a library of a fixed version.
package object

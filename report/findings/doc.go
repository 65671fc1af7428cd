// Package findings writes what the rules found in many records, for people,
// editors and other programs.
//
// There is one model, [File]: what was found in one record, or why it cannot
// be used. [Selection.File] makes it from what package checks found. Each
// format is a [Writer], one file of this package each, and a stream: [Writer.Begin],
// then [Writer.File] for each record in order, then [Writer.End]. A writer
// keeps nothing that grows with the number of records in memory.
//
// The JSON format is the model itself, a [Report]; [Schema] is its JSON
// Schema, generated from the types and comments here. It is also what a
// [Baseline] is read from.
//
// What is where: one model (model.go, made by select.go), one file for each format, all
// streams behind one interface (writer.go). findings.schema.json is generated from the
// model by generate/: go generate ./report/findings.
package findings

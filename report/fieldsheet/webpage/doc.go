// Package webpage writes the field sheet as a page for a browser, and reads a filled
// one back.
//
// [Write] makes one file that fetches nothing: what is asked, the drawings, the
// records of its rooms, and the rules as a program for WebAssembly, which judges
// after every entry. [Folder] makes of the same a folder for a web server, that a
// device keeps for when there is no network. [Read] takes the answers and the
// photographs out of a page that was saved, and nothing else: of its code, its
// verdict and its word on what a picture's hash is it believes nothing.
//
// What is where: write.go puts the parts together, asked.go says what is asked in
// the form that the page reads, read.go reads it back; web/ is the page itself,
// in plain JavaScript and CSS, with rules.wasm, which is
// [setline.example/report/fieldsheet/live/program] as "go generate" builds it.
package webpage

// Package markup is what every document writes into its Markdown, whatever the
// document becomes: [Text], which people typed and which escapes itself, and
// [Cautions]. It knows neither pages nor the parser.
package markup

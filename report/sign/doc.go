// Package sign signs a turnover report and tells whether a signed one is still
// what its signers saw.
//
// # Signatures
//
// [Sign] appends an incremental update (ISO 32000-1, 7.5.6): the bytes that
// were there stay as they are, so earlier signatures stay valid. A signature is
// a PAdES baseline signature (ETSI EN 319 142-1, level B-B; with a time stamp
// B-T) over the whole file but for its own /Contents. The first one is a
// certification signature (ISO 32000-1, 12.8.2.2) with P = 2, the least that
// still lets others sign: it allows filling in forms and signing. [Verify] is
// stricter and takes further signatures only.
//
// The role is part of the reason ("As inspector: ..."), so that every reader
// of PDF shows it.
//
// # What is read
//
// The reader takes the plain form in which reports and their signatures are
// written: object streams for nothing but the elements of a structure, no comments
// between objects, and not a byte that belongs to no object. What it does not take is
// refused, never skipped: a byte that one program reads and another ignores is
// where forgeries live. Reports signed by other programs are refused likewise
// unless they keep to that form.
//
// # What is not checked
//
// Revocation lists are not fetched. A claimed time is the signer's word; an
// RFC 3161 time stamp is that of its authority. Certificates in a time stamp
// beside that of its signer are only used to find a path to a trusted one.
package sign

// Package trust reads the file in which somebody keeps whom they trust: a JSON
// file that says what for, or plain certificates in PEM.
//
// [Read] takes either. In JSON, a [List], each signer has a fingerprint, the
// name, firm and roles that go with it, and from when until when it is trusted;
// few may issue the certificates of others; authorities for time stamps are a
// list of their own. In PEM every certificate is a signer's, in any role, and
// issues nothing. A file that cannot be used gives [schema.Problems], all of
// them at once.
//
// [Add] and [Remove] change a list without an editor, and keep every byte that
// they do not change.
//
// [Schema] is the JSON Schema of the list, generated from the types here.
package trust

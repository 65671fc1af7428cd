package verify

import (
	_ "embed"
	"slices"
)

//go:generate go run ../generate verification . verification.schema.json

//go:embed verification.schema.json
var schemaJSON []byte

// Schema returns the JSON Schema (draft 2020-12) of a verification.
func Schema() []byte { return slices.Clone(schemaJSON) }

// Form is the version of the machine form that this package writes. Version 1
// had neither verdicts nor codes.
const Form = 2

// SchemaID is the identifier of the JSON Schema of that version.
const SchemaID = "urn:setline:verification:2"

// Verdict is the one thing that a verification says.
type Verdict string

// The verdicts.
const (
	Holds         Verdict = "holds"
	DoesNotHold   Verdict = "does not hold"
	Indeterminate Verdict = "indeterminate"
)

// Verification is what was found of one report.
type Verification struct {
	// Version of this form.
	Form int `json:"setline_verification" jsonschema:"enum=2"`
	// Version of the program that verified.
	Program string `json:"program"`
	// Whether the report holds; indeterminate where something is not proven, and nothing speaks against it.
	Verdict Verdict `json:"verdict" jsonschema:"enum=holds,enum=does not hold,enum=indeterminate"`
	// Whether the verdict is that it holds.
	Holds bool `json:"holds"`
	// The report's answer, where the report holds; "" otherwise, since then nobody answers for it.
	// One that hands over some rooms of the job only never has the answer of a job.
	Answer string `json:"answer" jsonschema:"enum=READY,enum=NOT READY,enum=ROOMS READY,enum=ROOMS NOT READY,enum="`
	// What the rules, run again, say of the record inside, whoever put it there; "" where there is none they can judge.
	// Of a report that hands over some rooms only, of these.
	RulesSay string `json:"rules_say" jsonschema:"enum=READY,enum=NOT READY,enum=ROOMS READY,enum=ROOMS NOT READY,enum="`
	// Rooms that it hands over, where these are not all of the job; none otherwise.
	Covers *Covers `json:"covers,omitempty"`
	// Up to which revision of the file everything holds, though it be indeterminate; the report as it was made is revision 1, and each signature adds one. 0 where nothing holds.
	HoldsTo int `json:"holds_to_revision"`
	// What to do about a report that does not hold; none otherwise.
	Mend string `json:"mend,omitempty"`
	// What the report says of how it was made.
	Made *Made `json:"made,omitempty"`
	// Template in whose words the body of the report is; none where it is Setline's own.
	Template *Template `json:"template,omitempty"`
	// Signatures in the order in which they were added.
	Signatures []Signature `json:"signatures"`
	// All that was looked at, in the order of the questions: file, signatures, times, record, pages.
	Checks []Check `json:"checks"`
}

// Covers is which rooms of a job a report hands over, where these are not all.
type Covers struct {
	// Rooms that it hands over, in the order of the plan.
	Rooms []string `json:"rooms"`
	// Rooms that the job has too, of which the report says nothing.
	Others []string `json:"others"`
}

// Made is what a report says of how it was made. Anybody can write it.
type Made struct {
	// Version of the Setline that is said to have made it.
	Version string `json:"version"`
	// Number of the format of its pages. Only pages of this program's own can be made again and compared.
	PageFormat int `json:"page_format"`
	// Date of the report, YYYY-MM-DD.
	Date string `json:"date"`
}

// Template is a template that is not Setline's own, and travels in the report.
type Template struct {
	// Whose it is, by the record: the firm whose work it is.
	By string `json:"by"`
	// Its SHA-256.
	SHA256 string `json:"sha256"`
}

// Signature is what one signature says, and whose word each thing is.
type Signature struct {
	// Number of the signature, from 1.
	Number int `json:"number"`
	// Revision of the file that it added; the report as it was made is revision 1.
	Revision int `json:"revision"`
	// Whether the signature and the bytes it covers belong together, and to the certificate's key.
	Intact bool `json:"intact"`
	// Name in the certificate.
	Name string `json:"name"`
	// Firm in the certificate; "" for none.
	Firm string `json:"firm"`
	// Whose word name and firm are.
	NameBy Source `json:"name_by" jsonschema:"enum=signer,enum=trust list,enum=issuer"`
	// Role in which it was signed.
	Role string `json:"role" jsonschema:"enum=inspector,enum=installer,enum=contractor,enum="`
	// Whose word the role is.
	RoleBy Source `json:"role_by" jsonschema:"enum=signer,enum=trust list"`
	// What was signed for.
	Reason string `json:"reason"`
	// Time of the signature, RFC 3339 in UTC.
	Time string `json:"time"`
	// Whose word the time is.
	TimeBy Source `json:"time_by" jsonschema:"enum=signer,enum=time stamp"`
	// Time by the signer's clock, RFC 3339 in UTC.
	Claimed string `json:"claimed"`
	// Time stamp of an authority; none where there is none.
	Stamp *Stamp `json:"time_stamp,omitempty"`
	// Certificate of the signer; none where it could not be read.
	Certificate *Certificate `json:"certificate,omitempty"`
	// What the trust list says.
	Trust Trust `json:"trust"`
	// Whether a block on the page shows what the signature says.
	Block bool `json:"block"`
	// Whether a picture stands in the block, which proves nothing.
	Picture bool `json:"picture"`
}

// Source is whose word something is.
type Source string

// The sources.
const (
	BySigner Source = "signer"     // the signer's own
	ByList   Source = "trust list" // the reader's own list
	ByIssuer Source = "issuer"     // that of one who may issue others by the list
	ByStamp  Source = "time stamp" // that of a trusted time-stamp authority
)

// Stamp is a time stamp.
type Stamp struct {
	// Time in it, RFC 3339 in UTC.
	Time string `json:"time"`
	// Authority that gave it, by its certificate.
	Authority string `json:"authority"`
	// Certificate's fingerprint, SHA-256.
	Fingerprint string `json:"fingerprint"`
	// What the trust list says of the authority. Only a trusted one's time is taken for the time.
	Trust Trust `json:"trust"`
}

// Certificate is what a certificate says.
type Certificate struct {
	// Fingerprint: SHA-256 of the certificate, in sixteen groups of four digits, as "identity show" and the signature's block on the page have it.
	Fingerprint string `json:"fingerprint"`
	// Who issued it; its own subject where it is signed with its own key.
	Issuer string `json:"issuer"`
	// First moment of its validity, RFC 3339 in UTC.
	From string `json:"from"`
	// Last moment of its validity, RFC 3339 in UTC.
	Until string `json:"until"`
}

// Trust is what a trust list says of a certificate.
type Trust struct {
	// Standing of the certificate.
	Standing string `json:"standing" jsonschema:"enum=not checked,enum=trusted,enum=not listed,enum=name differs,enum=firm differs,enum=role not given,enum=too early,enum=too late,enum=time stamps"`
	// The same in words.
	Found string `json:"found"`
}

// Check is one thing that was looked at.
type Check struct {
	// Code of the question, the same for ever.
	Code Code `json:"code"`
	// Number of the signature that it is about; none where it is about the report.
	Signature int `json:"signature,omitempty"`
	// How it came out. A remark is for the reader to judge, and with --strict does not hold; open is what could not be proven; what is not checked never is.
	Result Result `json:"result" jsonschema:"enum=holds,enum=remark,enum=open,enum=does not hold,enum=not checked"`
	// The question in words.
	What string `json:"what"`
	// What was found.
	Found string `json:"found"`
}

// Result is how a check came out.
type Result string

// The results.
const (
	Good       Result = "holds"
	Remark     Result = "remark"
	Open       Result = "open"
	Bad        Result = "does not hold"
	NotChecked Result = "not checked"
)

package verify

// Code names a question for machines. What it is called stays for ever.
type Code string

// The codes of all questions.
const (
	FileWhole     Code = "file-whole"
	OtherSoftware Code = "nothing-by-other-software"
	NothingElse   Code = "nothing-else-changed"
	Intact        Code = "signature-intact"
	BlockDrawn    Code = "block-drawn"
	Trusted       Code = "signature-trusted"
	TrustNotEnded Code = "trust-not-ended"
	Revocation    Code = "revocation"
	OneKey        Code = "one-key-one-role"
	RoleSigned    Code = "role-signed"
	ReasonOfIt    Code = "reason-of-answer"
	OtherPerson   Code = "signed-by-person-named"
	StampTrusted  Code = "time-stamp-trusted"
	StampFar      Code = "time-stamp-near-claim"
	AfterVisits   Code = "time-after-visits"
	AfterReport   Code = "time-after-report"
	NotInFuture   Code = "time-not-in-future"
	TimesInOrder  Code = "times-in-order"
	NotExpired    Code = "certificate-in-force"
	PhotosHeld    Code = "photographs-held"
	WordsOf       Code = "words-of-body"
	RoomsCovered  Code = "rooms-covered"
	RecordIsOne   Code = "record-is-one"
	AnswerStated  Code = "answer-on-first-page"
	OnlyKnown     Code = "attachments-known"
	ResultsSame   Code = "results-as-judged"
	PagesOfRecord Code = "pages-of-record"
)

// Codes returns all codes, in the order in which their questions are asked.
func Codes() []Code {
	return []Code{
		FileWhole, OtherSoftware, Intact, BlockDrawn, NothingElse, Trusted, OneKey, RoleSigned, Revocation, ReasonOfIt, OtherPerson,
		StampTrusted, StampFar, AfterVisits, AfterReport, NotInFuture, TimesInOrder, NotExpired, TrustNotEnded,
		PhotosHeld, WordsOf, RoomsCovered, RecordIsOne, AnswerStated, OnlyKnown, ResultsSame, PagesOfRecord,
	}
}

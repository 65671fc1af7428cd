package verify

import (
	"cmp"
	"fmt"
	"slices"
)

// mend says what to do about a report that does not hold, by the first thing that
// speaks against it: what follows from it is often no more than its consequence.
func (v *verifier) mend() string {
	i := slices.IndexFunc(v.Checks, func(c Check) bool { return c.Result == Bad })
	if i < 0 {
		return "judge what is remarked on: nothing else speaks against it"
	}
	switch v.Checks[i].Code {
	case Trusted:
		return "ask who is said to have signed for the fingerprint, over a telephone or face to face, and see what your list says of it"
	case RoleSigned:
		return "have it signed in that role, or ask for the file as it was signed last"
	case ReasonOfIt:
		return `have it signed anew with "setline sign", which writes the reason by the answer`
	case RoomsCovered:
		return "ask for a report of these rooms, or of the whole job"
	case PhotosHeld:
		return "ask for the files of the photographs as they were taken"
	case RecordIsOne, AnswerStated, ResultsSame, PagesOfRecord:
		return "do not rely on it: ask who signed for a report that is made of the record"
	}
	switch {
	case v.HoldsTo > 0:
		return fmt.Sprintf("take the report up to revision %d, which holds, from what %s gives, and ask who sent it why something follows",
			v.HoldsTo, cmp.Or(v.o.Ways.Part, "--extract-report"))
	case len(v.signed) == 0 && v.Checks[i].Code == NothingElse:
		return "have it signed, or ask for the file as it was signed"
	}
	return "ask for the file as it was signed: a program that opens and saves it, or a mail system, changes it as well as a forger"
}

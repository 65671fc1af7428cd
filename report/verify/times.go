package verify

import (
	"fmt"
	"time"

	"setline.example/report"
	"setline.example/report/sign"
	"setline.example/schema"
)

const (
	// farthestEast is how much earlier than in UTC a day begins anywhere (UTC+14).
	farthestEast = 14 * time.Hour
	// nearClaim is how far a time stamp may be from the time that was claimed:
	// more than an answer takes, and less than a clock is off that was set to
	// another zone.
	nearClaim = 30 * time.Minute
	// clockError is how far the reader's own clock may be behind.
	clockError = 5 * time.Minute
)

// said is one time that a signature tells, and whose word it is.
type said struct {
	at    time.Time
	words string
}

// times says what cannot be, or can no longer be told, of the times of the
// signatures on a report.
func (v *verifier) times(r *report.Rebuilt) {
	for i := range v.signed {
		s := &v.signed[i]
		if !s.Sound() {
			continue
		}
		v.stamp(i+1, s)
		all := []said{{s.Claimed, "the signer's clock"}}
		if s.Stamp != nil && s.Stamp.Standing == sign.IsTrusted {
			all = append(all, said{s.Stamp.Time, "the time stamp"})
		}
		for _, t := range all {
			v.within(i+1, t, r)
		}
		if i > 0 && s.Time.Before(v.signed[i-1].Time) {
			v.add(TimesInOrder, i+1, Remark, fmt.Sprintf("time of signature %d", i+1),
				fmt.Sprintf("signature %d says %s, before signature %d, to which it was added: %s", i+1, timeOf(s), i, timeOf(&v.signed[i-1])))
		}
		v.inForce(i+1, s)
	}
}

// stamp says what is odd about a time stamp.
func (v *verifier) stamp(n int, s *sign.Signature) {
	if s.Stamp == nil {
		return
	}
	what := fmt.Sprintf("time stamp of signature %d", n)
	if s.Stamp.Standing != sign.IsTrusted {
		v.add(StampTrusted, n, Remark, what, fmt.Sprintf("%s says %s, and is not taken for the time: %s",
			s.Stamp.By, s.Stamp.Time.Format(time.DateTime+" UTC"), s.Stamp.Why))
	} else {
		v.add(StampTrusted, n, Good, what, s.Stamp.By+", by "+s.Stamp.Why)
	}
	if off := s.Stamp.Time.Sub(s.Claimed).Abs(); off > nearClaim {
		v.add(StampFar, n, Remark, what,
			fmt.Sprintf("the signer's clock says %s and the time stamp %s, %s apart", s.Claimed.Format(time.DateTime+" UTC"),
				s.Stamp.Time.Format(time.DateTime+" UTC"), off.Round(time.Minute)))
	}
}

// within says where a time is before what was signed, or in the future. Visits
// and reports have days and no zone, and are given that of the farthest east.
func (v *verifier) within(n int, t said, r *report.Rebuilt) {
	what := fmt.Sprintf("time of signature %d", n)
	at := t.words + " says " + t.at.Format(time.DateTime+" UTC")
	if last := lastVisit(r.Judged); last != "" && before(t.at, last) {
		v.add(AfterVisits, n, Remark, what, at+", and the last visit is of "+string(last))
	}
	if made := schema.Date(r.Date.Format(time.DateOnly)); !r.Date.IsZero() && before(t.at, made) {
		v.add(AfterReport, n, Remark, what, at+", and the report is of "+string(made))
	}
	if t.at.After(v.o.At.Add(clockError)) {
		v.add(NotInFuture, n, Remark, what, at+", which is in the future: it is "+v.o.At.UTC().Format(time.DateTime+" UTC"))
	}
}

func before(t time.Time, day schema.Date) bool {
	begins, err := time.Parse(time.DateOnly, string(day))
	return err == nil && t.Before(begins.Add(-farthestEast))
}

// lastVisit is the last day on which a visit was made; "" for none.
func lastVisit(rec *schema.Record) schema.Date {
	var last schema.Date
	for _, visit := range rec.Measured.Visits {
		last = max(last, visit.Date)
	}
	return last
}

// inForce says where a certificate, or the reader's trust, has ended since, so
// that only a trusted time stamp tells that the signature is from before.
func (v *verifier) inForce(n int, s *sign.Signature) {
	stamped := s.TimeFrom == "timestamp"
	say := func(code Code, what, ended string) {
		if stamped {
			v.add(code, n, Good, what, ended+"; the time stamp tells that the signature is from before")
		} else {
			v.add(code, n, Remark, what, ended+"; that the signature is from before is the signer's word alone")
		}
	}
	what := fmt.Sprintf("certificate of signature %d", n)
	switch c := s.Certificate; {
	case v.o.At.After(c.NotAfter):
		say(NotExpired, what, "it expired on "+c.NotAfter.UTC().Format(time.DateTime+" UTC"))
	case v.o.At.Before(c.NotBefore):
		v.add(NotExpired, n, Remark, what, "it is in force only from "+c.NotBefore.UTC().Format(time.DateTime+" UTC")+" on")
	}
	if e := s.TrustedAs; s.Trusted && !e.Until.IsZero() && !v.o.At.Before(e.Until) {
		say(TrustNotEnded, fmt.Sprintf("trust in signature %d", n), "the list trusts it until "+e.Until.AddDate(0, 0, -1).Format(time.DateOnly))
	}
}

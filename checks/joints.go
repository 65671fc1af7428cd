package checks

import (
	"fmt"
	"strings"

	"setline.example/schema"
	"setline.example/schema/length"
)

var topsFlush = &Rule{
	ID:        "tops-flush",
	Name:      "tops flush",
	Family:    Joining,
	Asks:      "The tops of neighbouring cabinets are flush across the joint.",
	Why:       "A step under a top is where the top rocks, or cracks.",
	Limit:     LengthOf(length.Inch / 16),
	BothSides: true,
	Formula:   "|offset|",
	Source:    "common practice; published remodelling performance standard (attributed to NAHB, from memory), as for fronts",
	Needs:     "Lay a straightedge over the joint and measure the greatest offset of the tops",
	Remedy:    "Loosen the joint, bring the tops flush with the levelers, clamp and join again, and see that all levelers bear",
	observe:   askJoints((*asker).topOffset),
	judge: eachJoint(func(b *bench, j *joint) {
		if j.left.cabinet == nil || j.right.cabinet == nil {
			return // the rule for fillers judges theirs
		}
		o := latest(j.seen, func(s *schema.JointSeen) *length.Length { return s.TopOffset }, "top_offset")
		if !o.ok {
			b.notObserved(j.subject, j.at, "Offset of the tops across the joint")
			return
		}
		b.measured(j.subject, o, "offsets", func(size string) string { return j.stands(o.value, size, "high of", "Tops flush") })
	}),
}

// stands says which side of a joint stands out by how much.
func (j *joint) stands(offset length.Length, size, how, flush string) string {
	switch {
	case offset > 0:
		return j.right.plan.Tag + " stands " + size + " " + how + " " + j.left.plan.Tag
	case offset < 0:
		return j.left.plan.Tag + " stands " + size + " " + how + " " + j.right.plan.Tag
	}
	return flush
}

var jointGap = &Rule{
	ID:      "joint-gap",
	Name:    "joint gap",
	Family:  Joining,
	Asks:    "The gap between neighbouring units is no wider than the limit.",
	Why:     "A gap lets spills down between the cabinets, and shows that the units were not drawn up square.",
	Limit:   LengthOf(1_600_000), // 1.6 mm
	Formula: "the widest gap",
	Source:  "ANSI/AWI 0620-2024, 3.4.1.1: non-wood to non-wood, flat surfaces, Custom grade 1.6 mm (Premium 0.8 mm, Economy 2.4 mm)",
	Needs:   "Measure the widest gap of the joint with a feeler gauge or rule",
	Remedy:  "Loosen the joint, clamp the units together and join again; check level first, since a cabinet out of level opens its joint",
	observe: askJoints((*asker).gap),
	judge: eachJoint(func(b *bench, j *joint) {
		o := latest(j.seen, func(s *schema.JointSeen) *length.Length { return s.Gap }, "gap")
		if !o.ok {
			b.notObserved(j.subject, j.at, "Gap of the joint")
			return
		}
		b.measured(j.subject, o, "gaps", func(size string) string { return "Widest gap " + size })
	}),
}

var jointFastened = &Rule{
	ID:           "joint-fastened",
	Name:         "joint fastened",
	Family:       Joining,
	Asks:         "Neighbouring cabinets are joined at the front and at the upper rear of the side: at the front of a door cabinet through a vacated hinge hole with 1 1/4 in self-tapping screws, without hinges directly behind the vertical front rail with 1/2 in ones, at the rear with 1/2 in ones.",
	Why:          "A joint held at one place opens at the other when the run is loaded.",
	LimitWords:   "the right screw, as many as planned, through the right place, front and upper rear",
	Source:       "common practice, no source",
	Needs:        "Look which screws join the cabinets at the front and at the upper rear, how many, and through what",
	Remedy:       "Join the cabinets at the place named with the screw named, clamped flush",
	NoConcession: "a cabinet that is not joined can tip",
	observe:      askJoints((*asker).fastened),
	judge:        eachJoint((*bench).fastened),
}

// nominal is how far a screw may be from its nominal length and still be that
// screw: metric screws sold for 1/2 in and 1 1/4 in differ by less.
const nominal = length.Inch / 32

// joinedWith is how one place of a joint has to be joined.
type joinedWith struct {
	words, through string
	length         length.Length
}

func (j *joint) wanted() (front, rear joinedWith) {
	front = joinedWith{"front", "behind front rail", length.Inch / 2}
	if j.left.cabinet.Doors()+j.right.cabinet.Doors() > 0 {
		front = joinedWith{"front", "vacated hinge hole", length.Inch * 5 / 4}
	}
	return front, joinedWith{"upper rear", "side", length.Inch / 2}
}

func (j *joint) fastenings() (front, rear observed[schema.Fastening]) {
	front = latest(j.seen, func(s *schema.JointSeen) *schema.Fastening { return s.Fastened.Front }, "fastened", "front")
	rear = latest(j.seen, func(s *schema.JointSeen) *schema.Fastening { return s.Fastened.UpperRear }, "fastened", "upper_rear")
	return front, rear
}

func (b *bench) fastened(j *joint) {
	if j.left.cabinet == nil || j.right.cabinet == nil {
		return
	}
	wantFront, wantRear := j.wanted()
	front, rear := j.fastenings()
	var wrong, unseen []string
	r := Result{Subject: j.subject}
	r.Visit, r.Pointer = newer(front, rear)
	for _, p := range []struct {
		want joinedWith
		got  observed[schema.Fastening]
	}{{wantFront, front}, {wantRear, rear}} {
		if !p.got.ok {
			unseen = append(unseen, p.want.words)
			continue
		}
		if p.got.value.Count > 0 && p.got.value.Through == "" {
			unseen = append(unseen, p.want.words)
			continue
		}
		if fault := b.fasteningFault(p.want, p.got.value); fault != "" {
			wrong = append(wrong, fault)
			r.Visit, r.Pointer = p.got.visit, p.got.at.pointer()
		}
	}
	switch {
	case len(wrong) > 0:
		r.Outcome, r.Finding = Fail, capital(strings.Join(wrong, "; "))
	case len(unseen) == 2:
		b.notObserved(j.subject, j.at, "How the joint is fastened")
		return
	case len(unseen) > 0:
		b.unseen(j.subject, j.at, "Fastening at the "+unseen[0]+" not observed")
		return
	default:
		r.Outcome, r.Finding = Pass, "Fastened at front and upper rear"
	}
	b.add(r)
}

func (b *bench) fasteningFault(want joinedWith, got schema.Fastening) string {
	screw := b.rec.Planned.Fasteners[got.Fastener]
	switch {
	case got.Count == 0:
		return "no fastener at the " + want.words
	case got.Count < screw.Each:
		return fmt.Sprintf("%s at the %s, %d planned", plural(got.Count, "fastener", "fasteners"), want.words, screw.Each)
	case got.Through != want.through:
		return fmt.Sprintf("%s fastened through %s, not %s", want.words, got.Through, want.through)
	case (screw.Length - want.length).Abs() > nominal:
		return fmt.Sprintf("%s fastened with screws %s long, not %s", want.words, b.write(screw.Length), b.write(want.length))
	}
	return ""
}

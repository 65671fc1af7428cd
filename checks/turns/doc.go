// Package turns finds which leveler bolts of a run to turn, which way and how
// far, so that its tops pass. It knows heights and limits, and no records.
//
// A fault is a set of corners that cannot all stay as they are: one that stands
// off the mark, two that are out of level, four that are twisted, up to four
// that carry a minimum zone beyond its limit. Every fault needs one of its
// corners turned, so that [Solve] looks for a small set of corners that hits
// every fault. How high the turned ones have to stand follows from those that
// stay: the least and the greatest height of each, in whole eighths of a turn,
// by the shortest way from any of them. Such bounds are exact: of heights of
// which each may be so far above another, the highest that serve serve together,
// whatever steps each of them goes in. Where there are none, the corners that
// stand in the way are a fault more.
//
// Lengths are whole nanometres and turns are fractions of them, so that nothing
// is rounded but the minimum zone, which is right to a nanometre.
//
// What is where: model.go makes a run ready, hit.go finds a small set of bolts that hits
// every fault, bounds.go how far each can go, holds.go judges, solve.go goes round until
// all holds and leaves out what can be, budget.go counts its steps, serving.go says what serves where bolts do not
// reach, order.go makes the answer of a run in a mirror the answer in a mirror.
package turns

// Package strip finds one height that serves several rows of cabinets: the
// strip that the heights which serve each of them have in common.
//
// Heights are readings of the cabinet tops down from one level reference line,
// so that a larger reading is lower. A [Row] is what limits its height from
// above and from below; [Common] finds the strip, or the two limits that leave
// none and by how much; [Pack] the height at which least packing makes one; and
// [Heights] the fewest heights that serve all rows that any height serves.
//
// Everything is exact in whole nanometres. What would exceed a length becomes
// the greatest or the least length there is. No function panics. The package
// judges nothing and knows no rule: those who call it make limits of rules.
package strip

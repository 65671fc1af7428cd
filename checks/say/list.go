package say

// And lists parts as a sentence does: "a", "a and b", "a, b and c". Of no
// parts it says nothing, as every list.
func And(parts ...Text) Text { return ending("%[1]s and %[2]s", parts) }

// Or lists parts likewise: "a, b or c".
func Or(parts ...Text) Text { return ending("%[1]s or %[2]s", parts) }

// Commas lists parts: "a, b, c".
func Commas(parts ...Text) Text { return joined("%[1]s, %[2]s", parts) }

// Semicolons lists parts that have commas of their own: "a; b; c".
func Semicolons(parts ...Text) Text { return joined("%[1]s; %[2]s", parts) }

// Sentences lists sentences: "A. B".
func Sentences(parts ...Text) Text {
	all := make([]Text, len(parts))
	for i, p := range parts {
		all[i] = Sentence(p)
	}
	return joined("%[1]s. %[2]s", all)
}

// Few lists parts as And does, and counts them where they are many.
func Few(parts ...Text) Text {
	return FewOf(len(parts), func(i int) Text { return parts[i] })
}

// FewOf is [Few] of n parts, of which only those that are named are made.
func FewOf(n int, part func(i int) Text) Text {
	const most = 6
	named := make([]Text, min(n, most), most+1)
	for i := range named {
		named[i] = part(i)
	}
	if n <= most {
		return And(named...)
	}
	return ending("%[1]s and %[2]s", append(named, That("%[1]s more", n-most)))
}

// joined puts a list together from the left, by a format of two. What says
// nothing is left out.
func joined(format string, parts []Text) (all Text) {
	for _, p := range parts {
		switch {
		case p.Empty():
		case all.Empty():
			all = p
		default:
			all = That(format, all, p)
		}
	}
	return all
}

// ending joins by commas, and the last part by a format of its own.
func ending(last string, parts []Text) Text {
	n := len(parts) - 1
	if n < 1 {
		return joined(last, parts)
	}
	return That(last, Commas(parts[:n]...), parts[n])
}

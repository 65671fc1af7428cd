package merge

import (
	"reflect"
	"slices"

	"setline.example/schema"
	"setline.example/schema/amend"
)

// rewritten is a text that says was at a pointer, and is to say now: by the
// smallest changes, so that what stays keeps its bytes.
func rewritten(text []byte, at string, was, now *node) ([]byte, error) {
	switch {
	case was == now:
		return text, nil
	case was.kind == '{' && now.kind == '{':
		return rewrittenObject(text, at, was, now)
	case was.kind == '[' && now.kind == '[' && len(was.kids) <= len(now.kids):
		if of, ok := aligned(was.kids, now.kids); ok {
			return rewrittenList(text, at, was, now, of)
		}
	case was.kind == now.kind && was.text == now.text && now.kind == 0:
		return text, nil
	}
	return amend.Replace(text, at, now.json())
}

func rewrittenObject(text []byte, at string, was, now *node) (_ []byte, err error) {
	for _, name := range was.names {
		if now.member(name) == nil {
			if text, err = amend.Remove(text, schema.Pointer(at, name)); err != nil {
				return nil, err
			}
		}
	}
	var fresh []amend.Member
	for i, name := range now.names {
		if old := was.member(name); old != nil {
			if text, err = rewritten(text, schema.Pointer(at, name), old, now.kids[i]); err != nil {
				return nil, err
			}
			continue
		}
		fresh = append(fresh, amend.Member{Name: name, Value: now.kids[i].json()})
	}
	return amend.Append(text, at, false, fresh)
}

// rewrittenList changes a list whose elements all stay; of says where each is now.
func rewrittenList(text []byte, at string, was, now *node, of []int) (_ []byte, err error) {
	for i, kid := range was.kids {
		if text, err = rewritten(text, schema.Pointer(at, i), kid, now.kids[of[i]]); err != nil {
			return nil, err
		}
	}
	end := -1 // where the last that stays is now
	if len(of) > 0 {
		end = of[len(of)-1]
	}
	for i := 0; i < end; i++ {
		if !slices.Contains(of, i) {
			if text, err = amend.Add(text, schema.Pointer(at, i), now.kids[i].json()); err != nil {
				return nil, err
			}
		}
	}
	var fresh []amend.Member
	for _, kid := range now.kids[end+1:] {
		fresh = append(fresh, amend.Member{Value: kid.json()})
	}
	return amend.Append(text, at, true, fresh)
}

// aligned finds for elements of a list where they are in another, in order; ok is
// false where one is not there.
func aligned(was, now []*node) (of []int, ok bool) {
	if len(was) == len(now) {
		for i := range was {
			of = append(of, i)
		}
		return of, true
	}
	k := 0
	for _, kid := range was {
		for k < len(now) && !likely(kid, now[k]) {
			k++
		}
		if k == len(now) {
			return nil, false
		}
		of = append(of, k)
		k++
	}
	return of, true
}

// likely reports whether two elements are of one thing: the same value, or an
// object that is called the same.
func likely(a, b *node) bool {
	if a == b || same(a, b) {
		return true
	}
	for _, t := range []reflect.Type{
		reflect.TypeFor[schema.Room](), reflect.TypeFor[schema.Unit](), reflect.TypeFor[schema.SaidOfAll](),
		reflect.TypeFor[schema.OpenItem](), reflect.TypeFor[schema.Photo](),
	} {
		if name := keys[t](a); name != "" && name == keys[t](b) {
			return true
		}
	}
	return a.member("people") != nil && newSighting(a).String() == newSighting(b).String() && a.member("entered").value() == b.member("entered").value()
}

package checks

// What most rules go over, in walking order. These functions, and others of which
// declarations are made, are not put into their callers: a browser compiles every
// function that is called, and would compile each once for every rule.

//go:noinline
func eachElevation(judge func(*bench, *elevation)) func(*bench) {
	return func(b *bench) {
		for _, r := range b.rooms {
			for _, e := range r.elevations {
				judge(b, e)
			}
		}
	}
}

//go:noinline
func eachCabinet(judge func(*bench, *elevation, *unit)) func(*bench) {
	return eachElevation(func(b *bench, e *elevation) {
		for _, u := range e.units {
			if u.cabinet != nil {
				judge(b, e, u)
			}
		}
	})
}

//go:noinline
func eachJoint(judge func(*bench, *joint)) func(*bench) {
	return eachElevation(func(b *bench, e *elevation) {
		for _, j := range e.joints {
			if j != nil {
				judge(b, j)
			}
		}
	})
}

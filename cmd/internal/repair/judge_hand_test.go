package repair

// stopped does what the operator was told to do with tools and steps.
func (r *judged) stopped() string {
	if n := r.told[0]; n > 0 {
		if _, known := r.pos['Z']; known && r.low() {
			return "the tool is changed by hand while it stands low"
		}
		r.tool = n
		r.changed()
		r.touched = n
	}
	if n := r.told[1]; n > 0 {
		r.changed()
		r.touched = n
	}
	if n := r.told[2]; n > 0 {
		r.steps = append(r.steps, n)
	}
	r.told = [3]int{}
	return ""
}

// changed forgets what goes with the tool that was in the spindle.
func (r *judged) changed() {
	delete(r.pos, 'Z')
	r.touched, r.offset = 0, 0
}

// length says what is wrong with the length of the tool that moves.
func (r *judged) length() string {
	want := 0
	if r.setup.LengthComp {
		want = r.tool
	}
	switch {
	case r.offset != want:
		return "the tool moves with another length than its own"
	case !r.setup.LengthComp && r.touched != r.tool:
		return "the tool moves before it is touched off"
	}
	return ""
}

package intake

import (
	"fmt"
	"strconv"

	"github.com/go-json-experiment/json"
	"setline.example/schema"
	"setline.example/schema/amend"
	"setline.example/schema/length"
)

// Job is what is known of a job before its tables: the project, and what all
// cabinets share. Lengths are as people write them, "" where not known.
type Job struct {
	Project     schema.Project
	SignOff     schema.SignOff // who signs, nil where nobody is named
	SpecSection string
	LengthsIn   length.System

	Height, Depth, FrontRailDepth string
	LevelerLeast, LevelerGreatest string
	LevelerPitch, LevelerReserve  string
	WidthTolerance                string
	Threads, Gauge                int
}

// Begin returns a record of the job that has no rooms yet, and its text, for
// [Bring]. The error is about a length that cannot be read.
func Begin(j Job) (*schema.Record, []byte, error) {
	var project, planned, usual, leveler object
	for _, m := range []struct{ name, value string }{
		{"name", j.Project.Name}, {"number", j.Project.Number}, {"address", j.Project.Address},
		{"installer", j.Project.Installer}, {"contractor", j.Project.Contractor},
	} {
		project.text(m.name, m.value)
	}
	planned.put("project", project.json())
	planned.text("spec_section", j.SpecSection)
	planned.text("lengths_in", string(j.LengthsIn))
	leveler.text("least", j.LevelerLeast)
	leveler.text("greatest", j.LevelerGreatest)
	if j.Threads != 0 {
		leveler.put("threads_per_inch", []byte(strconv.Itoa(j.Threads)))
	}
	leveler.text("pitch", j.LevelerPitch)
	leveler.text("reserve", j.LevelerReserve)
	usual.text("height", j.Height)
	usual.text("depth", j.Depth)
	usual.text("width_tolerance", j.WidthTolerance)
	if j.Gauge != 0 {
		usual.put("gauge", []byte(strconv.Itoa(j.Gauge)))
	}
	usual.text("front_rail_depth", j.FrontRailDepth)
	if len(leveler) > 0 {
		usual.put("leveler", leveler.json())
	}
	if len(usual) > 0 {
		planned.put("usual", usual.json())
	}
	// One member after the other, so that each comes on a line of its own.
	text := []byte("{\n  \"setline\": 1,\n  \"planned\": {\n    \"project\": {\n    }\n  }\n}\n")
	text, err := amend.Append(text, "/planned/project", false, project)
	if err == nil {
		text, err = amend.Append(text, "/planned", false, planned[1:])
	}
	if agreed := signOff(j.SignOff); err == nil && len(agreed) > 0 {
		text, err = amend.Append(text, "", false, agreed)
	}
	rec := new(schema.Record)
	if err == nil {
		err = json.Unmarshal(text, rec)
	}
	if err != nil {
		return nil, nil, fmt.Errorf("beginning the record: %w", err)
	}
	return rec, text, nil
}

// signOff is the part of a record that names who signs.
func signOff(s schema.SignOff) (agreed object) {
	var all object
	for _, m := range []struct {
		role string
		who  *schema.Signer
	}{{"inspector", s.Inspector}, {"installer", s.Installer}, {"contractor", s.Contractor}} {
		if m.who == nil {
			continue
		}
		var signer object
		signer.text("name", m.who.Name)
		signer.text("firm", m.who.Firm)
		all.put(m.role, signer.json())
	}
	if len(all) > 0 {
		var sign object
		sign.put("sign_off", all.json())
		agreed.put("agreed", sign.json())
	}
	return agreed
}

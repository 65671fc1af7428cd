package collect

import (
	"testing"

	"github.com/go-json-experiment/json"
)

// What people typed stays as they typed it, readable in the record.
func TestObjectKeepsOrderAndLetters(t *testing.T) {
	o := &object{}
	o.put([]string{"people", "0", "firm"}, "Fennick & Dole <casework>")
	o.put([]string{"date"}, "2026-10-06")
	o.put([]string{"people", "0", "name"}, "Žofie \"Z\" Brázdilová")
	got, err := json.Marshal(o)
	want := `{"people":{"0":{"firm":"Fennick & Dole <casework>","name":"Žofie \"Z\" Brázdilová"}},"date":"2026-10-06"}`
	if err != nil || string(got) != want {
		t.Errorf("%s, %v, want %s", got, err, want)
	}
}

package main

import (
	"strings"
	"testing"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"
)

// TestFlagsComplete asks a shell's question of every flag of a name that can be
// completed: it has an answer wherever the command reads a record, or needs none.
func TestFlagsComplete(t *testing.T) {
	long(t)
	asked := 0
	all := map[string]bool{}
	walkCommands(newRoot(), func(c *cobra.Command) {
		c.Flags().VisitAll(func(f *pflag.Flag) {
			name := c.CommandPath() + " --" + f.Name
			all[name] = true
			_, same := flagValues[f.Name]
			own, other := flagValuesOf[name]
			if f.Value.Type() == "bool" || !same && !other || other && own == nil {
				return
			}
			asked++
			ask, ok := c.GetFlagCompletionFunc(f.Name)
			if !ok {
				t.Errorf("%s is not completed", name)
				return
			}
			record := "../../examples/annex/job.json"
			if f.Name == "limit" {
				record = "../../examples/metric/job.json" // whose contract sets some
			}
			values, directive := ask(c, []string{record}, "")
			if len(values) == 0 || directive != cobra.ShellCompDirectiveNoFileComp {
				t.Errorf("%s is completed with %q, %v", name, values, directive)
			}
			for _, v := range values {
				if some, _ := ask(c, []string{record}, v); len(some) == 0 || some[0] != v {
					t.Errorf("%s: %q is completed with %q", name, v, some)
				}
			}
		})
	})
	for name := range flagValuesOf {
		if !all[name] {
			t.Errorf("there is no %s", name)
		}
	}
	if asked < 30 {
		t.Errorf("%d flags were asked", asked)
	}
}

func walkCommands(c *cobra.Command, do func(*cobra.Command)) {
	do(c)
	for _, sub := range c.Commands() {
		walkCommands(sub, do)
	}
}

// TestBashCompletesAlone holds the script to need nothing of the package
// bash-completion: whatever of it is called is called by our own functions,
// which do without where it is not there.
func TestBashCompletesAlone(t *testing.T) {
	var script strings.Builder
	if err := writeBashCompletion(newRoot(), &script); err != nil {
		t.Fatal(err)
	}
	for _, name := range []string{"_get_comp_words_by_ref", "_filedir", "__ltrim_colon_completions", "_init_completion -n"} {
		got, want := strings.Count(script.String(), name), strings.Count(string(bashAlone), name)
		if name == "_init_completion -n" {
			want = 2 // asked for first, and ours, which calls __setline_words
		}
		if got != want {
			t.Errorf("%s stands %d times in the script, want %d", name, got, want)
		}
	}
	if n := strings.Count(script.String(), "__setline_words "); n != 1 {
		t.Errorf("our splitter is called %d times, want 1", n)
	}
}

package main

import (
	"errors"
	"flag"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/rogpeppe/go-internal/testscript"
)

func TestMain(m *testing.M) {
	killAt(os.Getenv(killVariable))
	testscript.Main(m, map[string]func(){
		"setline": func() { os.Exit(run(os.Args[1:], os.Stdin, os.Stdout, os.Stderr)) },
	})
}

var updateScripts = flag.Bool("update-scripts", false, "write what scripts compare with anew, as it is")

// quick are the scripts of a fast loop: the gate, and the way of a job through
// tables, a sheet and a report.
var quick = []string{"check", "check_refuses", "punch", "report", "sheet", "tables"}

// TestScripts runs the scripts under testdata/script. Each is one page: the
// calls, what they must print, and the files they read.
func TestScripts(t *testing.T) {
	testscript.Run(t, testscript.Params{
		Dir:           "../../testdata/script",
		UpdateScripts: *updateScripts,
		Setup: func(env *testscript.Env) error {
			if name := strings.TrimPrefix(filepath.Base(env.WorkDir), "script-"); testing.Short() && !slices.Contains(quick, name) {
				env.T().Skip("it takes long, so this was not checked (-short)")
			}
			for name, folder := range map[string]string{"EXAMPLES": "../../examples", "TESTDATA": "../../report/testdata", "PUBLISHED": "../../testdata/published"} {
				path, err := filepath.Abs(folder)
				if err != nil {
					return err
				}
				env.Setenv(name, path)
			}
			return nil
		},
		Cmds: map[string]func(*testscript.TestScript, bool, []string){
			"exits": exits,
		},
		Condition:           condition,
		RequireExplicitExec: true,
		RequireUniqueNames:  true,
	})
}

// exits runs setline and holds its exit code against the first argument:
// "exits 1 check job.json".
func exits(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) < 1 {
		ts.Fatalf("usage: exits CODE ARGUMENT...")
	}
	want, err := strconv.Atoi(args[0])
	ts.Check(err)
	code := 0
	if err := ts.Exec("setline", args[1:]...); err != nil {
		var ee *exec.ExitError
		if !errors.As(err, &ee) {
			ts.Fatalf("setline did not run: %v", err)
		}
		code = ee.ExitCode()
	}
	if outOfTime(ts.ReadFile("stderr")) {
		ts.Fatalf("the time for these tests was up while setline ran; the machine does other things, or -timeout is short")
	}
	if code != want {
		ts.Fatalf("setline %s: exit code %d, want %d", strings.Join(args[1:], " "), code, want)
	}
}

// outOfTime reports whether a program wrote what it was at when it got SIGQUIT,
// which is how a script's program is ended when time is up. Its exit code is 2,
// as of a file that is refused, so that the next line of the script, which asks
// for the refusal, would seem to fail.
func outOfTime(stderr string) bool { return strings.HasPrefix(stderr, "SIGQUIT: quit\n") }

// condition knows "missing:TOOL": true on a machine without an outside tool,
// so that a script can skip itself there. In CI the tool must be.
func condition(cond string) (bool, error) {
	tool, ok := strings.CutPrefix(cond, "missing:")
	if !ok {
		return false, fmt.Errorf("unknown condition %q", cond)
	}
	if _, err := exec.LookPath(tool); err == nil {
		return false, nil
	}
	if os.Getenv("CI") == "true" {
		return false, fmt.Errorf("%s is not installed; .ci/run must install it", tool)
	}
	return true, nil
}

package main

import (
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"go.yaml.in/yaml/v3"
)

// hooks are what .pre-commit-hooks.yaml defines.
func hooks(t *testing.T) []hook {
	t.Helper()
	data, err := os.ReadFile("../../.pre-commit-hooks.yaml")
	if err != nil {
		t.Fatal(err)
	}
	var all []hook
	if err := yaml.Unmarshal(data, &all); err != nil {
		t.Fatal(err)
	}
	return all
}

type hook struct {
	ID            string
	Entry         string
	Args          []string
	Language      string
	PassFilenames *bool `yaml:"pass_filenames"`
}

// TestHookRuns: what the hook calls does its work in a folder of records.
func TestHookRuns(t *testing.T) {
	for _, h := range hooks(t) {
		words := append(strings.Fields(h.Entry), h.Args...)
		if words[0] != "setline" || h.Language != "golang" || h.PassFilenames == nil || *h.PassFilenames {
			t.Errorf("hook %+v", h)
		}
		dir := t.TempDir()
		if err := os.CopyFS(dir, os.DirFS("../../examples")); err != nil {
			t.Fatal(err)
		}
		t.Chdir(dir)
		var out, said strings.Builder
		if code := run(words[1:], strings.NewReader(""), &out, &said); code != exitNotReady {
			t.Errorf("exit code %d, want %d: %s", code, exitNotReady, said.String())
		}
		if !strings.Contains(out.String(), filepath.Join("annex", "job.json")+": NOT READY") {
			t.Errorf("%s", out.String())
		}
	}
}

// yamlBlocks gives the fenced blocks of README.md marked yaml.
func yamlBlocks(t *testing.T) []string {
	t.Helper()
	readme, err := os.ReadFile("../../README.md")
	if err != nil {
		t.Fatal(err)
	}
	var blocks []string
	for _, m := range regexp.MustCompile("(?s)```yaml\n(.*?)```").FindAllStringSubmatch(string(readme), -1) {
		blocks = append(blocks, m[1])
	}
	if len(blocks) != 2 {
		t.Fatalf("README.md has %d blocks of YAML, want the hook and the workflow", len(blocks))
	}
	return blocks
}

// TestHookIsWellFormed asks pre-commit itself about the definition and about
// the configuration that README.md shows.
func TestHookIsWellFormed(t *testing.T) {
	long(t)
	tool, err := exec.LookPath("pre-commit")
	if err != nil {
		if os.Getenv("CI") == "true" {
			t.Fatal("pre-commit is not installed; .ci/run must install it")
		}
		t.Skip("pre-commit is not installed; .ci/run installs it")
	}
	config := filepath.Join(t.TempDir(), "config.yaml")
	block := yamlBlocks(t)[0]
	if err := os.WriteFile(config, []byte(block), 0o644); err != nil {
		t.Fatal(err)
	}
	if id := hooks(t)[0].ID; !strings.Contains(block, "id: "+id+"\n") {
		t.Errorf("README.md does not name the hook %q", id)
	}
	for _, args := range [][]string{{"validate-manifest", "../../.pre-commit-hooks.yaml"}, {"validate-config", config}} {
		c := exec.CommandContext(t.Context(), tool, args...)
		c.Env = append(os.Environ(), "PRE_COMMIT_HOME="+t.TempDir())
		if out, err := c.CombinedOutput(); err != nil || strings.Contains(string(out), "WARNING") {
			t.Errorf("%v: %v\n%s", args, err, out)
		}
	}
}

// TestWorkflowRuns: the calls of setline in the workflow of README.md do
// what they say. What belongs to the server that runs it is not run.
func TestWorkflowRuns(t *testing.T) {
	var workflow struct {
		Jobs map[string]struct {
			Steps []struct {
				Run  string
				Uses string
				If   string
				With map[string]any
			}
		}
	}
	if err := yaml.Unmarshal([]byte(yamlBlocks(t)[1]), &workflow); err != nil {
		t.Fatal(err)
	}
	dir := t.TempDir()
	if err := os.CopyFS(dir, os.DirFS("../../examples")); err != nil {
		t.Fatal(err)
	}
	t.Chdir(dir)
	ran := 0
	for _, job := range workflow.Jobs {
		for _, step := range job.Steps {
			if words := strings.Fields(step.Run); len(words) > 0 && words[0] == "setline" {
				ran++
				if code := run(words[1:], strings.NewReader(""), new(strings.Builder), new(strings.Builder)); code != exitNotReady {
					t.Errorf("%s: exit code %d, want %d", step.Run, code, exitNotReady)
				}
			}
			if name, ok := step.With["sarif_file"]; ok {
				if data, err := os.ReadFile(name.(string)); err != nil || !strings.Contains(string(data), `"version": "2.1.0"`) || step.If != "always()" {
					t.Errorf("what is shown was not written, or only when nothing fails: %v", err)
				}
			}
		}
	}
	if ran == 0 {
		t.Error("the workflow runs nothing")
	}
}

package main

import (
	"os"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gopkg.in/yaml.v3"
)

// indexedJob is the example of an indexed Job, as far as it is played here.
type indexedJob struct {
	Kind string
	Spec struct {
		CompletionMode           string `yaml:"completionMode"`
		Completions, Parallelism int
		Template                 struct {
			Spec struct {
				Containers []struct {
					WorkingDir string `yaml:"workingDir"`
					Command    []string
					Env        []struct{ Name, Value string }
					Mounts     []struct {
						Name, MountPath string
					} `yaml:"volumeMounts"`
				}
				Volumes []struct{ Name string }
			}
		}
	}
}

// jobOnThePage reads it from the page on audits.
func jobOnThePage(t *testing.T) indexedJob {
	t.Helper()
	page, err := os.ReadFile("../../docs/audit.md")
	require.NoError(t, err)
	block := regexp.MustCompile("(?s)```yaml\n(apiVersion: batch/v1\n.*?)```").FindSubmatch(page)
	require.NotNil(t, block)
	var job indexedJob
	require.NoError(t, yaml.Unmarshal(block[1], &job))
	require.Equal(t, "Job", job.Kind)
	require.Equal(t, "Indexed", job.Spec.CompletionMode)
	require.Len(t, job.Spec.Template.Spec.Containers, 1)
	return job
}

// TestTheIndexedJobPlayedThrough runs the command of each pod with the variables that it
// would have, and holds that the shares merge into the report of one run, to the byte.
func TestTheIndexedJobPlayedThrough(t *testing.T) {
	job, dir := jobOnThePage(t), sharesScene(t)
	pod := job.Spec.Template.Spec.Containers[0]
	require.NoError(t, os.Mkdir(filepath.Join(dir, "reports"), 0o777))
	require.Equal(t, []string{"sh", "-c"}, pod.Command[:2])
	command := strings.ReplaceAll(pod.Command[2], "=/reports/", "=reports/") // the mount
	require.NotEqual(t, command, pod.Command[2])
	var env []string
	for _, e := range pod.Env {
		env = append(env, "export "+e.Name+"="+e.Value)
		assert.Equal(t, strconv.Itoa(job.Spec.Completions), e.Value, "as many shares as pods")
	}
	require.Len(t, env, 1)
	for i := range job.Spec.Completions {
		code, out := shell(t, dir, strings.Join(env, "\n")+"\nexport JOB_COMPLETION_INDEX="+strconv.Itoa(i)+"\nsh -c '"+command+"'")
		require.Zero(t, code, out)
	}
	code, merged := shell(t, dir, "printlint merge reports/*.json --format json")
	assert.Equal(t, 1, code)
	code, whole := shell(t, dir, "printlint check models --format json 2>/dev/null")
	assert.Equal(t, 1, code)
	assert.Equal(t, whole, merged)
}

// TestTheIndexedJobMountsWhatItUses holds the names of volumes, both ways.
func TestTheIndexedJobMountsWhatItUses(t *testing.T) {
	spec := jobOnThePage(t).Spec.Template.Spec
	var mounted, there []string
	for _, m := range spec.Containers[0].Mounts {
		mounted = append(mounted, m.Name)
	}
	for _, v := range spec.Volumes {
		there = append(there, v.Name)
	}
	require.NotEmpty(t, mounted)
	assert.ElementsMatch(t, mounted, there)
}

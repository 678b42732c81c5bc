package cli

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"printlint/internal/finding"
)

// environment is a stand-in for that of a job.
type environment map[string]string

func (e environment) get(name string) string { return e[name] }

// slurm is the environment of one task of a job array.
func slurm(id, count, first, last, step string) environment {
	e := environment{"SLURM_ARRAY_TASK_ID": id, "SLURM_ARRAY_TASK_COUNT": count, "SLURM_ARRAY_TASK_MIN": first, "SLURM_ARRAY_TASK_MAX": last}
	if step != "" {
		e["SLURM_ARRAY_TASK_STEP"] = step
	}
	return e
}

func TestShardOfAFlag(t *testing.T) {
	all := environment{"PRINTLINT_SHARD": "3/4", "JOB_COMPLETION_INDEX": "0", "PRINTLINT_SHARDS": "2", "CI_NODE_INDEX": "1", "CI_NODE_TOTAL": "2"}
	s, err := shardOf("", all.get)
	require.NoError(t, err)
	assert.Nil(t, s, "the environment counts only when it is asked for")
	for text, want := range map[string]finding.Shard{"1/1": {Index: 1, Count: 1}, "2/8": {Index: 2, Count: 8}, "10000/10000": {Index: 10000, Count: 10000}} {
		s, err := shardOf(text, all.get)
		require.NoError(t, err)
		assert.Equal(t, want, *s)
	}
	for _, text := range []string{"0/3", "4/3", "-1/3", "1", "1/", "/2", "a/b", "1/2/3", "1.5/2", "1/10001", " 1/2", "01x/2"} {
		_, err := shardOf(text, all.get)
		assert.ErrorContains(t, err, "write K/N, share K of N counted from 1, such as 2/8", text)
	}
}

func TestShardOfAJobArray(t *testing.T) {
	for _, c := range []struct {
		why          string
		env          environment
		index, count int
	}{
		{"our own", environment{"PRINTLINT_SHARD": "3/4"}, 3, 4},
		{"our own before others", environment{"PRINTLINT_SHARD": "3/4", "JOB_COMPLETION_INDEX": "0", "PRINTLINT_SHARDS": "2"}, 3, 4},
		{"an indexed Job counts from 0", environment{"JOB_COMPLETION_INDEX": "0", "PRINTLINT_SHARDS": "8"}, 1, 8},
		{"its last", environment{"JOB_COMPLETION_INDEX": "7", "PRINTLINT_SHARDS": "8"}, 8, 8},
		{"an array from 1", slurm("1", "4", "1", "4", "1"), 1, 4},
		{"an array from 0", slurm("3", "4", "0", "3", ""), 4, 4},
		{"an array with a step", slurm("17", "4", "5", "23", "6"), 3, 4},
		{"parallel jobs from 1", environment{"CI_NODE_INDEX": "2", "CI_NODE_TOTAL": "2"}, 2, 2},
	} {
		s, err := shardOf(shardAuto, c.env.get)
		if assert.NoError(t, err, c.why) {
			assert.Equal(t, finding.Shard{Index: c.index, Count: c.count}, *s, c.why)
		}
	}
}

func TestShardOfAJobArrayThatCannotBe(t *testing.T) {
	for want, env := range map[string]environment{
		"--shard auto: no job array speaks here": {},
		"--shard auto: JOB_COMPLETION_INDEX is set, but not out of how many; set PRINTLINT_SHARDS to the completions of the Job": {"JOB_COMPLETION_INDEX": "0"},
		`--shard auto: JOB_COMPLETION_INDEX is "8" of "8" in PRINTLINT_SHARDS, which cannot be`:                                  {"JOB_COMPLETION_INDEX": "8", "PRINTLINT_SHARDS": "8"},
		`--shard auto: JOB_COMPLETION_INDEX is "x", no number`:                                                                   {"JOB_COMPLETION_INDEX": "x", "PRINTLINT_SHARDS": "8"},
		`--shard auto: CI_NODE_INDEX is "0" of "" in CI_NODE_TOTAL, which cannot be`:                                             {"CI_NODE_INDEX": "0"},
		`--shard auto: SLURM_ARRAY_TASK_COUNT is "", no number`:                                                                  slurm("1", "", "1", "4", "1"),
		`PRINTLINT_SHARD is "5/4"; write K/N, share K of N counted from 1, such as 2/8`:                                          {"PRINTLINT_SHARD": "5/4"},
	} {
		_, err := shardOf(shardAuto, env.get)
		assert.EqualError(t, err, want)
	}
	for _, env := range []environment{
		slurm("3", "3", "1", "7", "1"), slurm("9", "4", "1", "4", "1"), slurm("2", "2", "1", "3", "2"), slurm("1", "1", "1", "1", "0"), slurm("0", "4", "1", "4", "1"),
	} {
		_, err := shardOf(shardAuto, env.get)
		assert.ErrorContains(t, err, "the tasks of this array are not evenly numbered", "%v", env)
	}
}

package cli

import (
	"errors"
	"fmt"
	"strconv"
	"strings"

	"printlint/internal/finding"
)

// maxShards bounds the shares of a run.
const maxShards = 10000

// shardAuto asks for the share that a job array says this job has.
const shardAuto = "auto"

// shardOf reads the share that a flag asks for: empty for none, K/N, or auto. Of the
// environment nothing is read unless asked for: a job that happens to run in an array
// must not pass by checking a part.
func shardOf(flag string, getenv func(string) string) (*finding.Shard, error) {
	switch flag {
	case "":
		return nil, nil
	case shardAuto:
		return shardFrom(getenv)
	}
	return parseShard("--shard", flag)
}

// parseShard reads K/N.
func parseShard(what, text string) (*finding.Shard, error) {
	index, count, ok := strings.Cut(text, "/")
	k, errK := strconv.Atoi(index)
	n, errN := strconv.Atoi(count)
	if !ok || errK != nil || errN != nil || n < 1 || n > maxShards || k < 1 || k > n {
		return nil, fmt.Errorf("%s is %q; write K/N, share K of N counted from 1, such as 2/8", what, text)
	}
	return &finding.Shard{Index: k, Count: n}, nil
}

// shardFrom reads the share from the environment, from the first of these that is set:
//
//	PRINTLINT_SHARD                           K/N, as in the flag
//	JOB_COMPLETION_INDEX and PRINTLINT_SHARDS an indexed Job of Kubernetes counts from 0
//	                                          and does not tell its jobs how many there are
//	SLURM_ARRAY_TASK_ID, _COUNT, _MIN, _STEP  a job array of Slurm
//	CI_NODE_INDEX and CI_NODE_TOTAL           parallel jobs of several CI services, from 1
func shardFrom(getenv func(string) string) (*finding.Shard, error) {
	switch {
	case getenv("PRINTLINT_SHARD") != "":
		return parseShard("PRINTLINT_SHARD", getenv("PRINTLINT_SHARD"))
	case getenv("JOB_COMPLETION_INDEX") != "":
		if getenv("PRINTLINT_SHARDS") == "" {
			return nil, errors.New("--shard auto: JOB_COMPLETION_INDEX is set, but not out of how many; set PRINTLINT_SHARDS to the completions of the Job")
		}
		return numbered(getenv, "JOB_COMPLETION_INDEX", "PRINTLINT_SHARDS", func(i int) int { return i + 1 })
	case getenv("SLURM_ARRAY_TASK_ID") != "":
		return arrayShard(getenv)
	case getenv("CI_NODE_INDEX") != "":
		return numbered(getenv, "CI_NODE_INDEX", "CI_NODE_TOTAL", func(i int) int { return i })
	}
	return nil, &hinted{errors.New("--shard auto: no job array speaks here"), "set PRINTLINT_SHARD to K/N, such as 2/8"}
}

// numbered reads the share from two numbers.
func numbered(getenv func(string) string, index, count string, from1 func(int) int) (*finding.Shard, error) {
	i, err := strconv.Atoi(getenv(index))
	if err != nil {
		return nil, fmt.Errorf("--shard auto: %s is %q, no number", index, getenv(index))
	}
	s, err := parseShard(index+" of "+count, fmt.Sprintf("%d/%s", from1(i), getenv(count)))
	if err != nil {
		return nil, fmt.Errorf("--shard auto: %s is %q of %q in %s, which cannot be", index, getenv(index), getenv(count), count)
	}
	return s, nil
}

// arrayShard counts the tasks of an array from its first on, by its step. An array with
// gaps does not say which of its tasks this one is.
func arrayShard(getenv func(string) string) (*finding.Shard, error) {
	var number [5]int
	for i, name := range []string{"ID", "COUNT", "MIN", "MAX", "STEP"} {
		text := getenv("SLURM_ARRAY_TASK_" + name)
		if text == "" && name == "STEP" {
			text = "1"
		}
		var err error
		if number[i], err = strconv.Atoi(text); err != nil {
			return nil, fmt.Errorf("--shard auto: SLURM_ARRAY_TASK_%s is %q, no number", name, text)
		}
	}
	id, count, first, last, step := number[0], number[1], number[2], number[3], number[4]
	if step < 1 || count < 1 || last-first != (count-1)*step || id < first || id > last || (id-first)%step != 0 {
		return nil, errors.New("--shard auto: the tasks of this array are not evenly numbered; submit it as 1-N, or set PRINTLINT_SHARD")
	}
	return parseShard("SLURM_ARRAY_TASK_ID", fmt.Sprintf("%d/%d", (id-first)/step+1, count))
}

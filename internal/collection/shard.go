package collection

import (
	"cmp"
	"slices"
)

// fileCost is what a file costs beside its bytes, in bytes: starting on it, and the
// layers and rules that even the smallest model takes.
const fileCost = 32 << 10

// Shard returns share number index, from 1, of count shares of the files, in the order
// in which they came. Every file is in exactly one share; which one depends on the paths
// and sizes of all files and on nothing else. The largest goes first, each to the share
// that has least: no share costs more than 4/3 of what the best split would
// (R. L. Graham, Bounds on multiprocessing timing anomalies, 1969).
func Shard(files []File, index, count int) []File {
	var share []File
	for i, k := range Shares(files, count) {
		if k == index {
			share = append(share, files[i])
		}
	}
	return share
}

// Shares says of each file in which share it is, counted from 1.
func Shares(files []File, count int) []int {
	order := make([]int, len(files))
	for i := range order {
		order[i] = i
	}
	slices.SortFunc(order, func(a, b int) int {
		return cmp.Or(cmp.Compare(files[b].Size, files[a].Size), cmp.Compare(files[a].Path, files[b].Path))
	})
	load := make([]int64, count)
	in := make([]int, len(files))
	for _, i := range order {
		least := 0
		for s := range load {
			if load[s] < load[least] {
				least = s
			}
		}
		load[least] += files[i].Size + fileCost
		in[i] = least + 1
	}
	return in
}

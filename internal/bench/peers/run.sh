#!/usr/bin/env bash
# Times printlint's kernels and the peers that build.sh built into FOLDER/bin, in turns, on
# the meshes in FOLDER/meshes, which it writes where they are missing. Prints one table in
# Markdown. ROUNDS are those of each program in each of three passes; all lines go to
# FOLDER/lines.tsv.
set -euo pipefail

here=$(cd "$(dirname "${BASH_SOURCE[0]}")" && pwd)
# shellcheck source-path=SCRIPTDIR source=common.sh
. "$here/common.sh"

rounds=${2:-3}
if [ $# -lt 1 ] || [ $# -gt 2 ] || ! [[ $rounds =~ ^[1-9][0-9]*$ ]]; then
  fail "usage: run.sh FOLDER [ROUNDS]"
fi
folder=$(outside "$1")
passes=3
lines=$folder/lines.tsv
: >"$lines"

(cd "$here/../../.." && go build -o "$folder/bench" ./internal/bench)
if ! [ -d "$folder/meshes" ]; then
  rm -rf "$folder/meshes.new"
  "$folder/bench" meshes "$folder/meshes.new"
  mv "$folder/meshes.new" "$folder/meshes"
fi

# Peers keep their heap from round to round, as Go does. Otherwise they return it each time,
# and most of what is measured is the kernel's handing out of fresh pages.
export MALLOC_MMAP_MAX_=0 MALLOC_TRIM_THRESHOLD_=17179869184

missing=
load_before=$(cut -d ' ' -f 1-3 /proc/loadavg)
while read -r kernels programs meshes; do
  for mesh in ${meshes//,/ }; do
    file=$folder/meshes/$mesh.stl
    [ -f "$file" ] || fail "$file is missing: remove $folder/meshes, and it is written anew"
    for pass in $(seq "$passes"); do
      printf '%s on %s, pass %s of %s\n' "$kernels" "$mesh" "$pass" "$passes" >&2
      for kernel in ${kernels//,/ }; do
        "$folder/bench" kernel "$kernel" "$file" "$rounds" >>"$lines"
      done
      for program in ${programs//,/ }; do
        if [ -x "$folder/bin/$program" ]; then
          "$folder/bin/$program" "$file" "$rounds" >>"$lines"
        elif ! [[ " $missing " == *" $program "* ]]; then
          missing="$missing $program"
        fi
      done
    done
  done
done < <(pairings)

"$folder/bench" table <"$lines"
printf '\n%s passes of %s rounds; %s, %s, %s; load %s before, %s after.\n' "$passes" "$rounds" \
  "$(sed -n 's/^model name[^:]*: //p' /proc/cpuinfo | head -n 1)" "$(nproc) processors" \
  "$(go version | cut -d ' ' -f 3), ${CXX:-g++} $("${CXX:-g++}" -dumpfullversion 2>/dev/null || echo unknown)" \
  "$load_before" "$(cut -d ' ' -f 1-3 /proc/loadavg)"
for program in $missing; do
  read -r _ _ packages _ < <(peers | grep "^$program ")
  printf '\nNot timed: %s. Install %s and run build.sh again.\n' "$program" "${packages//,/ }"
done

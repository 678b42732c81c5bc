#!/usr/bin/env bash
# Builds the peers into FOLDER/bin, one after the other. A peer whose library is missing is
# left out, and the packages that would bring it are named. FOLDER must lie outside of the
# repository.
set -euo pipefail

here=$(cd "$(dirname "${BASH_SOURCE[0]}")" && pwd)
# shellcheck source-path=SCRIPTDIR source=common.sh
. "$here/common.sh"

[ $# = 1 ] || fail "usage: build.sh FOLDER"
folder=$(outside "$1")
compiler=${CXX:-g++}
command -v "$compiler" >/dev/null || fail "no C++ compiler $compiler: install the package g++, or name another in CXX"
mkdir -p "$folder/bin"

built=0
while read -r program headers packages libraries; do
  rm -f "$folder/bin/$program"
  # shellcheck disable=SC2086 # the headers are words
  if ! printf '#include <%s>\n' ${headers//,/ } | "$compiler" -std=c++17 -E -x c++ - >/dev/null 2>&1; then
    printf '%s: left out, <%s> is missing: apt-get install %s\n' "$program" "${headers//,/> or <}" "${packages//,/ }" >&2
    continue
  fi
  printf '%s\n' "$program"
  # shellcheck disable=SC2086 # the libraries are words
  "$compiler" -std=c++17 -O3 -march=native -o "$folder/bin/$program" "$here/$program.cpp" $libraries
  built=$((built + 1))
done < <(peers)
[ "$built" -gt 0 ] || fail "nothing was built"

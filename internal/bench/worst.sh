#!/usr/bin/env bash
# Times checks of the shapes that are small to write and hard to judge, and prints a table.
# Usage: internal/bench/worst.sh FOLDER [ARGUMENT ...]; FOLDER gets meshes of 15 MB, and the
# arguments go to printlint check, as --memory 100MB or --time-limit 5s.
set -euo pipefail
cd "$(dirname "$0")/../.."

[ $# -ge 1 ] || { sed -n '2,4s/^# //p' "$0" >&2; exit 2; }
mkdir -p "$1"
folder=$(cd "$1" && pwd)
shift
[ -x /usr/bin/time ] || { echo 'worst.sh: needs /usr/bin/time (Debian package time)' >&2; exit 2; }

go build -o "$folder/printlint" ./cmd/printlint
go run ./internal/bench worst "$folder"
cd "$folder"

echo '| shape | size, KB | wall, s | processor, s | memory, MiB | exit |'
echo '|---|---:|---:|---:|---:|---:|'
for file in *.stl; do
  code=0
  /usr/bin/time -o times -f '%e %U %S %M' ./printlint check --cache off -q "$@" "$file" >/dev/null 2>&1 || code=$?
  # A line about the exit code comes first where it is not 0.
  tail -1 times | awk -v shape="${file%.stl}" -v code="$code" -v size="$(stat -c %s "$file")" \
    '{ printf "| %s | %.0f | %.2f | %.2f | %.0f | %d |\n", shape, size / 1000, $1, $2 + $3, $4 / 1024, code }'
done

#!/usr/bin/env bash
# Times whole checks while one thing grows, and prints a table: the least of ROUNDS runs.
# Usage: internal/bench/growth.sh FOLDER [ROUNDS]; FOLDER gets meshes of 500 MB in all.
set -euo pipefail
cd "$(dirname "$0")/../.."

[ $# -ge 1 ] || { sed -n '2,3s/^# //p' "$0" >&2; exit 2; }
mkdir -p "$1"
folder=$(cd "$1" && pwd)
rounds=${2:-3}
[ -x /usr/bin/time ] || { echo 'growth.sh: needs /usr/bin/time (Debian package time)' >&2; exit 2; }

go build -o "$folder/printlint" ./cmd/printlint
[ -e "$folder/sheet-485k.stl" ] || go run ./internal/bench meshes "$folder"
[ -d "$folder/collection" ] || go run ./internal/bench collection "$folder/collection" 1000
go run ./internal/bench growth "$folder"
for n in 10 100; do
  mkdir -p "$folder/collection-$n"
  for i in $(seq -f '%04g' 0 $((n - 1))); do cp "$folder/collection/ball-$i.stl" "$folder/collection-$n/"; done
done
cd "$folder"

# row SERIES VALUE ARG...: one line of the table.
row() {
  local series=$1 value=$2
  shift 2
  for _ in $(seq "$rounds"); do
    # The exit code tells of findings, which is no failure here.
    { /usr/bin/time -f '%e %U %S %M' ./printlint check --no-advice --cache off -q "$@" 2>&1 >/dev/null || true; } | tail -1
  done | sort -n | head -1 | awk -v series="$series" -v value="$value" \
    '{ printf "| %s | %s | %.2f | %.2f | %.0f |\n", series, value, $1, $2 + $3, $4 / 1024 }'
}

echo '| what grows | to | wall, s | processor, s | memory, MiB |'
echo '|---|---|---|---|---|'
for n in 5k 20k 82k 328k 1311k; do row 'triangles, 100 mm' $n ball-$n.stl; done
row 'triangles in random order, 100 mm' 1311k ball-1311k-shuffled.stl
for h in 0.4 0.2 0.1 0.04; do row 'layers of 328k triangles, 100 mm: height in mm' $h --config layer-$h.yml ball-328k.stl; done
for d in 25 50 200; do row 'size of 328k triangles, mm' $d ball-328k-${d}mm.stl; done
for n in 10 100; do row 'files of 5k triangles' $n collection-$n; done
row 'files of 5k triangles' 1000 collection
for n in 1 10 100 1000; do row 'findings in one model' $n floating-$n.stl; done
for n in 5 50 500; do row 'rules with one angle, 20k triangles' $n --config rules-$n.yml ball-20k.stl; done
for n in 1 4 16; do row 'rules with an angle each, 20k triangles' $n --config angles-$n.yml ball-20k.stl; done

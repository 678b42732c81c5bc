#!/usr/bin/env bash
# What the action runs: builds printlint from the checkout that this file lies in, or takes it from a
# built archive, checks the models, and hands the results to the workflow through the runner's files.
# It needs bash 3.2 and git, and Go to build; curl for an archive that has an address.
#
#   GITHUB_STEP_SUMMARY  gets the Markdown summary
#   GITHUB_OUTPUT        gets the outputs that action.yml names
#   standard output      gets the findings as text, the complaints, then the annotations
#
# The exit code is that of the check.
set -euo pipefail

here=$(cd "$(dirname "${BASH_SOURCE[0]}")" && pwd)
summary=${GITHUB_STEP_SUMMARY:-/dev/null}
output=${GITHUB_OUTPUT:-/dev/null}
if [ -n "${RUNNER_TEMP:-}" ]; then
  export TMPDIR=$RUNNER_TEMP
fi
work=$(mktemp -d)

# fail TEXT: nothing was judged. Says so in all three places and stops.
fail() {
  local text=$1 escaped
  escaped=${text//'%'/%25}
  escaped=${escaped//$'\r'/%0D}
  escaped=${escaped//$'\n'/%0A}
  printf '::error title=printlint::%s\n' "$escaped"
  # An indented block is literal to Markdown, whatever stands in it.
  printf '## Models: nothing was judged\n\n%s\n' "$(printf '%s\n' "$text" | sed 's/^/    /')" >>"$summary"
  printf 'exit-code=2\n' >>"$output"
  exit 2
}

# lines TEXT: what stands on each line, without empty ones and carriage returns.
lines() {
  printf '%s\n' "$1" | tr -d '\r' | sed '/^[[:space:]]*$/d'
}

# digest FILE: its SHA-256; macOS has another program for it than Linux.
digest() {
  if command -v sha256sum >/dev/null; then sha256sum <"$1"; else shasum -a 256 <"$1"; fi | cut -d ' ' -f 1
}

# unpack ARCHIVE CHECKSUM: takes the program out of a built archive, once its checksum is right.
unpack() {
  local archive=$1 wanted said found
  wanted=$(printf '%s' "$2" | tr 'A-F' 'a-f')
  case $wanted in
    '' | *[!0-9a-f]*) fail 'archive: give the SHA-256 of the archive as checksum, 64 hexadecimal digits' ;;
  esac
  case $archive in
    https://*)
      said=$(curl --fail --silent --show-error --location --proto '=https' --connect-timeout 30 --retry 2 --output "$work/archive" -- "$archive" 2>&1) ||
        fail "archive: $archive could not be fetched: $said"
      archive=$work/archive
      ;;
    *://*) fail "archive: $archive is no https address" ;;
  esac
  [ -f "$archive" ] || fail "archive: there is no file $archive"
  found=$(digest "$archive")
  [ "$found" = "$wanted" ] || fail "archive: the SHA-256 of $1 is $found, not $wanted; it is another file than you asked for"
  mkdir "$work/unpacked"
  # tar takes a name with a colon for a file on another machine.
  said=$(tar -xzf - -C "$work/unpacked" <"$archive" 2>&1) || fail "archive: $1 could not be unpacked: $said"
  found=$(find "$work/unpacked" -type f \( -name printlint -o -name printlint.exe \) | head -n 1)
  [ -n "$found" ] || fail "archive: there is no printlint in $1"
  mv "$found" "$work/printlint"
  "$work/printlint" version >/dev/null 2>&1 || fail "archive: the printlint in $1 does not run here; is it built for another system?"
}

if [ -n "${PRINTLINT_ARCHIVE:-}" ]; then
  unpack "$PRINTLINT_ARCHIVE" "${PRINTLINT_CHECKSUM:-}"
elif [ -n "${PRINTLINT_CHECKSUM:-}" ]; then
  fail 'checksum: it is of an archive, and none is given'
elif ! built=$(cd "$here/.." && GOWORK=off go build -o "$work/printlint" ./cmd/printlint 2>&1); then
  fail "printlint could not be built from its checkout: $built"
fi

# What is kept as an artifact. The summary lies beside its pictures, which it names from there.
folder=
shown=$work/summary.md
if [ -n "${PRINTLINT_ARTIFACT:-}" ]; then
  folder=$work/folder
  shown=$folder/summary.md
  mkdir "$folder"
fi

args=(check
  --also "json=$work/report.json"
  --also "code-scanning=$work/printlint.sarif"
  --also "markdown=$shown"
  --also "github=$work/annotations")
[ -z "${PRINTLINT_CONFIGURATION:-}" ] || args+=(--config "$PRINTLINT_CONFIGURATION")
[ -z "${PRINTLINT_FAIL_AT:-}" ] || args+=(--fail-at "$PRINTLINT_FAIL_AT")
[ -z "${PRINTLINT_FAIL_ON:-}" ] || args+=(--fail-on "$PRINTLINT_FAIL_ON")
[ -z "$folder" ] || args+=(--pictures "$folder/pictures" --also "html=$folder/pages/")
[ -z "${PRINTLINT_CHANGED_SINCE:-}" ] || args+=(--changed "$PRINTLINT_CHANGED_SINCE")
[ -z "${PRINTLINT_RULES_FROM:-}" ] || args+=(--rules-from "$PRINTLINT_RULES_FROM")
while IFS= read -r report; do
  args+=(--also "$report")
done < <(lines "${PRINTLINT_REPORTS:-}")
args+=(--)
while IFS= read -r path; do
  args+=("$path")
done < <(lines "${PRINTLINT_PATHS:-}")

# Names of files end up in the log, and a log is read for commands: none are obeyed until the
# token comes, which nobody can guess. Complaints begin with names too. They go the same way: a
# line on standard error may be read after the token.
token=$(od -An -N16 -tx1 /dev/urandom | tr -d ' \n')
printf '::stop-commands::%s\n' "$token"
code=0
"$work/printlint" "${args[@]}" 2>"$work/complaints" || code=$?
cat "$work/complaints"
printf '\n::%s::\n' "$token"

if [ ! -s "$work/report.json" ]; then
  said=$(cat "$work/complaints")
  fail "${said:-printlint ended with exit code $code and said nothing; 137 is mostly too little memory}"
fi
# The summary of a job cannot show files: the lines with pictures are for whoever opens the artifact.
grep -v '^!\[the model as it lies, its findings numbered\](' "$shown" >>"$summary"
cat "$work/annotations"

# total NAME: one number of the report's summary, whose layout is part of its contract.
total() {
  sed -n "/^  \"summary\": {\$/,/^  }/s/^    \"$1\": \\([0-9]*\\),\\{0,1\\}\$/\\1/p" "$work/report.json"
}

{
  printf 'exit-code=%s\n' "$code"
  printf 'models=%s\n' "$(total models)"
  printf 'errors=%s\n' "$(total error)"
  printf 'warnings=%s\n' "$(total warning)"
  printf 'notes=%s\n' "$(total note)"
  printf 'waived=%s\n' "$(total waived)"
  printf 'undecided=%s\n' "$(total undecided)"
  printf 'unreadable=%s\n' "$(total unreadable)"
  printf 'sarif=%s\n' "$work/printlint.sarif"
  printf 'json=%s\n' "$work/report.json"
  printf 'folder=%s\n' "$folder"
} >>"$output"
exit "$code"

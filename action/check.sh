#!/usr/bin/env bash
# What the action runs: builds printlint from the checkout that this file lies in, checks the
# models, and hands the results to the workflow through the runner's files. It needs bash 3.2,
# Go and git.
#
#   GITHUB_STEP_SUMMARY  gets the Markdown summary
#   GITHUB_OUTPUT        gets the outputs that action.yml names
#   standard output      gets the findings as text, then the annotations
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

if ! built=$(cd "$here/.." && GOWORK=off go build -o "$work/printlint" ./cmd/printlint 2>&1); then
  fail "printlint could not be built from its checkout: $built"
fi

args=(check
  --also "json=$work/report.json"
  --also "code-scanning=$work/printlint.sarif"
  --also "markdown=$work/summary.md"
  --also "github=$work/annotations")
[ -z "${PRINTLINT_CONFIGURATION:-}" ] || args+=(--config "$PRINTLINT_CONFIGURATION")
[ -z "${PRINTLINT_FAIL_AT:-}" ] || args+=(--fail-at "$PRINTLINT_FAIL_AT")
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
# token comes, which nobody can guess.
token=$(od -An -N16 -tx1 /dev/urandom | tr -d ' \n')
printf '::stop-commands::%s\n' "$token"
code=0
"$work/printlint" "${args[@]}" 2>"$work/complaints" || code=$?
cat "$work/complaints" >&2
printf '\n::%s::\n' "$token"

if [ ! -s "$work/report.json" ]; then
  fail "$(cat "$work/complaints")"
fi
cat "$work/summary.md" >>"$summary"
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
} >>"$output"
exit "$code"

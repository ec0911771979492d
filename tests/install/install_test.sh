#!/usr/bin/env bash
# SPDX-License-Identifier: GPL-3.0-or-later
# install_test.sh BUILD VERSION: installs into an empty root and uses what is there as a user does, from elsewhere, with an
# environment that knows nothing of the build.
set -euo pipefail
build=$1
version=$2
root=$(mktemp -d)
trap 'rm -rf "$root"' EXIT

DESTDIR="$root" cmake --install "$build" --prefix /usr >/dev/null
share="$root/usr/share"
models="$share/doc/cellproof/models"
mkdir "$root/home"
cd "$root/home"

fail() {
  printf '%s\n' "$*" >&2
  exit 1
}

# expect STATUS WORDS…: runs the installed program; what it prints is left in `said`.
expect() {
  local status=0
  said=$(env -i HOME="$root/home" PATH=/usr/bin:/bin "$root/usr/bin/cellproof" "${@:2}" 2>&1) || status=$?
  ((status == $1)) || fail "cellproof ${*:2} ended with $status, not with $1: $said"
}

has() { [[ "$said" == *"$1"* ]] || fail "'$1' is not in: $said"; }

expect 0 --version
[[ "$said" == "cellproof $version" ]] || fail "--version says '$said', CMakeLists.txt says $version"

# This cell's gripper is a STEP file, which cellproof-cad reads.
expect 0 check "$models/board-cell/mended.toml"
expect 1 check "$models/board-cell/as-drawn.toml"
has "sightline"
expect 0 picture "$models/flange-cell/mended.toml" --out still.png
[[ -s still.png ]] || fail "no picture was drawn"

# The window's program is found beside: it is the one that says that there is no display.
expect 2 view "$models/flange-cell/mended.toml"
has "cellproof picture"

# Every command that the help names is in the man page and is offered by the completion, with all its options.
page=$(gzip -dc "$share/man/man1/cellproof.1.gz" | sed 's/\\-/-/g')
PATH="$root/usr/bin:$PATH"
. "$share/bash-completion/completions/cellproof"
# offered WORDS…: what completion offers for the last of them.
offered() {
  COMP_WORDS=(cellproof "$@")
  COMP_CWORD=$#
  COMPREPLY=()
  _cellproof
  printf '%s\n' "${COMPREPLY[@]}"
}
commands=$(cellproof --help | sed -n '/^Subcommands:/,/^$/s/^  \([a-z]\+\) .*/\1/p')
(($(wc -w <<<"$commands") >= 12)) || fail "the help names too few commands: $commands"
for command in $commands; do
  grep -qx "\.SS $command" <<<"$page" || fail "the man page lacks $command"
  grep -qx "$command" <<<"$(offered "${command:0:1}")" || fail "completion does not offer $command"
  options=$(cellproof "$command" --help | grep -oE '^  (-h,)?--[a-z-]+' | sed 's/.*--/--/')
  [[ "$options" == *--help* ]] || fail "the help of $command tells no options"
  for option in $options; do
    grep -qF -- "$option" <<<"$page" || fail "the man page lacks $option"
    grep -qx -- "$option" <<<"$(offered "$command" "$option")" || fail "completion does not offer $option of $command"
  done
done
[[ -z "$(offered check models/)" ]] || fail "completion offers words where a file is asked for"

# Without the helper program beside it a cell with STEP files is refused: so it was that one before.
rm -r "$root/usr/bin/cellproof-cad" "$root/home/.cache"
expect 2 check "$models/board-cell/mended.toml"
has "cellproof-cad"

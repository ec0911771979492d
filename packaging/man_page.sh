#!/bin/sh
# SPDX-License-Identifier: GPL-3.0-or-later
# man_page.sh PROGRAM FILE: writes the man page, from the program's own help and from closing.man.
set -eu
program=$1
page=$2
here=$(dirname "$0")
version=$("$program" --version)
{
  printf '.\\" Written by man_page.sh from the help of the program.\n'
  printf '.TH CELLPROOF 1 "" "%s" "User Commands"\n' "$version"
  "$program" --help | awk -v part=program -f "$here/help_to_man.awk"
  printf '.SH COMMANDS\n'
  "$program" --help | awk '/^Subcommands:/ { listed = 1; next } listed && /^  [a-z]/ { print $1 }' |
    while read -r command; do "$program" "$command" --help | awk -v part="$command" -f "$here/help_to_man.awk"; done
  cat "$here/closing.man"
} >"$page.new"
mv "$page.new" "$page"

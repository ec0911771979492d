# SPDX-License-Identifier: GPL-3.0-or-later
# Completion for bash. Commands and options are what the program itself says that it has.
_cellproof() {
  local word=${COMP_WORDS[COMP_CWORD]} command=${COMP_WORDS[1]-} offered=""
  if ((COMP_CWORD == 1)); then
    offered=$("${COMP_WORDS[0]}" --help 2>/dev/null |
      awk '/^Subcommands:/ { listed = 1; next } listed && /^  [a-z]/ { print $1 }')
    [[ "$word" == -* ]] && offered="--help --version"
  elif [[ "$word" == -* ]]; then
    offered=$("${COMP_WORDS[0]}" "$command" --help 2>/dev/null | grep -oE '^  (-h,)?--[a-z-]+' | sed 's/.*--/--/')
  fi
  # Without an offer bash completes the names of files (-o default).
  mapfile -t COMPREPLY < <(compgen -W "$offered" -- "$word")
}
complete -o default -F _cellproof cellproof

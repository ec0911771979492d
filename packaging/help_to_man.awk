# SPDX-License-Identifier: GPL-3.0-or-later
# One help text to its part of the man page. -v part=program: what stands at the top; else the name of a command.
# A help has a line of what it is, "Usage: …", blocks "Options:" and the like of lines "  name   text", then a closing.
function escaped(text) {
  gsub(/\\/, "\\e", text)
  gsub(/-/, "\\-", text)
  if (text ~ /^[.']/) text = "\\&" text
  return text
}

# The first line.
!begun && NF {
  begun = 1
  if (part == "program") {
    sub(/^cellproof: /, "")
    print ".SH NAME\ncellproof \\- " escaped($0)
  } else {
    print ".SS " part "\n" escaped($0) "."
  }
  next
}

/^Usage: / {
  sub(/^Usage: /, "")
  if (part == "program") print ".SH SYNOPSIS\n.B " escaped($0)
  else print ".PP\n.B " escaped($0)
  next
}

/^(Positionals|Options|Subcommands):$/ {
  block = $1
  if (part == "program") print block == "Options:" ? ".SH OPTIONS" : ".SH OVERVIEW"
  next
}

!NF { block = ""; next }

block != "" && /^  [^ ]/ {
  name = $0
  sub(/^  /, "", name)
  text = ""
  at = match(name, /  +/)
  if (at > 0) {
    text = substr(name, at + RLENGTH)
    name = substr(name, 1, at - 1)
  }
  print ".TP\n.B " escaped(name)
  if (text != "") print escaped(text)
  next
}

block != "" { sub(/^ +/, ""); print escaped($0); next }

# The closing.
{
  if (part == "program" && /^Exit status: /) next  # a section of its own
  print (closed ? ".br\n" : ".PP\n") escaped($0)
  closed = 1
}

# SPDX-License-Identifier: GPL-3.0-or-later
# Lines "then|now <tab> round <tab> what <tab> milliseconds" to a line for each thing that both measured: the median, least
# and greatest of the rounds' ratios now / then. Where the whole spread of five rounds or more lies on one side of 1, it
# says which. With -v json=FILE the same as JSON (names come as JSON has them).
BEGIN { FS = "\t" }

{
  if (!($3 in known)) { known[$3] = 1; order[++things] = $3 }
  time[$1, $2, $3] = $4
  if ($2 > rounds) rounds = $2
}

# Sorts list[1 … count] in place.
function sort(list, count,   i, k, value) {
  for (i = 2; i <= count; ++i) {
    value = list[i]
    for (k = i - 1; k >= 1 && list[k] > value; --k) list[k + 1] = list[k]
    list[k + 1] = value
  }
}

function median(list, count) {
  return count % 2 ? list[(count + 1) / 2] : (list[count / 2] + list[count / 2 + 1]) / 2
}

END {
  printf "%8s %8s %8s   %10s  %s\n", "median", "least", "greatest", "now, ms", "what"
  for (i = 1; i <= things; ++i) {
    what = order[i]
    count = 0
    for (round = 1; round <= rounds; ++round) {
      if (!(("then", round, what) in time) || !(("now", round, what) in time)) continue
      if (time["then", round, what] <= 0) continue
      ++count
      ratio[count] = time["now", round, what] / time["then", round, what]
      now[count] = time["now", round, what]
    }
    if (count == 0) { printf "%28s %10s  %s\n", "", "", what " (in one of both only)"; continue }
    sort(ratio, count)
    sort(now, count)
    word = ratio[1] > 1 && count > 4 ? "  slower" : ratio[count] < 1 && count > 4 ? "  faster" : ""
    printf "%8.3f %8.3f %8.3f   %10.4g  %s%s\n", median(ratio, count), ratio[1], ratio[count], median(now, count), what, word
    lines[++written] = sprintf("  {\"what\": \"%s\", \"median\": %.6g, \"least\": %.6g, \"greatest\": %.6g, \"now_ms\": %.6g, \"rounds\": %d}",
      what, median(ratio, count), ratio[1], ratio[count], median(now, count), count)
  }
  if (json == "") exit
  print "[" > json
  for (i = 1; i <= written; ++i) print lines[i] (i < written ? "," : "") > json
  print "]" > json
}

#!/usr/bin/env python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""Changes one sign, bound or comparison of the product's code at a time and sees whether the tests notice.

The places are drawn by the seed below over all that there are, so many a folder. Each change is built and tested in a
worktree of its own under build-mutation/; what is here stays as it is. A change that does not compile says nothing of
the tests: the next place is drawn. A change that no test notices is told, unless equal.txt explains it.

  mutate.py list              the places drawn
  mutate.py run [--slice I/N] tries them, or every N-th of them from the I-th on; what was tried before is not tried again
"""

import argparse
import pathlib
import random
import re
import subprocess
import sys

SEED = 20261128
PER_FOLDER = 12
FOLDERS = ["kinematics", "scene/clearance", "scene/solids", "scene/forces", "checks"]
# The test programs that may notice, the likeliest first.
PROGRAMS = {
    "kinematics": ["test-kinematics", "test-published", "test-scene", "test-checks", "test-commands"],
    "scene/clearance": ["test-scene", "test-checks", "test-published", "test-commands"],
    "scene/solids": ["test-scene", "test-checks", "test-published", "test-commands"],
    "scene/forces": ["test-scene", "test-checks", "test-published", "test-commands"],
    "checks": ["test-checks", "test-published", "test-viewer", "test-commands"],
}
TOO_LONG_S = 900  # a test program that runs longer hangs: noticed

ROOT = pathlib.Path(__file__).resolve().parents[2]
WORK = ROOT / "build-mutation"

# What stands in the code, as clang-format writes it, and what takes its place.
SWAPS = [
    ("sign", re.compile(r"(?<=[\w)\]]) ([+-]) (?=[\w(])"), {"+": "-", "-": "+"}),
    ("sign", re.compile(r" ([+-])= "), {"+": "-", "-": "+"}),
    ("bound", re.compile(r"std::(min|max)\("), {"min": "max", "max": "min"}),
    ("bound", re.compile(r"\.cwise(Min|Max)\("), {"Min": "Max", "Max": "Min"}),
    ("bound", re.compile(r"\.(min|max)Coeff\("), {"min": "max", "max": "min"}),
    ("comparison", re.compile(r" (<=|>=|<|>|==|!=) "),
     {"<": ">=", "<=": ">", ">": "<=", ">=": "<", "==": "!=", "!=": "=="}),
    ("comparison", re.compile(r" (&&|\|\|) "), {"&&": "||", "||": "&&"}),
]
# Lines that hold no arithmetic of ours: messages, templates, loops that only count.
LEFT_OUT = re.compile(r'^\s*(#|template|using|static_assert|///|//)|"|operator|for \((std::size_t|int|auto) \w+ = 0;')


def places_in(file):
    """Every place of a file: (line number, column, kind, what stands there, what takes its place)."""
    for number, line in enumerate(file.read_text().split("\n")):
        if LEFT_OUT.search(line):
            continue
        code = line.split("//")[0]
        for kind, pattern, other in SWAPS:
            for match in pattern.finditer(code):
                yield number, match.start(1), kind, match[1], other[match[1]]


def drawn(folder):
    """All places of a folder in the order of the draw."""
    files = sorted(path for path in (ROOT / folder).rglob("*") if path.suffix in (".cpp", ".hpp"))
    places = [(file.relative_to(ROOT), *place) for file in files for place in places_in(file)]
    random.Random(f"{SEED} {folder}").shuffle(places)
    return places


def told(place):
    file, number, column, kind, old, new = place
    line = (ROOT / file).read_text().split("\n")[number]
    return f"{file}:{number + 1}:{column + 1}\t{kind}\t{old} to {new}\t{line.strip()}"


def explained():
    """Changes that no test can notice, with the reason: 'file | line | old to new | reason' in equal.txt."""
    text = (ROOT / "tests/mutation/equal.txt").read_text()
    rows = [[cell.strip() for cell in line.split(" | ")] for line in text.split("\n") if " | " in line]
    return {tuple(row[:3]): row[3] for row in rows}


def is_explained(place, reasons):
    file, number, _, _, old, new = place
    line = (ROOT / file).read_text().split("\n")[number].strip()
    return reasons.get((str(file), line, f"{old} to {new}"))


def run(command, **kwargs):
    return subprocess.run(command, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL, **kwargs)


class Bench:
    """A worktree in which changes are tried."""

    def __init__(self, name):
        self.tree = WORK / name
        head = subprocess.check_output(["git", "-C", ROOT, "rev-parse", "HEAD"], text=True).strip()
        if not self.tree.exists():
            subprocess.check_call(["git", "-C", ROOT, "worktree", "add", "--quiet", "--detach", self.tree, head])
        subprocess.check_call(["git", "-C", self.tree, "checkout", "--quiet", "--force", "--detach", head])
        if run(["cmake", "--preset", "release", "-DCELLPROOF_BENCH=OFF"], cwd=self.tree).returncode:
            sys.exit("mutate.py: the worktree can't be configured")
        if not self.built(sorted({program for all_of in PROGRAMS.values() for program in all_of})):
            sys.exit("mutate.py: the unchanged worktree does not build")

    def built(self, targets):
        return run(["cmake", "--build", "build", "--target", *targets], cwd=self.tree).returncode == 0

    def noticed_by(self, place):
        """The program that notices the change; "" if none does; None if it does not compile."""
        file, number, column, _, old, new = place
        path = self.tree / file
        before = path.read_text()
        lines = before.split("\n")
        line = lines[number]
        assert line[column:column + len(old)] == old
        lines[number] = line[:column] + new + line[column + len(old):]
        path.write_text("\n".join(lines))
        try:
            return self.first_to_fail(PROGRAMS[next(f for f in FOLDERS if str(file).startswith(f + "/"))], file.stem)
        finally:
            path.write_text(before)

    def first_to_fail(self, programs, stem):
        """The file's own test, where it has one, is asked before all others: it notices most and takes least."""
        for number, program in enumerate(programs):
            if not self.built([program]):
                return None
            for only in ([["-#", f"[#{stem}_test]"], []] if number == 0 else [[]]):
                try:
                    if self.fails(program, only):
                        return program
                except subprocess.TimeoutExpired:
                    return program + ", by its time"
        return ""

    def fails(self, program, only):
        tests = subprocess.run([self.tree / "build" / program, "--abort", *only], cwd=self.tree, timeout=TOO_LONG_S,
                               stdout=subprocess.PIPE, stderr=subprocess.DEVNULL, text=True, errors="replace")
        return tests.returncode != 0 and "No tests ran" not in tests.stdout


def try_all(slice_of):
    share, of = (int(number) for number in slice_of.split("/"))
    WORK.mkdir(exist_ok=True)
    log = WORK / f"tried-{SEED}.tsv"
    known = dict(line.rsplit("\t", 1) for line in log.read_text().split("\n") if line) if log.exists() else {}
    bench, reasons, alive, tried = None, explained(), 0, 0
    for folder in FOLDERS:
        counted, place_number = 0, -1
        for place in drawn(folder):
            if counted == PER_FOLDER:
                break
            place_number += 1
            result = known.get(told(place))
            if result is None:
                if place_number % of != share - 1:
                    continue
                bench = bench or Bench(f"tree-{share}")
                noticed = bench.noticed_by(place)
                result = "does not compile" if noticed is None else noticed or "LIVES"
                with log.open("a") as out:
                    out.write(told(place) + "\t" + result + "\n")
            if result == "does not compile":
                continue
            counted += 1
            tried += 1
            reason = is_explained(place, reasons) if result == "LIVES" else None
            alive += result == "LIVES" and not reason
            print(told(place), result if not reason else f"equal: {reason}", sep="\t", flush=True)
    print(f"{tried} changes tried, {alive} noticed by no test")
    return 1 if alive else 0


def main():
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("verb", choices=["list", "run"])
    parser.add_argument("--slice", default="1/1", metavar="I/N")
    asked = parser.parse_args()
    if asked.verb == "list":
        for folder in FOLDERS:
            for place in drawn(folder)[:PER_FOLDER]:
                print(told(place))
        return 0
    return try_all(asked.slice)


if __name__ == "__main__":
    sys.exit(main())

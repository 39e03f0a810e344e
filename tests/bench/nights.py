"""Processor time of nights beside the build they stand for: nothing changed, one line in a hundred changed, all anew.

    python3 tests/bench/nights.py --lists DIR [--samefit PATH] [--spread]

`DIR` holds lists, such as those write_world.py makes. They are copied, a night is played, prices are changed on one line
in a hundred, in as few lists as hold them (or with --spread in all of them, so that all must be parsed again), and
another night is played. Prints seconds of processor time and each as a share of the first night, which builds all.
Asserts nothing.
"""

import argparse
import os
import random
import re
import resource
import shutil
import subprocess
import tempfile
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
PRICE = re.compile(rb"(\d+[.,])(\d\d)(?=\D|$)")


def main():
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--lists", type=Path, required=True)
    parser.add_argument("--samefit", type=Path, default=ROOT / "target" / "release" / "samefit")
    parser.add_argument("--spread", action="store_true", help="change lines in all lists")
    arguments = parser.parse_args()
    with tempfile.TemporaryDirectory(prefix="nights-") as home:
        home = Path(home)
        shutil.copytree(arguments.lists, home / "lists")
        (home / "samefit.toml").write_text('store = "store"\noutput = "out"\n[[source]]\nfolder = "lists"\n')
        print(f"load average {os.getloadavg()[0]:.2f} on {os.cpu_count()} processors")
        whole = night(arguments.samefit, home, "2026-10-01", "the first night", None)
        night(arguments.samefit, home, "2026-10-02", "nothing changed", whole)
        print(change(home / "lists", arguments.spread))
        night(arguments.samefit, home, "2026-10-03", "one in a hundred changed", whole)
        night(arguments.samefit, home, "2026-10-03", "all anew", whole, "--rebuild")


def night(samefit, home, date, what, whole, *further):
    """Plays a night and prints what it took."""
    before = resource.getrusage(resource.RUSAGE_CHILDREN)
    command = [samefit, "refresh", "--config", home / "samefit.toml", "--date", date, *further]
    done = subprocess.run(list(map(str, command)), capture_output=True, text=True, check=False)
    after = resource.getrusage(resource.RUSAGE_CHILDREN)
    seconds = after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime
    share = f"{100 * seconds / whole:5.1f} %" if whole else "100.0 %"
    print(f"{what:26} {seconds:8.2f} s  {share}  exit {done.returncode}: {done.stdout.strip()}")
    return seconds


def change(folder, spread):
    """Other cents on one line in a hundred of all plain lists."""
    files = [path for path in sorted(folder.iterdir()) if path.suffix in (".csv", ".tsv", ".txt")]
    lines = {path: path.read_bytes().split(b"\n") for path in files}
    wanted = sum(map(len, lines.values())) // 100
    dice = random.Random(20261125)
    changed = touched = 0
    for path, rows in lines.items():
        most = max(1, wanted // len(files)) if spread else len(rows) // 3
        of_this = 0
        for at in dice.sample(range(5, len(rows)), max(0, len(rows) - 5)):
            price = list(PRICE.finditer(rows[at]))
            if changed < wanted and of_this < most and price:
                found = price[-1]
                cents = b"%02d" % ((int(found.group(2)) + 7) % 100)
                rows[at] = rows[at][: found.start(2)] + cents + rows[at][found.end(2) :]
                changed += 1
                of_this += 1
        if of_this:
            touched += 1
            path.write_bytes(b"\n".join(rows))
    return f"{changed} lines changed in {touched} of {len(files)} plain lists"


if __name__ == "__main__":
    main()

"""Runs the checks one after the other and prints a line for each. Started by run.py inside its environment."""

import argparse
import sys
import traceback

from . import (
    bolt_patterns,
    calibration,
    clustering,
    currencies,
    fasteners,
    fit_sheet,
    identifiers,
    linking,
    published,
    report_page,
    strings,
    swept_volumes,
    units,
)
from .harness import Check, Context, Facts, Skip

SUBJECTS = (
    fasteners,
    units,
    identifiers,
    currencies,
    strings,
    clustering,
    calibration,
    linking,
    swept_volumes,
    bolt_patterns,
    published,
    report_page,
    fit_sheet,
)


def main():
    parser = argparse.ArgumentParser(prog="checks")
    parser.add_argument("--facts", required=True)
    parser.add_argument("--fastener-tables", required=True)
    parser.add_argument("--samefit", default="")
    parser.add_argument("--browser-packages", default="")
    parser.add_argument("--mode", choices=("auto", "required"), default="auto")
    parser.add_argument("--run", action="append", default=[])
    parser.add_argument("--only", default="")
    arguments = parser.parse_args()
    context = Context(Facts(arguments.facts), arguments.fastener_tables, arguments.run)
    context.samefit = arguments.samefit
    context.browser_packages = arguments.browser_packages

    passed = failed = skipped = 0
    for subject in SUBJECTS:
        for function in subject.CHECKS:
            check = Check(function.__doc__.strip().splitlines()[0].rstrip("."))
            if arguments.only not in f"{subject.__name__} {check.name}":
                continue
            outcome = run_one(function, context, check)
            skipped += outcome == "skipped"
            passed += outcome == "passed"
            failed += outcome == "failed"
    if passed + failed + skipped == 0:
        print(f"FAILED: no check's name contains {arguments.only!r}")
        failed = 1
    print(f"{passed} passed, {failed} failed, {skipped} skipped")
    return 1 if failed or (skipped and arguments.mode == "required") else 0


def run_one(function, context, check):
    """One check and its line. A check that compared nothing has failed: it proves nothing."""
    try:
        function(context, check)
    except Skip as reason:
        print(f"skipped  {check.name}: {reason}", flush=True)
        return "skipped"
    except Exception:
        check.differ(traceback.format_exc().strip())
    if check.compared == 0:
        check.differ("nothing was compared")
    outcome = "failed" if check.differences else "passed"
    print(f"{outcome:8} {check.name}: {check.compared} compared, {len(check.differences)} differ", flush=True)
    for note in check.notes:
        print(f"         note: {note}")
    for difference in check.differences[:10]:
        print("         " + difference.replace("\n", "\n         "))
    if len(check.differences) > 10:
        print(f"         ... and {len(check.differences) - 10} more")
    return outcome


if __name__ == "__main__":
    sys.exit(main())

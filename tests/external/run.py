"""Compares samefit with outside references: the one entry.

    python3 tests/external/run.py [--facts PATH --samefit PATH | --profile NAME] [--run FOLDER]... [--only WORD]

Installs the pinned references into target/external-venv and the packages that drive a browser into
target/external-browser (once), builds samefit and the example `facts`, which prints what samefit believes, and runs
every check in the folder `checks`. Where no package registry answers it says so and ends well,
unless SAMEFIT_EXTERNAL=required: then it fails. SAMEFIT_EXTERNAL=off skips without trying. What was said is kept in
target/external-report.txt as well.

Exit code: 0 every check passed or was skipped; 1 a check failed, or was skipped where all are required.
"""

import argparse
import hashlib
import os
import shutil
import subprocess
import sys
import zipfile
from pathlib import Path

HERE = Path(__file__).resolve().parent
ROOT = HERE.parents[1]
TARGET = Path(os.environ.get("CARGO_TARGET_DIR", ROOT / "target"))
if not TARGET.is_absolute():
    TARGET = ROOT / TARGET
VENV = TARGET / "external-venv"
REPORT = TARGET / "external-report.txt"
REQUIREMENTS = HERE / "requirements.txt"
BROWSER = TARGET / "external-browser"
BROWSER_PINS = ("package.json", "package-lock.json")
FASTENER_TABLES = "bd_warehouse==0.4.0"
OLDEST_PYTHON = (3, 11)
MODE = os.environ.get("SAMEFIT_EXTERNAL", "auto")

# What pip, npm, apt and the resolver say when nobody answers, as opposed to answering "no such version".
NOBODY_ANSWERS = (
    "connection broken",
    "connecttimeout",
    "connection refused",
    "econnrefused",
    "enotfound",
    "etimedout",
    "eai_again",
    "connection reset",
    "failed to establish a new connection",
    "max retries exceeded",
    "name or service not known",
    "name resolution",
    "network is unreachable",
    "newconnectionerror",
    "proxyerror",
    "read timed out",
)


class Unreachable(Exception):
    """No package registry answers."""


class Broken(Exception):
    """A registry answered, and still the references could not be installed."""


def main():
    arguments = parse_arguments()
    TARGET.mkdir(parents=True, exist_ok=True)
    with REPORT.open("w", encoding="utf-8") as report:
        return compare(arguments, report)


def compare(arguments, report):
    if MODE not in ("auto", "required", "off"):
        return fail(report, f"SAMEFIT_EXTERNAL is {MODE!r}; it may be auto, required or off")
    if MODE == "off":
        return skip(report, "switched off by SAMEFIT_EXTERNAL=off")
    if sys.version_info < OLDEST_PYTHON:
        reason = f"the pinned references need Python {'.'.join(map(str, OLDEST_PYTHON))} or newer"
        return fail(report, reason) if MODE == "required" else skip(report, reason)
    try:
        install_references()
        install_units()
        browser_packages = install_browser_packages()
        built = build(arguments.profile) if not (arguments.facts and arguments.samefit) else Path()
        facts = arguments.facts or built / "examples" / "facts"
        samefit = arguments.samefit or built / "samefit"
    except Unreachable as trouble:
        reason = f"no package registry answers: {trouble}"
        return fail(report, reason) if MODE == "required" else skip(report, reason)
    except Broken as trouble:
        return fail(report, str(trouble))
    command = [python_of(VENV), "-B", "-m", "checks", "--facts", facts, "--mode", MODE]
    command += ["--fastener-tables", VENV / "bd_warehouse", "--samefit", samefit]
    command += ["--browser-packages", browser_packages or ""]
    for finished in arguments.run:
        command += ["--run", finished.resolve()]
    if arguments.only:
        command += ["--only", arguments.only]
    with subprocess.Popen(
        list(map(str, command)), cwd=HERE, stdout=subprocess.PIPE, stderr=subprocess.STDOUT, text=True
    ) as checks:
        for line in checks.stdout:
            say(report, line.rstrip("\n"))
    return checks.returncode


def parse_arguments():
    parser = argparse.ArgumentParser(description="Compare samefit with outside references")
    parser.add_argument("--facts", type=Path, help="the built example `facts` (otherwise it is built)")
    parser.add_argument("--samefit", type=Path, help="samefit as built (otherwise it is built)")
    parser.add_argument("--profile", default="dev", help="the cargo profile to build them with")
    parser.add_argument("--run", type=Path, action="append", default=[], help="a finished run to be read by others")
    parser.add_argument("--only", metavar="WORD", help="only checks whose name contains WORD")
    arguments = parser.parse_args()
    if arguments.facts:
        arguments.facts = arguments.facts.resolve()
    if arguments.samefit:
        arguments.samefit = arguments.samefit.resolve()
    return arguments


def install_references():
    """A virtual environment with the pinned packages; kept until the pins or the interpreter change."""
    wanted = REQUIREMENTS.read_bytes() + FASTENER_TABLES.encode() + sys.version.encode()
    key = hashlib.sha256(wanted).hexdigest()
    marker = VENV / "ready"
    if marker.is_file() and marker.read_text() == key:
        return
    shutil.rmtree(VENV, ignore_errors=True)
    made = run([sys.executable, "-m", "venv", VENV])
    if made.returncode:
        raise Broken(f"no virtual environment could be made (Debian: apt-get install python3-venv)\n{made.stdout}")
    pip = [python_of(VENV), "-m", "pip", "--disable-pip-version-check", "--no-input", "--retries", "2"]
    pip += ["--timeout", "30"]
    # Wheels only: a reference that had to be compiled would not be the one that was published.
    ask(pip + ["install", "--quiet", "--only-binary", ":all:", "--no-deps", "-r", REQUIREMENTS])
    wheels = VENV / "wheels"
    ask(pip + ["download", "--quiet", "--no-deps", "--only-binary", ":all:", "-d", wheels, FASTENER_TABLES])
    with zipfile.ZipFile(next(wheels.glob("bd_warehouse-*.whl"))) as wheel:
        wheel.extractall(VENV / "bd_warehouse")
    marker.write_text(key)


def install_units():
    """Debian's `units`, where this is a Debian and we may install. Its check is skipped where it is missing."""
    if shutil.which("units") or not shutil.which("apt-get") or os.geteuid() != 0:
        return
    quiet = dict(os.environ, DEBIAN_FRONTEND="noninteractive")
    run(["apt-get", "update", "-qq"], env=quiet)
    run(["apt-get", "install", "-y", "-qq", "--no-install-recommends", "units"], env=quiet)


def install_browser_packages():
    """The pinned packages that drive a browser, kept until the pins change. Without npm there are none, and the checks
    that need them say so."""
    npm = shutil.which("npm")
    if not npm:
        return None
    pins = {name: (HERE / "browser" / name).read_bytes() for name in BROWSER_PINS}
    key = hashlib.sha256(b"".join(pins.values())).hexdigest()
    marker = BROWSER / "ready"
    if not (marker.is_file() and marker.read_text() == key):
        shutil.rmtree(BROWSER, ignore_errors=True)
        BROWSER.mkdir(parents=True)
        for name, content in pins.items():
            (BROWSER / name).write_bytes(content)
        # No script of a package runs: none of them needs to, and chromium is Debian's.
        ask([npm, "ci", "--prefix", BROWSER, "--ignore-scripts", "--no-audit", "--no-fund"])
        marker.write_text(key)
    return BROWSER


def build(profile):
    """Builds samefit and the example that answers for it, and says where they lie."""
    cargo = os.environ.get("CARGO", "cargo")
    command = [cargo, "build", "--quiet", "--locked", "--profile", profile, "--bin", "samefit", "--example", "facts"]
    built = run(command, cwd=ROOT)
    if built.returncode:
        raise Broken(f"samefit or the example `facts` does not build\n{built.stdout}")
    return TARGET / ("debug" if profile == "dev" else profile)


def ask(command):
    """Runs a command that asks a registry."""
    done = run(command)
    if done.returncode == 0:
        return
    for line in done.stdout.splitlines():
        if any(sign in line.lower() for sign in NOBODY_ANSWERS):
            raise Unreachable(line.strip()[:300])
    raise Broken(f"the references could not be installed\n{done.stdout}")


def run(command, **settings):
    return subprocess.run(
        list(map(str, command)),
        stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT,
        stdin=subprocess.DEVNULL,
        text=True,
        check=False,
        **settings,
    )


def python_of(venv):
    return venv / "bin" / "python"


def say(report, line):
    print(line, flush=True)
    print(line, file=report, flush=True)


def skip(report, reason):
    say(report, f"skipped: {reason}")
    say(report, "0 passed, 0 failed, 1 skipped")
    return 0


def fail(report, reason):
    say(report, f"FAILED: {reason}")
    say(report, "0 passed, 1 failed, 0 skipped")
    return 1


if __name__ == "__main__":
    sys.exit(main())

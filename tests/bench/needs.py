"""What the benchmarks need beside the standard library: packages of PyPI, in target/bench-venv."""

import os
import pathlib
import subprocess
import sys
import venv

TOP = pathlib.Path(__file__).resolve().parents[2]
TARGET = pathlib.Path(os.environ.get("CARGO_TARGET_DIR", TOP / "target"))
VENV = TARGET / "bench-venv"


def in_venv(packages):
    """Goes on under the venv's Python, with these packages (module -> requirement); makes it where it is missing."""
    python = VENV / "bin/python"
    if pathlib.Path(sys.prefix).resolve() != VENV.resolve():
        if not python.exists():
            venv.create(VENV, with_pip=True)
        if subprocess.run([python, "-c", f"import {', '.join(packages)}"], capture_output=True).returncode != 0:
            subprocess.run([python, "-m", "pip", "install", "-q", "--disable-pip-version-check", *packages.values()], check=True)
        os.execv(python, [str(python), *sys.argv])

"""How the report of a large run behaves in a browser: time until it can be used, time of a search, longest standstill.

    python3 tests/bench/report_load.py RUN

RUN is the folder of a finished run, such as one over lists of tests/bench/world/write_world.py. Needs what the browser
checks need (tests/external): chromium, node, and the packages that `cargo test outside` has put under target/. Asserts
nothing.
"""

import json
import os
import shutil
import subprocess
import sys
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
TARGET = Path(os.environ.get("CARGO_TARGET_DIR", ROOT / "target"))
QUERIES = ("212cc 3 holes", "168f", "pull starter", "starter", "recoil 196cc black steel", "no such part", "")


def main():
    report = Path(sys.argv[1]).resolve() / "report.html"
    packages = TARGET / "external-browser"
    if not packages.is_dir():
        sys.exit(f"{packages} is missing: run `cargo test --locked outside` once")
    environment = dict(os.environ, SAMEFIT_BROWSER_PACKAGES=str(packages), SAMEFIT_CHROMIUM=shutil.which("chromium") or "")
    told = json.dumps({"url": report.as_uri(), "queries": QUERIES})
    script = Path(__file__).with_name("report_load.mjs")
    done = subprocess.run(["node", script, told], capture_output=True, text=True, env=environment, check=True)
    print(f"load average {os.getloadavg()[0]:.2f}; report.html {report.stat().st_size / 1e6:.1f} MB")
    for result in json.loads(done.stdout.splitlines()[-1]):
        print(result.get("note") or f"{result['what']}: {result['ours']}")


if __name__ == "__main__":
    main()

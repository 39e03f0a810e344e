"""A real browser for the checks of pages: Debian's chromium, driven from node by the scripts in tests/external/browser."""

import json
import os
import shutil
import subprocess
from pathlib import Path

from .harness import Skip

SCRIPTS = Path(__file__).resolve().parents[1] / "browser"
# A page that has not answered by then hangs.
SECONDS = 240


def drive(context, check, script, told):
    """Runs one script and takes over what it compared."""
    if not context.browser_packages:
        raise Skip("no package registry answers for the packages that drive a browser")
    chromium = shutil.which("chromium")
    node = shutil.which("node")
    if not chromium or not node:
        raise Skip("needs chromium and node (Debian: apt-get install chromium nodejs npm)")
    environment = dict(os.environ, SAMEFIT_BROWSER_PACKAGES=str(context.browser_packages), SAMEFIT_CHROMIUM=chromium)
    done = subprocess.run(
        [node, SCRIPTS / script, json.dumps(told)],
        capture_output=True,
        text=True,
        env=environment,
        timeout=SECONDS,
        check=False,
    )
    try:
        results = json.loads(done.stdout.splitlines()[-1])
    except (IndexError, ValueError) as trouble:
        raise RuntimeError(f"{script} said nothing to read: {done.stdout[-500:]}{done.stderr[-2000:]}") from trouble
    for result in results:
        if "note" in result:
            check.note(result["note"])
        else:
            check.equal(result["what"], result.get("ours"), result["expected"])


def url(path):
    return Path(path).resolve().as_uri()


def samefit(context, *arguments):
    """Runs samefit to its end; a warning (exit 3) is an end like another."""
    if not context.samefit:
        raise Skip("no samefit was built for it")
    command = [str(context.samefit), *map(str, arguments)]
    done = subprocess.run(command, capture_output=True, text=True, check=False)
    if done.returncode not in (0, 3):
        raise RuntimeError(f"{' '.join(command)} ended with {done.returncode}: {done.stderr}")
    return done.stdout

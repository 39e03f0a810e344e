"""What every check uses: samefit's answers, and a count of what was compared with what outcome."""

import json
import math
import subprocess


class Skip(Exception):
    """This check cannot run here; the reason says why."""


class Facts:
    """Asks the example `facts`, which answers one JSON line per request line."""

    def __init__(self, path):
        self.path = path

    def ask(self, requests):
        """Answers in the order of the requests. A request that samefit refuses is an error here."""
        requests = list(requests)
        lines = "".join(json.dumps(request) + "\n" for request in requests)
        done = subprocess.run([self.path], input=lines, capture_output=True, text=True, check=False)
        if done.returncode:
            raise RuntimeError(f"{self.path} ended with {done.returncode}: {done.stderr.strip()}")
        answers = [json.loads(line) for line in done.stdout.splitlines()]
        if len(answers) != len(requests):
            raise RuntimeError(f"{len(requests)} requests, {len(answers)} answers")
        for request, answer in zip(requests, answers):
            if isinstance(answer, dict) and "error" in answer:
                raise RuntimeError(f"{json.dumps(request)[:200]}: {answer['error']}")
        return answers

    def one(self, request):
        return self.ask([request])[0]


class Context:
    """samefit's answers, where the fastener tables lie, and folders of finished runs."""

    def __init__(self, facts, fastener_tables, runs):
        self.facts = facts
        self.fastener_tables = fastener_tables
        self.runs = runs
        # samefit itself, and the packages that drive a browser; empty where there are none
        self.samefit = ""
        self.browser_packages = ""


class Check:
    """Counts comparisons and keeps the differences."""

    def __init__(self, name):
        self.name = name
        self.compared = 0
        self.differences = []
        self.notes = []

    def note(self, text):
        self.notes.append(text)

    def differ(self, text):
        self.differences.append(text)

    def equal(self, what, ours, theirs):
        self.compared += 1
        if ours != theirs:
            self.differ(f"{what}: samefit {ours!r}, reference {theirs!r}")

    def near(self, what, ours, theirs, tolerance):
        """Within an absolute tolerance. None equals only None."""
        self.compared += 1
        if ours is None or theirs is None:
            if ours is not theirs:
                self.differ(f"{what}: samefit {ours!r}, reference {theirs!r}")
        elif not math.isclose(ours, theirs, rel_tol=0.0, abs_tol=tolerance):
            self.differ(f"{what}: samefit {ours!r}, reference {theirs!r}, tolerance {tolerance:g}")

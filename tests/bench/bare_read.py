"""Reads lists with DuckDB into tables of text, and says what that took; started by speed.py.

Prints one JSON object: rows, wall and processor seconds of the reading, peak memory of the process, files that it
could not read. Encodings are DuckDB's own: UTF-16 by its mark, else UTF-8, else Latin-1.
"""

import gzip
import json
import pathlib
import resource
import sys
import time

import duckdb

OPTIONS = "all_varchar=true, ignore_errors=true, null_padding=true, strict_mode=false"


def main():
    before, start = processor_seconds(), time.perf_counter()
    base = duckdb.connect()
    base.execute("set threads to 2")
    rows, failed = 0, []
    for path in map(pathlib.Path, sys.argv[1:]):
        faults = []
        for encoding in encodings(path):
            try:
                base.execute(f"create or replace table list as from read_csv('{path}', {OPTIONS}, encoding='{encoding}')")
                rows += base.execute("select count(*) from list").fetchall()[0][0]
                break
            except duckdb.Error as error:
                faults.append(str(error).splitlines()[0])
        else:
            failed.append([path.name, faults[0]])
    used = resource.getrusage(resource.RUSAGE_SELF)
    said = {
        "rows": rows,
        "wall_s": time.perf_counter() - start,
        "cpu_s": processor_seconds() - before,
        "peak_mib": used.ru_maxrss / 1024,
        "failed": failed,
    }
    print(json.dumps(said))


def encodings(path):
    opening = gzip.open(path) if path.suffix == ".gz" else open(path, "rb")
    with opening as file:
        mark = file.read(2)
    return ["utf-16"] if mark in (b"\xff\xfe", b"\xfe\xff") else ["utf-8", "latin-1"]


def processor_seconds():
    used = resource.getrusage(resource.RUSAGE_SELF)
    return used.ru_utime + used.ru_stime


if __name__ == "__main__":
    main()

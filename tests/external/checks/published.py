"""What a run publishes, read by the programs people have: Parquet, CSV, data package, workbook and metrics.

A file counts as read when every reader gives the same rows and every cell says what crossref.csv says of it. The runs
are handed in: the demo's, and the last of two nights of `samefit refresh`, which has changes, ids and prices as well.
"""

import csv
import json
import math
from pathlib import Path

from .harness import Skip


def runs(context):
    if not context.runs:
        raise Skip("no finished run was handed in with --run")
    return [Path(run) for run in context.runs]


def csv_rows(path):
    with path.open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


def as_text(value):
    """A value as the CSV would have it, so far as text goes; numbers are compared as numbers."""
    if value is None or (isinstance(value, float) and math.isnan(value)):
        return ""
    return value


def says(value, text):
    value = as_text(value)
    if isinstance(value, str):
        return value == text
    return text != "" and float(text) == float(value)


def by_line(row):
    return row["file"], int(row["line"])


def compare_rows(check, what, rows, reference):
    """Rows as dictionaries against the rows of the CSV."""
    check.equal(f"{what}: rows", len(rows), len(reference))
    for number, (row, texts) in enumerate(zip(rows, reference)):
        check.compared += 1
        wrong = [name for name, text in texts.items() if not says(row.get(name), text)]
        if wrong:
            name = wrong[0]
            check.differ(f"{what} row {number + 1} {name}: {row.get(name)!r}, the CSV {texts[name]!r}")
            return


def parquet_in_every_reader(context, check):
    """Published Parquet in DuckDB, Polars, pandas and Arrow"""
    import duckdb
    import pandas
    import polars
    import pyarrow.parquet

    for run in runs(context):
        for path in sorted(run.glob("*.parquet")):
            arrow = pyarrow.parquet.read_table(path)
            duck = duckdb.sql(f"select * from read_parquet('{path}')")
            readers = {
                "arrow": arrow.to_pylist(),
                "duckdb": [dict(zip(duck.columns, row)) for row in duck.fetchall()],
                "polars": polars.read_parquet(path).to_dicts(),
                "pandas": pandas.read_parquet(path, engine="pyarrow").to_dict("records"),
            }
            table = path.with_suffix(".csv")
            for reader, rows in readers.items():
                what = f"{path.name} in {reader}"
                if table.is_file():
                    reference = csv_rows(table)
                    if path.stem == "set-aside":  # the Parquet is in the order in which repairs are looked up
                        rows, reference = sorted(rows, key=by_line), sorted(reference, key=by_line)
                    compare_rows(check, what, rows, reference)
                else:
                    check.equal(f"{what}: rows", len(rows), arrow.num_rows)
            manifest = json.loads(arrow.schema.metadata[b"samefit.manifest"])
            check.equal(f"{path.name}: tool of the manifest", manifest["tool"], "samefit")


def csv_in_every_reader(context, check):
    """Published CSV in DuckDB, Polars and pandas"""
    import duckdb
    import pandas
    import polars

    for run in runs(context):
        for path in sorted(run.glob("*.csv")):
            reference = csv_rows(path)
            duck = duckdb.read_csv(str(path), header=True, all_varchar=True, delimiter=",", quotechar='"', escapechar='"')
            readers = {
                "duckdb": [dict(zip(duck.columns, row)) for row in duck.fetchall()],
                "polars": polars.read_csv(path, infer_schema=False).to_dicts(),
                "pandas": pandas.read_csv(path, dtype=str, keep_default_na=False).to_dict("records"),
            }
            for reader, rows in readers.items():
                compare_rows(check, f"{path.name} in {reader}", rows, reference)


def package_is_valid(context, check):
    """The data package in the Frictionless validator"""
    import frictionless

    for run in runs(context):
        descriptor = run / "datapackage.json"
        report = frictionless.validate(str(descriptor))
        check.compared += len(report.tasks)
        tables = {path.name for path in run.glob("*.csv")}
        check.equal("tables described", {task.place for task in report.tasks}, tables)
        if not report.valid:
            for kind, place, message in report.flatten(["type", "rowNumber", "message"])[:5]:
                check.differ(f"{kind} at {place}: {message}")
            for task in report.tasks:
                check.differences.extend(f"{task.place}: {warning}" for warning in task.warnings)


def workbook_is_typed(context, check):
    """The workbook in openpyxl: text as text, a frozen heading, filters, no formula"""
    import openpyxl

    for run in runs(context):
        descriptor = json.loads((run / "datapackage.json").read_text(encoding="utf-8"))
        schemas = {table["name"]: table["schema"]["fields"] for table in descriptor["resources"]}
        text = {field["name"] for field in schemas["crossref"] if field["type"] == "string"}
        book = openpyxl.load_workbook(run / "crossref.xlsx")
        sheet = book["Cross-reference"]
        check.equal("frozen below", sheet.freeze_panes, "A2")
        check.equal("filter over", sheet.auto_filter.ref, sheet.dimensions)
        names = [cell.value for cell in sheet[1]]
        rows = csv_rows(run / "crossref.csv")
        check.equal("rows", sheet.max_row - 1, len(rows))
        for number, cells in enumerate(sheet.iter_rows(min_row=2)):
            for name, cell in zip(names, cells):
                if cell.value is None:
                    continue
                check.compared += 1
                wanted = "s" if name in text else "n"
                if cell.data_type != wanted:
                    check.differ(f"{cell.coordinate} {name} has type {cell.data_type}, expected {wanted}")
                if name in ("supplier_sku", "mpn", "gtin") and cell.value != rows[number][name]:
                    check.differ(f"{cell.coordinate} {name} is {cell.value!r}, the CSV says {rows[number][name]!r}")
        formulas = [cell.coordinate for sheet in book for row in sheet.iter_rows() for cell in row if cell.data_type == "f"]
        check.equal("formulas", formulas, [])


def metrics_are_valid(context, check):
    """The metrics of a night in the parser of Prometheus's client"""
    from prometheus_client.parser import text_string_to_metric_families

    found = [run.parents[1] / "samefit.prom" for run in runs(context)]
    found = [path for path in found if path.is_file()]
    if not found:
        raise Skip("no run of a night was handed in")
    for path in found:
        text = path.read_text(encoding="utf-8")
        families = list(text_string_to_metric_families(text))
        for family in families:
            check.compared += len(family.samples)
            check.equal(f"{family.name}: type", family.type, "gauge")
            check.equal(f"{family.name}: documented", bool(family.documentation), True)
        samples = sum(1 for line in text.splitlines() if line and not line.startswith("#"))
        check.equal("samples", sum(len(family.samples) for family in families), samples)


CHECKS = (parquet_in_every_reader, csv_in_every_reader, package_is_valid, workbook_is_typed, metrics_are_valid)

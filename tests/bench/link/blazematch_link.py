"""Links records.csv with PyPI blazematch 0.1.1, and says what that took; started by side_by_side.py.

    blazematch_link.py RECORDS PAIRS CLUSTERS

The same keys and the same comparisons as in splink_link.py; its own Fellegi-Sunter model, estimated without labels, and
its own clusters at 0.9.
"""

import sys

import pandas
from blazematch import BlockingRule, Deduplicator, FieldComparison, LinkConfig, Metric

from measured import Measured, say

KEYS = ("l.mpn = r.mpn", "l.gtin = r.gtin", "l.brand = r.brand and l.series = r.series", "l.series = r.series and l.cc = r.cc")
COMPARED = (
    ("mpn", Metric.LEVENSHTEIN),
    ("gtin", Metric.EXACT),
    ("brand", Metric.EXACT),
    ("title", Metric.JARO_WINKLER),
    ("cc", Metric.EXACT),
    ("price", Metric.NUMERIC_SIMILARITY),
)


def main():
    records, pairs, clusters = sys.argv[1:]
    frame = pandas.read_csv(records, dtype=str).drop(columns=["supplier", "sku"])
    frame["price"] = frame["price"].astype(float)
    frame["series"] = frame["title"].str.extract(r"\b([A-Z]{2}[0-9]{3,4})\b")
    frame["cc"] = frame["title"].str.extract(r"\b([0-9]{2,3}cc)\b")
    ids = frame.pop("id").astype(int)
    config = LinkConfig(
        blocking_rules=[BlockingRule(rule) for rule in KEYS],
        comparisons=[FieldComparison(name, name, metric) for name, metric in COMPARED],
    )
    with Measured() as took:
        linker = Deduplicator(frame, config)
        linker.block().compute_features().estimate()
        kept = linker.predict(threshold=0.05)
        groups = linker.cluster(threshold=0.9)
    left, right, score = (kept[name] for name in ("left_idx", "right_idx", "score"))
    named = {"a": ids.to_numpy()[left], "b": ids.to_numpy()[right], "probability": score.to_numpy()}
    pandas.DataFrame(named).to_parquet(pairs)
    of_record = {"id": ids.to_numpy()[groups["record_idx"]], "cluster": groups["cluster_id"].to_numpy()}
    pandas.DataFrame(of_record).to_parquet(clusters)
    say(took, pairs=len(linker.pairs))


if __name__ == "__main__":
    main()

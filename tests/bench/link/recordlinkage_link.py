"""Links records.csv with PyPI recordlinkage 0.16, and says what that took; started by side_by_side.py.

    recordlinkage_link.py RECORDS PAIRS

The same keys and the same comparisons as in splink_link.py; the classifier is the package's own of expectation and
conditional maximisation. It makes no clusters: the pairs it calls matches are the result.
"""

import sys

import pandas
import recordlinkage

from measured import Measured, say

KEYS = (["mpn"], ["gtin"], ["brand", "series"], ["series", "cc"])


def main():
    records, pairs = sys.argv[1:]
    frame = pandas.read_csv(records, dtype=str, index_col="id").drop(columns=["supplier", "sku"])
    frame["price"] = frame["price"].astype(float)
    frame["series"] = frame["title"].str.extract(r"\b([A-Z]{2}[0-9]{3,4})\b")
    frame["cc"] = frame["title"].str.extract(r"\b([0-9]{2,3}cc)\b")
    with Measured() as took:
        candidates = candidate_pairs(frame)
        compared = comparison().compute(candidates, frame)
        levels = (compared > 0.8).astype(int)
        matches = recordlinkage.ECMClassifier().fit_predict(levels)
    kept = pandas.DataFrame({"a": matches.get_level_values(0).astype(int), "b": matches.get_level_values(1).astype(int)})
    kept.assign(probability=1.0).to_csv(pairs, index=False)
    say(took, pairs=len(candidates))


def candidate_pairs(frame):
    """Pairs that any key brings together; a missing value is no key."""
    found = None
    for key in KEYS:
        known = frame.dropna(subset=key)
        indexer = recordlinkage.Index()
        indexer.block(key)
        of_key = indexer.index(known)
        found = of_key if found is None else found.union(of_key)
    return found


def comparison():
    compare = recordlinkage.Compare(n_jobs=1)
    compare.string("mpn", "mpn", method="damerau_levenshtein", label="mpn")
    compare.exact("gtin", "gtin", label="gtin")
    compare.exact("brand", "brand", label="brand")
    compare.string("title", "title", method="jarowinkler", label="title")
    compare.exact("cc", "cc", label="cc")
    compare.numeric("price", "price", method="linear", offset=1.0, scale=3.0, label="price")
    return compare


if __name__ == "__main__":
    main()

"""Links records.csv with Splink 4 on DuckDB, and says what that took; started by side_by_side.py.

    splink_link.py RECORDS PAIRS CLUSTERS

Estimates, predicts and clusters at 0.9; writes the pairs kept and the clusters as Parquet for the score. The time is that
of the linking alone: reading the file, starting the interpreter and writing the results are not in it. The settings are
those of the package's own documentation for products of this sort: numbers by edit distance, names by Jaro-Winkler,
term frequencies for brands and numbers, m learned by expectation maximisation under two blocking rules.
"""

import sys

import duckdb
import splink.comparison_library as cl
import splink.comparison_level_library as cll
from splink import DuckDBAPI, Linker, SettingsCreator, block_on

from measured import Measured, say

KEYS = [block_on("mpn"), block_on("gtin"), block_on("brand", "series"), block_on("series", "cc")]


def main():
    records, pairs, clusters = sys.argv[1:]
    base = duckdb.connect()
    base.execute("set threads to 2")
    base.execute(f"""
        create table records as
        select id, nullif(brand, '') brand, nullif(mpn, '') mpn, nullif(gtin, '') gtin, title, price::double price,
               nullif(regexp_extract(title, '\\b([A-Z]{{2}}[0-9]{{3,4}})\\b', 1), '') series,
               nullif(regexp_extract(title, '\\b([0-9]{{2,3}}cc)\\b', 1), '') cc
        from read_csv('{records}', all_varchar = true)""")
    with Measured() as took:
        linker = Linker("records", settings(), db_api=DuckDBAPI(connection=base))
        train(linker)
        predicted = linker.inference.predict(threshold_match_probability=0.05)
        found = linker.clustering.cluster_pairwise_predictions_at_threshold(predicted, 0.9)
    candidates = candidate_pairs(base)
    base.execute(f"""
        copy (select id_l::bigint a, id_r::bigint b, match_probability probability from {predicted.physical_name})
        to '{pairs}' (format parquet)""")
    base.execute(f"copy (select id::bigint id, cluster_id::varchar cluster from {found.physical_name}) to '{clusters}' (format parquet)")
    say(took, pairs=candidates)


def settings():
    price = cl.CustomComparison(
        output_column_name="price",
        comparison_levels=[
            cll.NullLevel("price"),
            cll.PercentageDifferenceLevel("price", 0.05),
            cll.PercentageDifferenceLevel("price", 0.2),
            cll.ElseLevel(),
        ],
    )
    return SettingsCreator(
        link_type="dedupe_only",
        unique_id_column_name="id",
        comparisons=[
            cl.LevenshteinAtThresholds("mpn", 2).configure(term_frequency_adjustments=True),
            cl.ExactMatch("gtin"),
            cl.ExactMatch("brand").configure(term_frequency_adjustments=True),
            cl.JaroWinklerAtThresholds("title", [0.95, 0.85]),
            cl.ExactMatch("cc").configure(term_frequency_adjustments=True),
            price,
        ],
        blocking_rules_to_generate_predictions=KEYS,
        retain_intermediate_calculation_columns=False,
        retain_matching_columns=False,
    )


def train(linker):
    linker.training.estimate_probability_two_random_records_match([block_on("gtin")], recall=0.4)
    linker.training.estimate_u_using_random_sampling(max_pairs=1e6, seed=1)
    for rule in (block_on("gtin"), block_on("mpn")):
        linker.training.estimate_parameters_using_expectation_maximisation(rule)


def candidate_pairs(base):
    """Pairs that any key brings together, each counted once."""
    joins = ["l.mpn = r.mpn", "l.gtin = r.gtin", "l.brand = r.brand and l.series = r.series", "l.series = r.series and l.cc = r.cc"]
    united = " union ".join(f"select l.id a, r.id b from records l join records r on {join} where l.id < r.id" for join in joins)
    return base.execute(f"select count(*) from ({united})").fetchall()[0][0]


if __name__ == "__main__":
    main()

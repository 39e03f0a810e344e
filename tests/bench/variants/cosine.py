"""Plain yardsticks: cosines of TF-IDF vectors, with thresholds chosen by the truth.

Over words and over runs of three characters; of the titles, and of the titles with all other text. Each alone; one to one
(greedy, best first); and by the margin over the best rival on either side, one to one. Lists are compared pair by pair of
lists, a single list with itself (then nothing is one to one). `best` is the highest F1 over all of these.
"""

from itertools import combinations

import open_links

LEAST = 0.1


def yardsticks(lists, true):
    """{name: best F1 over thresholds}; `lists` as {name: [(row, thing)]}."""
    found = {}
    for text, columns in (("title", ("manufacturer", "title")), ("all text", ("manufacturer", "title", "description"))):
        names = [[line["id"] for line, _ in rows] for rows in lists.values()]
        texts = [[" ".join(line[column] for column in columns) for line, _ in rows] for rows in lists.values()]
        for unit, options in (("words", {"token_pattern": r"\w+"}), ("letters", {"analyzer": "char_wb", "ngram_range": (3, 3)})):
            scores = cosines(names, texts, options)
            if not true:
                continue
            found[f"{unit} of {text}"] = f1_of(scores, true)
            if len(lists) > 1:
                found[f"{unit} of {text}, one to one"] = f1_of([one_to_one(some) for some in scores], true)
                found[f"{unit} of {text}, margin"] = f1_of([one_to_one(margins(some)) for some in scores], true)
    return found


def f1_of(scores, true):
    merged = {}
    for some in scores:
        merged.update({tuple(sorted(pair)): score for pair, score in some.items()})
    return open_links.best_f1(merged, true)[0]


def cosines(names, texts, options):
    """One {(a, b): cosine} for each pair of lists."""
    from sklearn.feature_extraction.text import TfidfVectorizer

    vectors = TfidfVectorizer(**options).fit([text for some in texts for text in some])
    tables = [vectors.transform(some) for some in texts]
    if len(texts) == 1:
        product = (tables[0] @ tables[0].T).tocoo()
        return [{(names[0][i], names[0][j]): float(s) for i, j, s in zip(product.row, product.col, product.data)
                 if i < j and s > LEAST}]
    found = []
    for first, second in combinations(range(len(texts)), 2):
        product = (tables[first] @ tables[second].T).tocoo()
        found.append({(names[first][i], names[second][j]): float(s)
                      for i, j, s in zip(product.row, product.col, product.data) if s > LEAST})
    return found


def margins(scores):
    """How much better a pair is than the best other pair of either side; cosine itself breaks ties."""
    best = [{}, {}]
    for pair, score in scores.items():
        for side in (0, 1):
            first, second = best[side].get(pair[side], (0.0, 0.0))
            best[side][pair[side]] = (score, first) if score > first else (first, max(second, score))
    found = {}
    for pair, score in scores.items():
        rivals = [best[side][pair[side]] for side in (0, 1)]
        found[pair] = score - max(second if score >= first else first for first, second in rivals)
    return found


def one_to_one(scores):
    taken, kept = set(), {}
    for pair, score in sorted(scores.items(), key=lambda item: (-item[1], item[0])):
        if not taken.intersection(pair):
            taken.update(pair)
            kept[pair] = score
    return kept

"""Grouping scores against scikit-learn 1.9.1; B-cubed against a loop over all pairs of rows, written from its
definition (Bagga and Baldwin 1998)."""

import random

from sklearn.metrics import precision_recall_fscore_support
from sklearn.metrics.cluster import pair_confusion_matrix


def pairs_of_rows(context, check):
    """Pairwise precision, recall, F1: scikit-learn 1.9.1 pair_confusion_matrix"""
    cases = list(labellings())
    answers = context.facts.ask(request(*case) for case in cases)
    for place, (case, answer) in enumerate(zip(cases, answers)):
        truth, found = inside(*case)
        if not truth:
            check.equal(f"case {place}, no rows", answer["pairwise"]["f1"], None)
            continue
        (_, wrong), (missed, hits) = pair_confusion_matrix(truth, found).tolist()
        expected = {
            "precision": ratio(hits, hits + wrong),
            "recall": ratio(hits, hits + missed),
            "f1": ratio(2 * hits, 2 * hits + wrong + missed),
        }
        for name, value in expected.items():
            check.near(f"case {place} {name}", answer["pairwise"][name], value, 1e-12)
        # The reference counts every pair twice.
        check.equal(f"case {place} pairs", answer["pairs_in_both"], hits // 2)


def b_cubed(context, check):
    """B-cubed precision, recall, F1: a loop over all pairs of rows"""
    cases = [case for case in labellings() if len(case[0]) <= 300]
    answers = context.facts.ask(request(*case) for case in cases)
    for place, (case, answer) in enumerate(zip(cases, answers)):
        truth, found = inside(*case)
        precision, recall = b_cubed_by_definition(truth, found)
        for name, value in (("precision", precision), ("recall", recall)):
            check.near(f"case {place} {name}", answer["b_cubed"][name], value, 1e-12)
        f1 = None if precision is None else 2 * precision * recall / (precision + recall)
        check.near(f"case {place} f1", answer["b_cubed"]["f1"], f1, 1e-12)


def decisions(context, check):
    """Yes/no precision, recall, F1: scikit-learn 1.9.1 precision_recall_fscore_support"""
    rng = random.Random(6)
    for place in range(40):
        rows = rng.randint(5, 400)
        truth = [rng.random() < 0.4 for _ in range(rows)]
        said = [value if rng.random() < 0.8 else not value for value in truth]
        answer = context.facts.one({"fact": "decisions", "truth": truth, "said": said})
        if not any(said) or not any(truth):
            continue
        expected = precision_recall_fscore_support(truth, said, average="binary")[:3]
        for name, value in zip(("precision", "recall", "f1"), expected):
            check.near(f"case {place} {name}", answer[name], float(value), 1e-12)


def b_cubed_by_definition(truth, found):
    rows = range(len(truth))
    if not truth:
        return None, None
    precision = recall = 0.0
    for row in rows:
        with_it = [other for other in rows if found[other] == found[row]]
        belong = [other for other in rows if truth[other] == truth[row]]
        precision += sum(truth[other] == truth[row] for other in with_it) / len(with_it)
        recall += sum(found[other] == found[row] for other in belong) / len(belong)
    return precision / len(truth), recall / len(truth)


def labellings():
    """(truth, found, subset or None): random, nearly right, split, merged, alone, and extreme ones."""
    rng = random.Random(5)
    yield [], [], None
    yield [1], [1], None
    yield list(range(20)), list(range(20)), None
    yield [0] * 20, list(range(20)), None
    yield list(range(20)), [0] * 20, None
    for rows in (2, 3, 10, 50, 200, 300, 2000):
        for groups in (1, 2, max(2, rows // 10), max(2, rows // 2)):
            truth = [rng.randrange(groups) for _ in range(rows)]
            noise = rng.random() * 0.5
            found = [label if rng.random() > noise else rng.randrange(groups) for label in truth]
            yield truth, found, None
            yield truth, [rng.randrange(groups) for _ in range(rows)], None
            yield truth, found, [rng.random() < 0.6 for _ in range(rows)]


def inside(truth, found, subset):
    if subset is None:
        return truth, found
    return [t for t, keep in zip(truth, subset) if keep], [f for f, keep in zip(found, subset) if keep]


def request(truth, found, subset):
    return {"fact": "grouping", "truth": truth, "found": found, "subset": subset}


def ratio(part, whole):
    return part / whole if whole else None


CHECKS = [pairs_of_rows, b_cubed, decisions]

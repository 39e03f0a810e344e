"""Calibration scores against scikit-learn 1.9.1; the expected calibration error against code of its own here."""

import math
import random

from sklearn.calibration import calibration_curve
from sklearn.metrics import brier_score_loss, roc_auc_score


def brier_and_auc(context, check):
    """Brier score and AUC: scikit-learn 1.9.1 brier_score_loss, roc_auc_score"""
    for place, (probabilities, outcomes, answer) in enumerate(scored(context)):
        brier = brier_score_loss(outcomes, probabilities)
        check.near(f"case {place} Brier", answer["brier"], float(brier), 1e-12)
        if len(set(outcomes)) == 2:
            area = float(roc_auc_score(outcomes, probabilities))
            check.near(f"case {place} AUC", answer["area_under_curve"], area, 1e-12)
        else:
            check.equal(f"case {place} AUC", answer["area_under_curve"], None)


def calibration_error(context, check):
    """Expected calibration error: independent code; bins: scikit-learn 1.9.1 calibration_curve"""
    for place, (probabilities, outcomes, answer) in enumerate(scored(context)):
        expected = by_definition(probabilities, outcomes)
        check.near(f"case {place}", answer["expected_calibration_error"], expected, 1e-12)
        if any(round(p * 10, 9) == round(p * 10) for p in probabilities):
            continue  # scikit-learn puts an edge into the lower bin, samefit into the upper one
        shares, means = calibration_curve(outcomes, probabilities, n_bins=10)
        filled = [row for row in answer["reliability"] if row["forecasts"]]
        check.equal(f"case {place} bins filled", len(filled), len(shares))
        for row, share, mean in zip(filled, shares, means):
            check.near(f"case {place} bin {row['low']} share", row["share_true"], float(share), 1e-12)
            check.near(f"case {place} bin {row['low']} mean", row["mean_probability"], float(mean), 1e-12)


def by_definition(probabilities, outcomes):
    """Guo et al. 2017, equation 3, with ten bins [0, 0.1) ... [0.9, 1]."""
    total = 0.0
    for low in range(10):
        inside = [
            (probability, outcome)
            for probability, outcome in zip(probabilities, outcomes)
            if min(9, math.floor(round(probability * 10, 9))) == low
        ]
        if inside:
            stated = sum(probability for probability, _ in inside) / len(inside)
            observed = sum(outcome for _, outcome in inside) / len(inside)
            total += abs(stated - observed) * len(inside)
    return total / len(probabilities)


def scored(context):
    """Random forecasts: continuous, rounded to four places, rounded to one place (ties), sure, one outcome only."""
    rng = random.Random(7)
    cases = []
    for rows in (1, 2, 10, 100, 3000):
        for rounding in (None, 4, 1):
            for skill in (0.0, 0.5, 1.0):
                probabilities = [rng.random() for _ in range(rows)]
                if rounding:
                    probabilities = [round(probability, rounding) for probability in probabilities]
                outcomes = [int(rng.random() < skill * p + (1 - skill) * 0.5) for p in probabilities]
                cases.append((probabilities, outcomes))
    cases.append(([1.0, 0.0, 1.0, 0.0], [1, 0, 0, 0]))
    cases.append(([0.3, 0.6, 0.9], [1, 1, 1]))
    requests = [
        {"fact": "forecasts", "probabilities": probabilities, "outcomes": [bool(o) for o in outcomes]}
        for probabilities, outcomes in cases
    ]
    for (probabilities, outcomes), answer in zip(cases, context.facts.ask(requests)):
        yield probabilities, outcomes, answer


CHECKS = [brier_and_auc, calibration_error]

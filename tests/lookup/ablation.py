"""What each part of the ranking earns: the tuning questions with one part switched off at a time.

python -m tests.lookup.ablation
"""

import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from statistics import fmean
from typing import Any, Final

from kbapp.lookup import concepts, document, rank, understand, weights
from tests.lookup.judge import judge
from tests.lookup.labelled_set import TYPES, questions

Part = tuple[Any, str, Any]


def _nothing(*_given: Any, **_named: Any) -> tuple[()]:
    return ()


PARTS: Final[dict[str, tuple[Part, ...]]] = {
    "everything": (),
    "concerns in everyday words": ((concepts, "spot_words", _nothing), (document, "spot", _nothing)),
    "… in the words of cases": ((document, "spot", _nothing),),
    "sayings": ((concepts, "meanings", lambda _words: []),),
    "other trade names": ((concepts, "other_names", lambda _words, _own=(): []),),
    "concern and its kin": ((weights, "SYMPTOM", 0.0),),
    "trouble codes": ((weights, "CODE", 0.0),),
    "kin vehicles": ((weights, "VEHICLE", 0.0),),
    "results that agree or contradict": ((weights, "EVIDENCE", 0.0),),
    "… told in running text": ((understand, "told_results", _nothing), (understand, "told_parts", _nothing)),
    "words of the tests": ((weights, "EVIDENCE_WORDS", 0.0),),
    "parts tried": ((weights, "PART_TRIED", 0.0), (weights, "TRIED_WAS_CAUSE", 0.0)),
    "near spellings": ((concepts, "near_words", lambda *_given: []),),
    "proof": ((rank, "PROVED", 0.0), (rank, "PROVED_ELSEWHERE", 0.0), (rank, "REPAIRED", 0.0)),
}
"""Each part with what is put in its place to switch it off."""


@contextmanager
def without(part: str) -> Iterator[None]:
    """Switches a part of ``PARTS`` off."""
    before = [(place, name, getattr(place, name)) for place, name, _ in PARTS[part]]
    for place, name, value in PARTS[part]:
        setattr(place, name, value)
    try:
        yield
    finally:
        for place, name, value in before:
            setattr(place, name, value)


def measure(part: str) -> tuple[dict[str, float], float]:
    """Returns nDCG@10 by type (and ``all``), and the share of pairs kept, with a part switched off."""
    with without(part):
        found = judge("ours", questions("tune"))
    by_type = {name: fmean(one.ndcg for one in found if one.labelled.type == name) for name in TYPES}
    return by_type | {"all": fmean(one.ndcg for one in found)}, fmean(one.pair for one in found if one.pair is not None)


def main(write: Callable[[str], object] = sys.stdout.write) -> None:
    """Prints the table."""
    columns = (*TYPES, "all", "pairs")
    write(f"| Without | {' | '.join(columns)} |\n|---|{'--:|' * len(columns)}\n")
    for part in PARTS:
        ndcg, pairs = measure(part)
        write(f"| {part} | {' | '.join(f'{value:.3f}' for value in (*ndcg.values(), pairs))} |\n")


if __name__ == "__main__":
    main()

"""What each part of the ranking weighs, beside ``WORDS`` for a case that meets every word as strongly as can be.

Round numbers, found on the tuning part of the labelled set and no finer than it can tell; docs/lookup.md has what each
part earned. Used as ``weights.NAME``.
"""

from typing import Final

WORDS: Final = 10.0
TRADE_NAME: Final = 0.8
"""Of a word met by another trade name for it."""
SAYING: Final = 0.7
"""Of words met by the concern that their saying means."""
DESCRIBED: Final = 1.0
"""Of a concern recognised in everyday words, beside one that is stated."""
NAMED: Final = 0.5
"""Of a concern all of whose words stand in the text, beside one that is stated."""

NUMBER: Final = 100.0
SYSTEM: Final = 0.75
SYMPTOM: Final = 2.5
OWN_WORDS: Final = 0.5
"""Of a concern that a case's words describe, beside one that the case states."""
VEHICLE: Final = 2.0
CODE: Final = 3.0
CODE_GROUP: Final = 0.4
"""Of a code of the same group, beside the same code."""
PART_TRIED: Final = 1.0
TRIED_WAS_CAUSE: Final = -1.5
EVIDENCE: Final = 3.0
TOLD: Final = 0.7
"""Of a result or part told in running text, beside one that is stated."""
LEAST_TOLD: Final = 0.4
"""How far a test of a case must be the one told in running text."""
EVIDENCE_WORDS: Final = 6.0

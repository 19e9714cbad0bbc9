"""Counts a book a second time, with plain SQL on its file and none of the ledger's code."""

import sqlite3
from collections import Counter
from pathlib import Path
from typing import Any

_COUNTED = """
CREATE TEMP TABLE counted AS
SELECT c.id, c.revision, c.cause_part, c.cause_position, c.opened_day, v.vehicle
FROM cases c JOIN vehicle v ON v.id = c.id
WHERE NOT c.removed AND c.state = 'proved' AND c.signed_here AND (c.cause_separated IS NULL OR c.cause_separated)
  AND c.revision NOT IN (SELECT revision FROM link WHERE kind = 'came_back_as')
  AND c.id NOT IN (SELECT l.case_id FROM link l JOIN cases s ON s.revision = l.revision WHERE l.kind = 'supersedes')
"""
_FITTED = """
CREATE TEMP TABLE fitted AS
SELECT lower(replace(p.part, '  ', ' ')) AS name, c.vehicle, c.id, c.revision, p.line, p.cost, p.currency, p.source,
       p.labour_minutes, p.stage,
       CASE WHEN p.at <> '' THEN substr(p.at, 1, 7) ELSE substr(c.opened_day, 1, 7) END AS month,
       CASE WHEN p.effect = 'gone' THEN 'cured'
            WHEN p.effect IN ('unchanged', 'worse') THEN 'unchanged'
            WHEN lower(replace(p.part, '  ', ' ')) = lower(c.cause_part)
             AND (p.position = '' OR c.cause_position = '' OR p.position = c.cause_position) THEN 'cured'
            ELSE 'unproved' END AS outcome,
       row_number() OVER (ORDER BY c.opened_day, c.revision, p.line) AS place
FROM part p JOIN counted c ON c.revision = p.revision
WHERE p.purpose = 'diagnostic' AND p.stage IN ('planned', 'fitted')
"""
_ISOLATING = """
CREATE TEMP TABLE isolating AS
SELECT t.revision, t.line, lower(t.test) AS name, t.minutes, c.vehicle
FROM test t JOIN counted c ON c.revision = t.revision
WHERE t.status = 'done' AND t.strength <> 'none' AND trim(t.outcome) <> ''
  AND lower(t.isolates) NOT IN ('', 'baseline')
"""
_ENDS = """
CREATE TEMP TABLE ends AS
SELECT i.revision, max(i.line) AS line, min(c.vehicle) AS vehicle FROM isolating i
JOIN counted c ON c.revision = i.revision
WHERE i.line < coalesce((SELECT min(f.line) FROM fitted f WHERE f.revision = i.revision AND f.stage = 'fitted'
                         AND f.outcome = 'cured'), 1000000)
GROUP BY i.revision
"""


class Recount:
    """A book counted by hand. ``vehicle`` joins labels and records of one job."""

    def __init__(self, folder: Path) -> None:
        self._db = sqlite3.connect(folder / "book.db")
        self._db.execute("CREATE TEMP TABLE vehicle (id TEXT PRIMARY KEY, vehicle TEXT)")
        self._db.executemany("INSERT INTO vehicle VALUES (?, ?)", self._vehicles().items())
        self._db.execute(_COUNTED)
        self._db.execute(self._once())
        for statement in (_FITTED, _ISOLATING, _ENDS):
            self._db.execute(statement)

    def close(self) -> None:
        self._db.close()

    def rows(self, query: str) -> list[tuple[Any, ...]]:
        return self._db.execute(query).fetchall()

    def _merged(self, pairs: list[tuple[str, str]], ids: list[str]) -> dict[str, str]:
        groups = {name: name for name in ids}
        changed = True
        while changed:
            changed = False
            for one, other in pairs:
                low = min(groups.get(one, one), groups.get(other, other))
                for name in (one, other):
                    if groups.get(name, name) != low:
                        groups[name] = low
                        changed = True
        return groups

    def _ids(self) -> list[str]:
        return [row[0] for row in self.rows("SELECT id FROM cases WHERE NOT removed")]

    def _same(self) -> list[tuple[str, str]]:
        ties = "SELECT c.id, l.case_id FROM link l JOIN cases c ON c.revision = l.revision WHERE l.kind = 'same_as'"
        return self.rows(ties)

    def _vehicles(self) -> dict[str, str]:
        labels = self.rows("SELECT id, 'v ' || vehicle_ref FROM cases WHERE NOT removed AND vehicle_ref <> ''")
        groups = self._merged([*self._same(), *labels], self._ids())
        return {name: groups[name] for name in self._ids()}

    def _once(self) -> str:
        """Returns the statement that drops all but the latest of the counted records of one job."""
        groups = self._merged(self._same(), self._ids())
        found = self.rows("SELECT c.id, c.opened_day FROM counted c")
        best: dict[str, tuple[str, str]] = {}
        for name, day in found:
            best[groups[name]] = max(best.get(groups[name], ("", "")), (day, name))
        kept = ", ".join(f"'{name}'" for _, name in best.values()) or "''"
        return f"DELETE FROM counted WHERE id NOT IN ({kept})"

    def parts(self) -> dict[str, tuple[int, int, int, int]]:
        """Returns part → vehicles planned only, cured, unchanged, unproved."""
        lasts = self.rows(
            "SELECT name, outcome, count(*) FROM (SELECT name, vehicle, outcome, max(place) FROM fitted "
            "WHERE stage = 'fitted' GROUP BY name, vehicle) GROUP BY name, outcome"
        )
        planned = dict(self.rows(
            "SELECT name, count(DISTINCT vehicle) FROM fitted p WHERE stage = 'planned' AND NOT EXISTS (SELECT 1 FROM "
            "fitted f WHERE f.name = p.name AND f.vehicle = p.vehicle AND f.stage = 'fitted') GROUP BY name"
        ))  # fmt: skip
        tally: dict[str, Counter[str]] = {}
        for name, outcome, n in lasts:
            tally.setdefault(name, Counter())[outcome] = n
        out = {}
        for name in {*planned, *tally}:
            of = tally.get(name, Counter())
            out[name] = (planned.get(name, 0), of["cured"], of["unchanged"], of["unproved"])
        return out

    def costs(self, outcome: str = "") -> dict[tuple[str, str], float]:
        """Returns (part, currency) → money."""
        which = f"AND outcome = '{outcome}'" if outcome else ""
        found = self.rows(
            "SELECT name, currency, sum(cost) FROM fitted WHERE stage = 'fitted' AND cost IS NOT NULL "
            f"{which} GROUP BY name, currency"
        )
        return {(name, currency): total for name, currency, total in found}

    def months(self) -> dict[tuple[str, str], tuple[int, int]]:
        """Returns (month, source) → vehicles with a part before any isolating test, vehicles with any part."""
        found = self.rows(
            "SELECT month, source, sum(early), count(*) FROM (SELECT f.month, f.source, f.vehicle, max(f.line < "
            "coalesce((SELECT min(line) FROM isolating i WHERE i.revision = f.revision), 1000000)) AS early "
            "FROM fitted f WHERE stage = 'fitted' GROUP BY f.month, f.source, f.vehicle) GROUP BY month, source"
        )
        return {(month, source): (early, of) for month, source, early, of in found}

    def splits(self) -> dict[str, tuple[int, int]]:
        """Returns test → vehicles in which it decided, vehicles in which it split."""
        found = self.rows(
            "SELECT name, sum(decided), count(*) FROM (SELECT i.name, i.vehicle, max(EXISTS (SELECT 1 FROM ends e "
            "WHERE e.revision = i.revision AND e.line = i.line)) AS decided FROM isolating i "
            "GROUP BY i.name, i.vehicle) GROUP BY name"
        )
        return {name: (decided, of) for name, decided, of in found}

    def _latest(self) -> str:
        return (
            "(SELECT revision FROM (SELECT revision, row_number() OVER (PARTITION BY vehicle "
            "ORDER BY opened_day DESC, revision DESC) AS n FROM counted) WHERE n = 1)"
        )

    def minutes(self) -> list[float]:
        """Returns the minutes to isolation of each vehicle's latest case, where all are written down."""
        spent = (
            "SELECT t.revision, t.minutes FROM test t JOIN ends e ON e.revision = t.revision AND t.line <= e.line "
            "WHERE t.source = 'own' UNION ALL SELECT f.revision, f.labour_minutes FROM fitted f JOIN ends e "
            "ON e.revision = f.revision AND f.line < e.line WHERE f.source = 'own' AND f.stage = 'fitted'"
        )
        found = self.rows(
            f"SELECT e.revision, coalesce((SELECT sum(minutes) FROM ({spent}) s WHERE s.revision = e.revision), 0) "
            f"FROM ends e WHERE e.revision IN {self._latest()} AND NOT EXISTS "
            f"(SELECT 1 FROM ({spent}) s WHERE s.revision = e.revision AND s.minutes IS NULL)"
        )
        return sorted(total for _, total in found)

    def money(self, currency: str) -> list[float]:
        """Returns what each vehicle's latest case had spent in a currency when the fault was isolated."""
        spent = (
            "SELECT f.revision, f.currency, sum(f.cost) AS total FROM fitted f JOIN ends e ON e.revision = f.revision "
            "AND f.line < e.line WHERE f.stage = 'fitted' AND f.cost IS NOT NULL GROUP BY f.revision, f.currency"
        )
        found = self.rows(f"SELECT total FROM ({spent}) WHERE currency = '{currency}' AND revision IN {self._latest()}")
        nothing = self.rows(
            f"SELECT 0 FROM ends WHERE revision IN {self._latest()} "
            f"AND revision NOT IN (SELECT revision FROM ({spent}))"
        )
        return sorted(row[0] for row in (found + nothing if currency == "EUR" else found))

    def lacking(self) -> dict[str, int]:
        """Returns how many finished cases lack a retest, a section, an isolating test."""
        done = "NOT removed AND state IN ('repaired', 'proved', 'came_back')"
        isolated = (
            "SELECT revision FROM test WHERE status = 'done' AND strength <> 'none' AND trim(outcome) <> '' "
            "AND lower(isolates) NOT IN ('', 'baseline')"
        )
        conditions = {
            "retest": "retest_result = ''",
            "cause_section": "cause_section = ''",
            "isolating_test": f"revision NOT IN ({isolated})",
        }
        return {
            name: self.rows(f"SELECT count(*) FROM cases WHERE {done} AND {condition}")[0][0]
            for name, condition in conditions.items()
        }

import time

from hypothesis import given
from hypothesis import strategies as st

from kbapp.records.code_search import find_codes

REPORT = """\
ECM - Engine Control Module
  P0171  System too lean bank 1    - Stored
  P0300-04: Pending

[ABS] C0035 active; c0040 history
Body control module (2 codes)

U0100  current sensor supply, not present, PERMANENT
B16A1
"""


def _lines(text: str) -> list[tuple[str, str, str, str]]:
    return [(text[one.start : one.end], one.code.text, one.status, one.module) for one in find_codes(text)]


def test_a_scan_report() -> None:
    assert _lines(REPORT) == [
        ("P0171", "P0171", "stored", "ECM"),
        ("P0300-04", "P0300-04", "pending", "ECM"),
        ("C0035", "C0035", "active", "ABS"),
        ("c0040", "C0040", "history", "ABS"),
        ("U0100", "U0100", "permanent", "Body control module"),
        ("B16A1", "B16A1", "", "Body control module"),
    ]


def test_running_words() -> None:
    assert _lines("P0171, P0174 and P 0300 stored in ECM, then PO420 pending in TCM.") == [
        ("P0171", "P0171", "stored", "ECM"),
        ("P0174", "P0174", "stored", "ECM"),
        ("P 0300", "P0300", "stored", "ECM"),
        ("PO420", "P0420", "pending", "TCM"),
    ]
    assert _lines("stored: p0300") == [("p0300", "P0300", "stored", "")]
    assert _lines("no code, engine cranks slowly\nP0335") == [("P0335", "P0335", "", "")]


def test_what_looks_like_a_code_and_is_none() -> None:
    text = "Part B1234567 and KM-P0171X, P205/65R16, CODED, DECAF, type B 2000, P4000, 12V, P0171A, _P0171"
    assert _lines(text) == []


@given(st.text() | st.text("PCBU0123456789ABCDEF -:/\n.,storedECM", max_size=80))
def test_spans_are_true_and_nothing_crashes(text: str) -> None:
    last = 0
    for one in find_codes(text):
        assert last <= one.start < one.end <= len(text)
        assert one.code.base[1:] in text[one.start : one.end].upper().replace("O", "0").replace(" ", "").replace(
            "-", ""
        )
        last = one.end


def test_a_long_report_takes_no_time() -> None:
    start = time.process_time()
    assert len(find_codes(REPORT * 1000)) == 6000
    assert time.process_time() - start < 2

import pytest
from hypothesis import given
from hypothesis import strategies as st
from obdii.parsers.dtc import DTC

from kbapp.errors import InputError
from kbapp.records.codes import Letter, TroubleCode, decode_code, decode_hex, parse_code, similarity

LETTERS: st.SearchStrategy[Letter] = st.sampled_from(("P", "C", "B", "U"))
CODES = st.builds(TroubleCode, LETTERS, st.integers(0, 0x3FFF), st.none() | st.integers(0, 255))


@pytest.mark.parametrize(
    ("sent", "text"),
    [
        # SAE J2012 / ISO 15031-6 [L]
        ("0133", "P0133"),
        ("C100", "U0100"),
        ("4035", "C0035"),
        ("8001", "B0001"),
        ("0A80", "P0A80"),
        ("96A1", "B16A1"),
        ("FFFF", "U3FFF"),
        # the same [S]
        ("9234", "B1234"),
        ("403123", "C0031-23"),
        ("803910", "B0039-10"),
        ("012700", "P0127"),
        ("C07304", "U0073-04"),
        ("C0 73 04", "U0073-04"),
    ],
)
def test_published_codes(sent: str, text: str) -> None:
    code = decode_hex(sent)
    assert code.text == text
    assert code.encode() == bytes.fromhex(sent)
    assert parse_code(text) in (code, TroubleCode(code.letter, code.number))


@pytest.mark.outside
def test_every_two_bytes_as_py_obdii_reads_them() -> None:
    for word in range(0x10000):
        high, low = divmod(word, 256)
        assert decode_code(bytes((high, low))).text == DTC.from_bytes(high, low).code  # [L] py-obdii


@given(CODES)
def test_codes_come_back(code: TroubleCode) -> None:
    assert decode_code(code.encode()) == code
    assert decode_hex(code.encode().hex()) == code
    back = parse_code(code.text)
    assert back is not None
    assert (back.base, back.failure_type or 0) == (code.base, code.failure_type or 0)


@pytest.mark.parametrize(
    ("typed", "text"),
    [
        ("p0171", "P0171"),
        (" P 0171 ", "P0171"),
        ("P-0171", "P0171"),
        ("p.0171", "P0171"),
        ("PO171", "P0171"),
        ("poo17", "P0017"),
        ("U0073-04", "U0073-04"),
        ("u0073:04", "U0073-04"),
        ("U0073 04", "U0073-04"),
        ("U0073/04", "U0073-04"),
        ("U0073 - 04h", "U0073-04"),
        ("U007304", "U0073-04"),
        ("P0127-00", "P0127"),
        ("b16a1", "B16A1"),
    ],
)
def test_codes_as_people_type_them(typed: str, text: str) -> None:
    code = parse_code(typed)
    assert code is not None
    assert code.text == text


@pytest.mark.parametrize(
    "typed",
    [
        "",
        "P",
        "P017",
        "P01711",
        "P0171-4",
        "P0171-",
        "P4171",
        "X0171",
        "P01G1",
        "P  0171",
        "17965",
        "Ｐ0171",
        "P٠171",
        "P0171\x00",
    ],
)
def test_other_text_is_no_code(typed: str) -> None:
    assert parse_code(typed) is None


@given(st.text() | st.text("PCBUpcbuO0123456789ABCDEF -:/.", max_size=12))
def test_parsing_never_crashes(text: str) -> None:
    code = parse_code(text)
    assert code is None or decode_code(code.encode()) == code


@pytest.mark.parametrize(
    ("text", "origin"),
    [
        # P3000 to P33FF maker, P3400 to P3FFF standard [S]; the rest [M]
        ("P3000", "maker"),
        ("P33FF", "maker"),
        ("P3400", "standard"),
        ("P3FFF", "standard"),
        ("P0171", "standard"),
        ("P1171", "maker"),
        ("P2171", "standard"),
        ("C0035", "standard"),
        ("C1035", "maker"),
        ("C2035", "maker"),
        ("C3035", "reserved"),
        ("B3035", "reserved"),
        ("U0100", "standard"),
        ("U1100", "maker"),
        ("U2100", "maker"),
        ("U3000", "standard"),
    ],
)
def test_who_defines_a_code(text: str, origin: str) -> None:
    code = parse_code(text)
    assert code is not None
    assert code.origin == origin


def test_nearness() -> None:
    assert similarity("p0171", "P 0171") == "same"
    assert similarity("U0073-04", "U0073") == "same"
    assert similarity("P0171", "P0174") == "group"
    assert similarity("P0301", "P0300") == "group"
    assert similarity("U0121", "U0140") == "group"
    assert similarity("P0171", "P0180") == "none"
    assert similarity("C0035", "B0035") == "none"
    assert similarity("17965", "17 965") == "same"
    assert similarity("17965", "P0171") == "none"


@given(CODES, CODES)
def test_nearness_is_the_same_both_ways(one: TroubleCode, other: TroubleCode) -> None:
    assert similarity(one.text, other.text) == similarity(other.text, one.text)
    assert similarity(one.text, one.text) == "same"
    assert one.base.startswith(one.group)


@pytest.mark.parametrize("data", [b"", b"\x01", b"\x01\x02\x03\x04"])
def test_other_lengths_are_refused(data: bytes) -> None:
    with pytest.raises(InputError) as caught:
        decode_code(data)
    assert (caught.value.code, caught.value.values) == ("code_length", {"found": len(data)})


def test_what_is_not_hexadecimal_is_refused() -> None:
    with pytest.raises(InputError) as caught:
        decode_hex("01G3")
    assert caught.value.code == "code_hex"

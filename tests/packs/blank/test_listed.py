from hypothesis import given, settings
from hypothesis import strategies as st

from kbapp.packs.blank.listed import Listed, folded
from kbapp.records.private import PrivateDetails
from tests.packs.planted import FREE_TEXT, LISTED
from tests.packs.world import PRIVATE

OTHERS = (
    PrivateDetails(customer="Frau Änne Weiß-Mueller", address="Am Mühlbach 7, 99417 Quarle", phone="0171/3920077"),
    PrivateDetails(
        customer="Søren Møller & Łucja Đurić", plate="QX·Z 918", order_number="A/77-1", email="søren@example.org"
    ),
    PrivateDetails(customer="Jonas Green", vin="1J9RP1A36A1644345", phone="112233", address="8 The Green"),
)
PIECES = (
    [text for text, _ in LISTED]
    + [text for text, _, _ in FREE_TEXT]
    + [
        "Anne Weiss",
        "Aenne Müller",
        "WEISZ",
        "Moeller",
        "Soren Moller",
        "Lucja",
        "qx z 918",
        "a77 1",
        "112233",
        "1644345",
        "Green",
        "green wire",
        "am muehlbach 7",
        "Mühlbach",
        "99417",
        "7 1 3 9 2 0 0 7 7",
        "data e mmaria tolland",
    ]
)
TEXTS = st.lists(
    st.sampled_from(PIECES) | st.text("aeäößüøłæ ./-0123456789MT", max_size=14), min_size=1, max_size=4
).map(" ".join)


@settings(max_examples=200)
@given(TEXTS, st.sampled_from((PRIVATE, *OTHERS)))
def test_narrowing_to_a_text_never_loses_what_stands_in_it(text: str, record: PrivateDetails) -> None:
    listed = Listed([record])
    assert list(listed.within([text]).find(text)) == list(listed.find(text))


def test_spellings_meet_when_folded() -> None:
    assert folded("Änne") == folded("Aenne") == folded("ANNE")
    assert folded("Møller") == folded("Moeller")
    assert folded("QX-ZT 44·71") == folded("qxzt4471")


def test_accents_and_german_spellings_are_found() -> None:
    listed = Listed([OTHERS[0]])
    for text in ("Anne", "Aenne", "ÄNNE", "Weiss", "weiß", "Müller", "Mueller", "Am Mühlbach", "am muehlbach 7"):
        assert list(listed.find(text)), text


def test_titles_firms_and_short_pieces_are_no_names() -> None:
    listed = Listed([PrivateDetails(customer="Frau Li & Company Ltd", plate="A1", order_number="7", phone="12")])
    assert [
        span for text in ("company car", "limited slip", "A1 pin", "7 mm", "12 V", "li") for span in listed.find(text)
    ] == []
    assert list(listed.find("Frau Li & Company Ltd"))

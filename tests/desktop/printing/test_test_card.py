import re
from pathlib import Path

import pytest
from PySide6.QtWidgets import QApplication

from kbapp.desktop.printing.test_card import Paper, card_html, write_card
from kbapp.errors import EnvironmentFault
from kbapp.maps.shipped import shipped_ids, shipped_map
from kbapp.records.map_document import check_map


@pytest.mark.parametrize(("paper", "points"), [("A4", (595, 842)), ("Letter", (612, 792))])
def test_the_paper_is_as_asked(qapp: QApplication, tmp_path: Path, paper: Paper, points: tuple[int, int]) -> None:
    section_map = shipped_map("brake-low-pedal")
    path = tmp_path / "card.pdf"
    write_card(path, section_map, paper)
    box = re.search(rb"/MediaBox \[0 0 ([0-9.]+) ([0-9.]+)\]", path.read_bytes())
    assert box is not None
    assert (round(float(box[1])), round(float(box[2]))) == points


@pytest.mark.parametrize("map_id", shipped_ids())
def test_each_card_has_a_box_for_every_place_repeat_condition_and_outcome(map_id: str) -> None:
    section_map = shipped_map(map_id)
    for test in section_map.tests:
        html = card_html(section_map, test.id)
        ticks = html.count("&#9633;")
        least = len(test.conditions) + len(test.outcomes) + 2 + len(test.undo) + len(test.prerequisites)
        assert ticks >= least
        if test.readings is not None:
            assert html.count("<td>&nbsp;</td>") >= test.repeats * max(1, len(test.readings.places))
        assert sum(f"{n}. " in html for n in range(1, len(test.steps) + 1)) == len(test.steps)


def test_words_of_a_map_are_never_markup() -> None:
    plain = shipped_map("misfire").plain()
    plain["title"] = '<b>&amp; "x"</b>'
    section_map = check_map(plain).unwrap("t")
    assert "<b>" not in card_html(section_map)


def test_a_folder_that_is_not_there_is_said(qapp: QApplication, tmp_path: Path) -> None:
    with pytest.raises(EnvironmentFault):
        write_card(tmp_path / "none" / "card.pdf", shipped_map("misfire"), "A4")

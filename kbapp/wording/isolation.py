"""Sentences for the codes of section maps and of kbapp.isolation."""

from typing import Final

from kbapp.i18n import N_

SENTENCES: Final[dict[str, str]] = {
    "map_count": N_("{path}: has {found}, allowed are {expected}."),
    "map_id_twice": N_("{path}: {found} stands twice. Give each its own id."),
    "map_id_reserved": N_("{path}: the id {found} is reserved. Choose another."),
    "map_prior_zero": N_("{path}: no result can ever raise a weight of 0. Give it a small weight or remove it."),
    "map_section_unknown": N_("{path}: names the section {found}, which this map does not have."),
    "map_section_itself": N_("{path}: the section {found} names itself. Remove it from its own list."),
    "map_part_differs": N_(
        "{path}: the part {found} stands in another section with another name, cost or labour. Make them equal, "
        "or give it an id of its own."
    ),
    "map_part_orphan": N_("{path}: the part {found} has a share of 0 wherever it is. Give it a share or remove it."),
    "map_likelihood_missing": N_(
        "{path}: the outcome {found} has no likelihood while another one has. Give every outcome its likelihood."
    ),
    "map_likelihood_gap": N_("{path}: an outcome says nothing about {found}. Name it, or give a value for *."),
    "map_likelihood_sum": N_("{path}: the likelihoods of {found} over all outcomes, they must sum to {expected}."),
    "map_two_forms": N_("{path}: the outcome {found} uses points_to beside likelihoods. Keep one of the two forms."),
    "map_short_form_two": N_("{path}: points_to is for two outcomes, found {found}. Give each outcome its likelihood."),
    "map_points_to_missing": N_("{path}: the first outcome, {found}, does not say which sections it points to."),
    "map_points_to_second": N_(
        "{path}: only the first outcome has points_to, the second ({found}) speaks against the same sections. "
        "Remove it, or give each outcome its likelihood."
    ),
    "map_test_tells_nothing": N_(
        "{path}: the test {found} cannot tell any section from another. Correct what it points to or its strength."
    ),
    "map_nested_cycle": N_("{path}: nesting runs in a circle: {found}. Remove one of these links."),
    "map_section_untouched": N_("{path}: no test names the section {found}, so it can only be found by elimination."),
    "map_sections_unsplit": N_("{path}: no test tells these sections apart: {found}."),
    "case_map_differs": N_("{path}: the case was worked with the map {found}, not with {expected}. Give that map."),
    "case_outcome_unknown": N_("{path}: the map's test has no outcome {found}, expected one of {expected}."),
    "case_section_unknown": N_("{path}: {found} is no section of the map {expected}. Link the part to one of it."),
    "map_unknown": N_("No section map called {map} ships with the program. See the list: kbapp map list."),
    "map_damaged": N_("The section map {map} of this installation is damaged. Install Provebook again."),
}  # fmt: skip

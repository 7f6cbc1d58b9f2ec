"""The pages of the catalogue say what the code builds, what follows from what, and which block of
the gallery violates what."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from twohand.engine.system.contract import Proved, Violated
from twohand.specification.catalogue.pages import CataloguePage, catalogue_pages
from twohand.specification.catalogue.two_hand import catalogue_identifiers
from twohand.specification.catalogue.words import demand_identifiers
from twohand.specification.model.specification import Expectation, Specification

from tests.support.decided import Question
from tests.support.gallery_reports import gallery_specification
from tests.support.implications import follows
from tests.support.samples.free_block import free_specification
from tests.support.tiers import rows

PAGES = catalogue_pages()
ENTRIES = {entry.identifier: entry for page in PAGES for entry in page.entries}
PROVABLE = [entry for entry in ENTRIES.values() if entry.formula]
HANDS = "HAND left = left; HAND right = right; OUTPUT stroke;"
FOUR_HANDS = f"{HANDS} HAND third = third; HAND fourth = fourth;"
SHORT = {"T#480ms": "T#20ms", "T#440ms": "T#0ms", "T#10ms": "T#10ms"}
"""The pages' window, what AVAILABLE makes of it at a fixed scan of 10 ms, and a bounce time."""
ALL_OF_A_STOP = """
REQUIRE TWO_HAND LOGIC TYPE II; REQUIRE no_restart; REQUIRE stop (condition := guardOpen);
REQUIRE manual_reset (reset := reset, ready := ready, safeguards := NOT guardOpen);"""
STOP_PARTS = ("off", "end_starts_nothing")
ALL_OF_A_PRESS = """
REQUIRE TWO_HAND LOGIC TYPE III, WINDOW T#20ms; AVAILABLE WITHIN 0 SCANS; REQUIRE no_restart;
REQUIRE single_stroke (complete := complete, unchanged := T#20ms);
REQUIRE two_hand_trip (complete := complete, unchanged := T#20ms);
REQUIRE anti_tie_down (window := T#20ms); REQUIRE greatest_on_time (limit := T#20ms);"""


MANY_STATES = {
    *("no_restart", "manual_reset_starts_nothing", "stop_end_starts_nothing", "start_window"),
    *("stations_synchronous", "window_missed", "manual_reset_release", "available"),
    *("selection_starts_nothing", "two_hand_trip_stuck_end"),
}
"""Entries whose text the long tests compare with the code."""


def shortened(text: str) -> str:
    return re.sub(r"T#\d+ms", lambda found: SHORT[found.group()], text)


# --- the pages are whole -----------------------------------------------------------------------


def test_every_requirement_that_can_be_asked_has_its_entry() -> None:
    known = {entry.requirement for entry in ENTRIES.values() if entry.judged}
    built = {name for name in known if not name.startswith("arrangement_")} - {"start_window_front"}
    assert built == catalogue_identifiers(()) | demand_identifiers()


def test_an_identifier_stands_once_and_is_the_trades() -> None:
    names = [entry.identifier for page in PAGES for entry in page.entries]
    assert len(names) == len(set(names))
    assert all(re.fullmatch(r"[a-z]+(_[a-z]+)*", name) for name in names)
    assert len({page.order for page in PAGES}) == len(PAGES)


def test_what_is_not_judged_says_why() -> None:
    open_ones = [entry for entry in ENTRIES.values() if not entry.judged]
    assert {"accidental_operation", "defeat"} <= {entry.identifier for entry in open_ones}
    assert all(entry.why and not entry.formula and not entry.write for entry in open_ones)
    otherwise = [entry for entry in ENTRIES.values() if entry.judged and not entry.formula]
    assert all(entry.why and entry.write for entry in otherwise)


def test_every_entry_names_its_source_and_whom_it_is_asked_of() -> None:
    assert all(entry.authority and entry.belongs and entry.sentence for entry in ENTRIES.values())
    half_a_second = [e for e in ENTRIES.values() if "1910" in e.authority and "T#" in e.formula]
    assert half_a_second == []


def test_every_type_has_its_requirements() -> None:
    by_type = {
        kind: {entry.identifier for entry in PROVABLE if f"type {kind}" in entry.belongs}
        for kind in ("I", "II", "III")
    }
    assert by_type["I"] == {"both_hands", "available"}
    assert by_type["II"] == by_type["I"] | {"release_both", "power_up", "new_press"}
    assert by_type["III"] == by_type["II"] | {"start_window", "window_missed"}


def test_every_provable_entry_has_a_block_that_violates_it_and_a_mended_one() -> None:
    for entry in PROVABLE:
        assert entry.violated_by, entry.identifier
        assert entry.mended_by, entry.identifier


# --- text and code -----------------------------------------------------------------------------


def forms(entry: CataloguePage) -> list[tuple[str, str]]:
    """What to write and what it asks, of an entry and its variants."""
    return [(entry.write, entry.formula), *((v.write, v.formula) for v in entry.variants)]


@pytest.mark.parametrize(
    "entry",
    rows(PROVABLE, lambda e: e.identifier in MANY_STATES or "type" not in e.belongs),
    ids=lambda entry: entry.identifier,
)
def test_the_text_asks_what_the_code_asks(entry: CataloguePage, tmp_path: Path) -> None:
    for write, formula in forms(entry):
        roles = FOUR_HANDS if "STATION" in write else HANDS
        statements = shortened(f"{write}\nPROPERTY as_text : {formula};")
        specification = free_specification(tmp_path, statements, roles)
        asked = {each.identifier: each for each in specification.requirements}
        code, text = asked[entry.requirement], asked["as_text"]
        assert follows(specification, [code.property], text.property), (write, "text is more")
        assert follows(specification, [text.property], code.property), (write, "code is more")


@pytest.mark.long
def test_a_report_and_its_page_name_the_same_source(tmp_path: Path) -> None:
    for entry in PROVABLE:
        roles = FOUR_HANDS if "STATION" in entry.write else HANDS
        asked = free_specification(tmp_path, shortened(entry.write), roles).requirements
        found = next(each for each in asked if each.identifier == entry.requirement)
        if entry.requirement == entry.identifier and entry.identifier != "available":
            assert entry.authority.startswith(found.authority), entry.identifier


# --- what follows from what --------------------------------------------------------------------


@pytest.fixture(scope="module")
def press(tmp_path_factory: pytest.TempPathFactory) -> Specification:
    """Every requirement of a press, on outputs that are free."""
    return free_specification(tmp_path_factory.mktemp("free"), ALL_OF_A_PRESS)


@pytest.fixture(scope="module")
def guarded(tmp_path_factory: pytest.TempPathFactory) -> Specification:
    """What is asked of stop, reset and supply."""
    return free_specification(tmp_path_factory.mktemp("free"), ALL_OF_A_STOP)


def listed(entry: CataloguePage) -> set[str]:
    """From which entries alone it follows, by its page."""
    return {names[0] for names in entry.follows_from if len(names) == 1}


@pytest.mark.long
def test_what_is_listed_follows_and_its_converse_only_where_listed(press: Specification) -> None:
    asked = {each.identifier: each.property for each in press.requirements}
    for name in asked:
        for other in listed(ENTRIES[name]):
            assert follows(press, [asked[other]], asked[name]), (name, other)
            converse = name in listed(ENTRIES[other])
            assert follows(press, [asked[name]], asked[other]) == converse, (other, name)


@pytest.mark.long
def test_what_follows_alone_is_listed_and_nothing_else(press: Specification) -> None:
    asked = {each.identifier: each.property for each in press.requirements}
    for name, consequent in asked.items():
        others = [other for other in asked if other != name]
        found = {other for other in others if follows(press, [asked[other]], consequent)}
        assert found == listed(ENTRIES[name]), name


@pytest.mark.long
def test_what_follows_from_several_follows_from_no_fewer(
    press: Specification, guarded: Specification
) -> None:
    several = [
        (entry.identifier, names)
        for entry in ENTRIES.values()
        for names in entry.follows_from
        if len(names) > 1
    ]
    assert several
    for name, names in several:
        free = guarded if any(each.startswith("manual") for each in names) else press
        asked = {each.identifier: each.property for each in free.requirements}
        together = [asked[each] for each in names]
        assert follows(free, together, asked[name]), (name, names)
        for left_out in range(len(names)):
            fewer = together[:left_out] + together[left_out + 1 :]
            assert not follows(free, fewer, asked[name]), (name, names)


@pytest.mark.long
def test_nothing_asked_of_a_reset_follows_from_all_else(guarded: Specification) -> None:
    asked = {each.identifier: each.property for each in guarded.requirements}
    resets = [name for name in asked if name.startswith("manual_reset")]
    assert len(resets) == 5
    for name in resets:
        others = [asked[other] for other in asked if other != name]
        assert not follows(guarded, others, asked[name]), name


def test_a_noticed_fault_and_a_stopped_output_do_not_follow_from_each_other(
    tmp_path: Path,
) -> None:
    for word in ("feedback_plausible", "end_positions", "discrepancy"):
        write = ENTRIES[f"{word}_off"].write
        asked = free_specification(tmp_path, shortened(write), HANDS)
        first, second = (each.property for each in asked.requirements)
        assert not follows(asked, [first], second)
        assert not follows(asked, [second], first)


def test_a_stop_and_its_end_follow_from_nothing_that_is_asked_of_hands(tmp_path: Path) -> None:
    """And neither from the other: each of the two alone leaves the accident of the other open."""
    demands = "REQUIRE TWO_HAND LOGIC TYPE II; REQUIRE no_restart;"
    demands += "REQUIRE single_stroke (complete := complete, unchanged := T#20ms);"
    free = free_specification(tmp_path, f"{demands} REQUIRE stop (condition := guardOpen);", HANDS)
    asked = {each.identifier: each.property for each in free.requirements}
    for name in ("stop_off", "stop_end_starts_nothing"):
        others = [asked[other] for other in asked if other != name]
        assert not follows(free, others, asked[name]), name


@pytest.mark.long
@pytest.mark.parametrize("start", ["", ", start := start"], ids=["hands", "start"])
def test_stops_asked_apart_ask_what_they_ask_together(start: str, tmp_path: Path) -> None:
    free = free_specification(
        tmp_path,
        f"REQUIRE guard : stop (condition := guardOpen{start});"
        f"REQUIRE button : stop (condition := stopPressed{start});"
        f"REQUIRE any : stop (condition := guardOpen OR stopPressed{start});",
        HANDS,
    )
    asked = {each.identifier: each.property for each in free.requirements}
    apart = [asked[f"{name}_{part}"] for name in ("guard", "button") for part in STOP_PARTS]
    together = [asked[f"any_{part}"] for part in STOP_PARTS]
    assert all(follows(free, together, each) for each in apart)
    assert all(follows(free, apart, each) for each in together)
    assert not follows(free, [asked["any_end_starts_nothing"]], asked["guard_end_starts_nothing"])


def test_starting_in_the_window_does_not_imply_that_a_missed_window_counts(
    press: Specification,
) -> None:
    asked = {each.identifier: each.property for each in press.requirements}
    others = [asked[name] for name in ("start_window", "both_hands", "release_both", "no_restart")]
    assert not follows(press, others, asked["window_missed"])
    assert not follows(press, [asked["window_missed"]], asked["start_window"])


# --- the gallery -------------------------------------------------------------------------------


def violated(specification: Specification) -> set[str]:
    return {
        each.identifier
        for each in specification.requirements
        if each.expected is Expectation.VIOLATED
    }


def same_requirement(entry: CataloguePage, identifier: str) -> bool:
    """Whether a gallery spec's identifier is this entry's, whatever its label or station."""
    stem = entry.requirement.removesuffix("_front")
    of_a_station = stem in ("start_window", "window_missed") and identifier.startswith(f"{stem}_")
    labelled = (entry.identifier, identifier) == ("never_together", "never_both")
    return identifier == entry.requirement or of_a_station or labelled


@pytest.mark.parametrize("entry", PROVABLE, ids=lambda entry: entry.identifier)
def test_a_block_violates_its_entry_and_the_mended_one_does_not(entry: CataloguePage) -> None:
    for name in entry.violated_by:
        assert any(
            same_requirement(entry, each) for each in violated(gallery_specification(name))
        ), name
    for name in entry.mended_by:
        assert not any(
            same_requirement(entry, each) for each in violated(gallery_specification(name))
        )
        asked = gallery_specification(name).requirements
        assert any(same_requirement(entry, each.identifier) for each in asked), name


@pytest.mark.parametrize("entry", PROVABLE, ids=lambda entry: entry.identifier)
def test_the_first_block_violates_nothing_that_its_entry_does_not_follow_from(
    entry: CataloguePage,
) -> None:
    found = violated(gallery_specification(entry.violated_by[0]))
    asked = {each.identifier for each in gallery_specification(entry.violated_by[0]).requirements}
    alone = {entry.requirement, *listed(entry)}
    with_others = {name for names in entry.follows_from for name in names}
    related = {name for name in found if name in ENTRIES and ENTRIES[name].belongs == entry.belongs}
    if "beam_press" in entry.violated_by[0]:
        assert alone & asked <= found <= alone | with_others
    elif entry.requirement == entry.identifier:
        assert related <= alone | {entry.identifier}


@pytest.mark.long
@pytest.mark.parametrize("entry", PROVABLE, ids=lambda entry: entry.identifier)
def test_the_engine_finds_the_violation_and_the_proof(entry: CataloguePage) -> None:
    for name, kind in ((entry.violated_by[0], Violated), (entry.mended_by[0], Proved)):
        specification = gallery_specification(name)
        chosen = [
            each
            for each in specification.requirements
            if same_requirement(entry, each.identifier)
            and (kind is Proved or each.expected is Expectation.VIOLATED)
        ][:1]
        for requirement in chosen:
            question = Question(
                specification.program,
                specification.clocking,
                requirement.property,
                specification.readings,
                [each.formula for each in specification.assumptions],
            )
            assert isinstance(question.decide(60), kind), (name, requirement.identifier)
        assert chosen

"""SUPPLY, ARRANGEMENT, NOTICE and contacts: what is read, and what is refused at its place."""

from __future__ import annotations

from pathlib import Path

import pytest
from twohand.analyses.faults.cases import load_fault_analyses
from twohand.program import Read, Variable
from twohand.program.walks import nodes_below
from twohand.specification.load import load_specifications
from twohand.specification.model.fault import Kept
from twohand.specification.model.specification import Arrangement
from twohand.text.diagnostic import Diagnostic, InputError

from tests.support.samples.fault_samples import PAIR_SPEC, analysis, written_spec

TYPE_III = """
SPEC Pair
    SOURCE 'pair.st';
    SCAN T#10ms;
    HAND left = leftNO, NOT leftNC;
    HAND right = rightNO, NOT rightNC;
    OUTPUT go;
    REQUIRE TWO_HAND LOGIC TYPE III, WINDOW T#490ms;
    {more}
END_SPEC
"""


def refused(folder: Path, text: str, more: str = "") -> tuple[Diagnostic, str]:
    """The one thing that is wrong, and the text at its place."""
    with pytest.raises(InputError) as caught:
        analysis(folder, text, more)
    (diagnostic,) = caught.value.diagnostics
    assert diagnostic.span is not None
    return diagnostic, diagnostic.span.text


@pytest.mark.parametrize(
    ("more", "code", "place", "help_has"),
    [
        ("SUPPLY p = leftNo, leftMC;", "unknown-name", "leftMC", "leftNC"),
        ("SUPPLY p = leftNO; SUPPLY q = leftNO;", "repeated-name", "leftNO", "remove"),
        ("SUPPLY p = leftNO; SUPPLY p = leftNC;", "repeated-name", "p", "another name"),
        ("ARRANGEMENT B;", "arrangement-not-asked", "ARRANGEMENT B", "TYPE III"),
        ("NOTICE gone;", "unknown-name", "gone", "go"),
        ("ASSUME fault.begins;", "unknown-name", "fault.begins", ""),
        ("PROPERTY p : sound.leftNO;", "unknown-name", "sound.leftNO", ""),
    ],
)
def test_wrong_statements_are_refused_at_their_place(
    tmp_path: Path, more: str, code: str, place: str, help_has: str
) -> None:
    diagnostic, text = refused(tmp_path, PAIR_SPEC, more)
    assert (diagnostic.code, text) == (code, place)
    assert help_has in diagnostic.help


def test_an_arrangement_is_a_letter(tmp_path: Path) -> None:
    diagnostic, text = refused(tmp_path, TYPE_III, "ARRANGEMENT D;")
    assert (diagnostic.code, text) == ("unknown-arrangement", "D")


def test_a_contact_has_to_be_a_plain_input(tmp_path: Path) -> None:
    text = PAIR_SPEC.replace("leftNO, NOT leftNC", "leftNO AND NOT leftNC")
    load_specifications(written_spec(tmp_path, text))  # good enough to check without faults
    diagnostic, place = refused(tmp_path, text)
    assert (diagnostic.code, place) == ("contact-not-plain", "leftNO AND NOT leftNC")


def test_two_contacts_do_not_share_an_input(tmp_path: Path) -> None:
    text = PAIR_SPEC.replace("rightNO, NOT rightNC", "rightNO, leftNO")
    diagnostic, place = refused(tmp_path, text)
    assert (diagnostic.code, place) == ("shared-contact", "leftNO")


def test_names_of_the_block_that_stand_in_the_way_are_refused(tmp_path: Path) -> None:
    path = written_spec(tmp_path, PAIR_SPEC)
    source = tmp_path / "pair.st"
    text = source.read_text(encoding="utf-8")
    source.write_text(
        text.replace("VAR armed : BOOL;", "VAR fault : R_TRIG; armed : BOOL;").replace(
            "armed := armed AND NOT go;", "armed := armed AND NOT go; fault(CLK := go);"
        ),
        encoding="utf-8",
    )
    analysed = load_fault_analyses(path)[0]
    with pytest.raises(InputError) as caught:
        analysed.under(analysed.faults[0])
    assert caught.value.diagnostics[0].code == "ambiguous-name"


def test_a_spec_without_anything_that_could_fail_is_refused(tmp_path: Path) -> None:
    text = """
SPEC Bare
    SOURCE 'pair.st';
    SCAN T#10ms;
    PROPERTY p : go -> guardShut;
END_SPEC
"""
    diagnostic, place = refused(tmp_path, text)
    assert (diagnostic.code, place) == ("nothing-to-fail", "Bare")


def test_assumptions_speak_of_the_world_without_the_fault(tmp_path: Path) -> None:
    """What is assumed of a contact is assumed of its hand: a fault breaks no assumption."""
    try:
        analysed = analysis(tmp_path, PAIR_SPEC, "ASSUME leftNC OR rightNC;")
        faulty = analysed.under(analysed.faults[0])
    except InputError as refused:
        pytest.fail(f"it is refused: {refused}")
    read = {variable.name for named in faulty.assumptions for variable in _variables(named.formula)}
    assert read == {"hand.left", "hand.right"}


def _variables(formula: object) -> list[Variable]:
    return [node.variable for node in nodes_below(formula) if isinstance(node, Read)]


@pytest.mark.parametrize(
    ("text", "more", "kept"),
    [
        (PAIR_SPEC.replace("TYPE II", "TYPE I"), "", Kept.MAY_BE_LOST),
        (PAIR_SPEC, "", Kept.KEPT),
        (TYPE_III, "ARRANGEMENT A;", Kept.MAY_BE_LOST),
        (TYPE_III, "ARRANGEMENT b;", Kept.KEPT),
        (TYPE_III, "ARRANGEMENT C;", Kept.KEPT_AND_NOTICED),
        (TYPE_III, "", Kept.NOT_STATED),
        (
            PAIR_SPEC.replace("REQUIRE TWO_HAND LOGIC TYPE II;", ""),
            "PROPERTY p : go -> guardShut;",
            Kept.NOT_STATED,
        ),
    ],
)
def test_the_type_and_its_letter_say_what_is_asked_under_faults(
    tmp_path: Path, text: str, more: str, kept: Kept
) -> None:
    """EN 574:1996, Table 1 (secondary source): type I category 1, II category 3, III A 1, III B 3,
    III C 4; category 1 may lose the function, 3 keeps it, 4 notices as well (ISO 13849-1,
    clause 6, from memory)."""
    analysed = analysis(tmp_path, text, more)
    assert analysed.kept is kept
    if "ARRANGEMENT" in more:
        assert analysed.sound.arrangement is Arrangement(more.split()[1].strip(";").upper())


def test_every_single_fault_of_contacts_is_there_once(tmp_path: Path) -> None:
    faults = analysis(tmp_path, PAIR_SPEC).faults
    # stuck both ways, shorts of two of four and with the output, one supply
    assert len(faults) == 4 * 2 + 6 + 4 + 1
    assert len({fault.identifier for fault in faults}) == len(faults)

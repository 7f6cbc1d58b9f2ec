"""Whatever a spec says, it is loaded or refused with an InputError that has a place."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from twohand.specification.load import resolve_specification
from twohand.specification.syntax.parse import parse_specifications
from twohand.text.diagnostic import InputError
from twohand.text.source_text import SourceText

from tests.support.samples.specification_samples import spec_text, write_files

OPERANDS = ["left", "enable", "speed", "mode", "Stroke", "TOP_SPEED", "T#5ms", "3", "TRUE",
            "window.ET", "window.Q", "FIRST_SCAN", "nobody", "Mode#Idle"]  # fmt: skip


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    made = tmp_path_factory.mktemp("specs")
    write_files(made)
    return made


def formulas() -> st.SearchStrategy[str]:
    bound = st.sampled_from(["T#5ms", "T#5ms..", "T#1ms..T#5ms", "2 SCANS", "2..SCANS", "T#0.3ms"])

    def grow(inner: st.SearchStrategy[str]) -> st.SearchStrategy[str]:
        sign = st.sampled_from(["AND", "OR", "XOR", "=", "<>", "<", "+", "*", "->", "SINCE"])
        word = st.sampled_from(
            ["rose", "fell", "stable", "once", "held", "prev", "NOT", "-", "ABS"]
        )
        return st.one_of(
            st.builds("({} {} {})".format, inner, sign, inner),
            st.builds("{}({})".format, word, inner),
            st.builds("once({}, {})".format, inner, bound),
            st.builds("since({}, {}, {})".format, inner, inner, bound),
            st.builds("prev({}, {})".format, inner, st.sampled_from(["1", "3", "0", "lamp"])),
            st.builds("SEL({}, {}, {})".format, inner, inner, inner),
        )

    return st.recursive(st.sampled_from(OPERANDS), grow, max_leaves=8)


def load_or_refuse(text: str, folder: Path) -> bool:
    """Whether it is loaded; a refusal has a place for each of its causes."""
    try:
        for tree in parse_specifications(SourceText("sample.spec", text)):
            resolve_specification(tree, folder)
    except InputError as refusal:
        causes = refusal.diagnostics
    else:
        return True
    assert all(cause.span is not None for cause in causes)
    return False


@pytest.mark.long
@settings(max_examples=150, deadline=None, derandomize=True)
@given(formula=formulas(), form=st.sampled_from(
    ["PROPERTY p : {};", "PROPERTY p : {} WITHIN 2 SCANS;", "PROPERTY p : {} UNTIL enable;",
     "ASSUME {};", "HAND third = {};", "HAZARD {};", "AVAILABLE WITHIN 1 SCANS WHEN {};",
     "PLANT rod : Cylinder IN 'cylinder.st' (forward := {});", "REACHABLE {};"]
))  # fmt: skip
def test_any_formula_anywhere_is_loaded_or_refused(formula: str, form: str, folder: Path) -> None:
    load_or_refuse(spec_text(form.format(formula)), folder)


@settings(max_examples=100, deadline=None, derandomize=True)
@given(data=st.data())
def test_a_damaged_spec_is_loaded_or_refused(data: st.DataObject, folder: Path) -> None:
    text = spec_text(
        "PLANT rod : Cylinder IN 'cylinder.st' (forward := enable); FEEDBACK rodHome := rod.atHome;"
        "PROPERTY p : fell(left) -> NOT enable WITHIN T#20ms; ASSUME NOT (stop AND guardShut);"
    )
    words = text.split(" ")
    for _ in range(data.draw(st.integers(1, 2))):
        at = data.draw(st.integers(0, len(words) - 1))
        words[at] = data.draw(st.sampled_from([*words, "", "T#-1ms", "0"]))
    load_or_refuse(" ".join(words), folder)


def test_a_whole_spec_is_loaded(folder: Path) -> None:
    assert load_or_refuse(spec_text("PROPERTY p : rose(left) -> NOT prev(enable);"), folder)

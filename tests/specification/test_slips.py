"""What people write who know another language is told with what would be right."""

from __future__ import annotations

from pathlib import Path
from typing import NamedTuple

import pytest
from twohand.specification.load import load_specification
from twohand.specification.model.specification import Expectation
from twohand.text.diagnostic import InputError

from tests.support.samples.specification_samples import errors_of, spec_text, write_files


class Slip(NamedTuple):
    """``written`` is put into the spec, in place of the statement ``without``; the place is in
    « »."""

    written: str
    way: str
    without: str = ""


P = "PROPERTY p :"
TYPE = "REQUIRE TWO_HAND LOGIC TYPE"
SLIPS = [
    Slip(f"{P} enable «=>» stop;", "write '->' for 'then'"),
    Slip(f"{P} enable «==» stop;", "a comparison is written with a single ="),
    Slip(f"{P} enable «!=» stop;", "write <>"),
    Slip(f"{P} enable «&&» stop;", "write AND"),
    Slip(f"{P} enable «||» stop;", "write OR"),
    Slip(f"{P} «!»enable;", "write NOT"),
    Slip(f"{P} enable «implies» stop;", "write '->' for 'then'"),
    Slip(f"{P} enable «<->» stop;", "write '=' for 'exactly when'"),
    Slip(f"{P} «IF» enable THEN stop;", "without IF and THEN"),
    Slip(f"{P} «HOLDS» enable;", "leave HOLDS out"),
    Slip("PROPERTY p «HOLDS» enable;", "write PROPERTY name : formula"),
    Slip(f"{P} «GLOBALLY» enable;", "write ALWAYS, or nothing"),
    Slip(f"{P} (enable «FOR» T#300ms) -> stop;", "held(p, T#300ms)"),
    Slip(f"{P} rose(stop) -> stop FOR «300ms»;", "a time is written T#300ms"),
    Slip(f"{P} enable -> stop «AFTER» T#300ms;", "write WITHIN"),
    Slip(f"{P} enable -> stop WITHIN 3 «CYCLES»;", "write SCANS"),
    Slip(f"{P} enable -> stop WITHIN «300ms»;", "a time is written T#300ms"),
    Slip(f"{P} enable -> stop WITHIN «300 ms»;", "a time is written T#300ms"),
    Slip(f"{P} enable -> stop WITHIN «300»;", "write T#300ms or 300 SCANS"),
    Slip("SCAN «10ms»;", "a time is written T#10ms", "SCAN"),
    Slip("SCAN «10»;", "for instance T#10ms", "SCAN"),
    Slip("BOUNCE «8ms»;", "a time is written T#8ms"),
    Slip(f"{TYPE} «3», WINDOW T#480ms;", "write TYPE III", "REQUIRE"),
    Slip("REQUIRE TWO_HAND «TYPE» I;", "write TWO_HAND LOGIC TYPE", "REQUIRE"),
    Slip("REQUIRE TYPE «I»;", "write REQUIRE TWO_HAND LOGIC TYPE I", "REQUIRE"),
    Slip(f"{TYPE} III «WINDOW» T#480ms;", "write a comma before WINDOW", "REQUIRE"),
    Slip(f"{TYPE} III «A», WINDOW T#480ms;", "write ARRANGEMENT A;", "REQUIRE"),
    Slip(f"{TYPE} III, WINDOW «:=» T#480ms;", "leave it out", "REQUIRE"),
    Slip("READING preset_latched «=» TRUE;", "leave it out"),
    Slip("PROPERTY p «:=» enable;", "write ':'"),
    Slip("PROPERTY p «=» enable;", "write ':'"),
    Slip("HAND third «:» stop;", "write '='"),
    Slip("«ASSERT» enable;", "write PROPERTY name : formula;"),
    Slip("«INPUT» third = stop;", "write HAND name = input;"),
    Slip("«IMPORT» 'x.st';", "write SOURCE 'file.st';"),
    Slip("«CYCLE» T#10ms;", "write SCAN T#10ms;"),
    Slip("«--» a comment", "a comment is written // or (* *)"),
    Slip(f"{P} enable; EXPECT «p» HOLDS;", "write EXPECT PROVED p;"),
]


@pytest.mark.parametrize("slip", SLIPS, ids=lambda each: each.written)
def test_a_slip_is_told_at_its_place_with_what_is_right(slip: Slip, tmp_path: Path) -> None:
    text = spec_text(slip.written, slip.without)
    problems = errors_of(tmp_path, text.replace("«", "").replace("»", ""))
    begin, end = text.index("«"), text.index("»") - 1
    told = [each for each in problems if slip.way in each.help]
    assert told, [each.help for each in problems]
    span = told[0].span
    assert span is not None
    assert begin <= span.start < span.end <= end


def expected_of(folder: Path, words: str, asked: str) -> Expectation:
    write_files(folder)
    path = folder / "a.spec"
    path.write_text(spec_text(f"{asked}; EXPECT {words};"), encoding="utf-8")
    requirements = {each.identifier: each for each in load_specification(path).requirements}
    return requirements["p"].expected


@pytest.mark.parametrize(
    ("word", "expected"),
    [("REACHABLE", Expectation.PROVED), ("Unreachable", Expectation.VACUOUS)],
)
def test_expect_takes_the_words_of_a_report(
    word: str, expected: Expectation, tmp_path: Path
) -> None:
    assert expected_of(tmp_path, f"{word} p", "REACHABLE p : enable") is expected


def test_what_is_no_reachability_is_expected_in_words_of_its_own(tmp_path: Path) -> None:
    with pytest.raises(InputError) as caught:
        expected_of(tmp_path, "UNREACHABLE p", "PROPERTY p : enable")
    (problem,) = caught.value.diagnostics
    assert problem.code == "impossible-verdict"
    assert "PROVED, VIOLATED, VACUOUS or UNDECIDED" in problem.help

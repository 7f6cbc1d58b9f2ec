"""Names that are markup, or that change how others are shown, stay names in every format."""

from __future__ import annotations

import json
import unicodedata
from dataclasses import replace

import pytest
from junitparser import JUnitXml
from pyDigitalWaveTools.vcd.parser import VcdParser
from twohand.analyses.check.record import CheckedSpec
from twohand.formats.items import spec_items
from twohand.formats.junit import junit_text
from twohand.formats.page.page import page_text
from twohand.formats.sarif import sarif_text
from twohand.formats.waveform import waveforms
from twohand.record.document import document
from twohand.record.message import FilePlace, Message
from twohand.record.run import Run, RunStep
from twohand.report.drawing.terminal import UNSHOWN
from twohand.report.exit_code import ExitCode
from twohand.text.diagnostic import Severity

from tests.formats.page.pages import answered, below, checked, page, text_of
from tests.support.samples.report_samples import violated

HOSTILE = (
    "<script>alert(1)</script>",
    '" onload="alert(1)',
    "'><svg/onload=alert(1)>",
    "</style></title><b>",
    "{{ 7 * 7 }}{% x %}",
    "$end $var",
    "a\x00b\x1b[31mc\x7f",
    "a\u202egnp.exe\u2066\u200f",
    "]]>&amp;&#60;",
    "\udce4",  # a byte of a path that is none of UTF-8
)


def named(name: str) -> CheckedSpec:
    """A check with this for every name that a file or a path can bring along."""
    found = checked(violated(seen=name))
    (result,) = found.requirements
    run = result.run
    assert run is not None
    signals = tuple(
        replace(each, name=name) if each.name == "stroke" else each for each in run.signals
    )
    steps = tuple(
        RunStep(each.time, tuple((name if key == "stroke" else key, v) for key, v in each.changes))
        for each in run.steps
    )
    place = FilePlace(name, 1, 1)
    other = Run(signals, steps, causes=((name, place),))
    asked = replace(result.asked, name=name, sentence=name, source=name, formula=name, place=place)
    spec = replace(
        found.spec,
        name=name,
        path=name,
        block=name,
        assumptions=(name,),
        outputs=(name,),
        hand_inputs=((name, (name,)),),
    )
    changed = replace(result, asked=asked, run=other, cause=place, never_true=(name,))
    return replace(found, spec=spec, requirements=(changed,), doubt=name)


def problem(name: str) -> Message:
    return Message("some-code", name, Severity.ERROR, name, FilePlace(name, 1, 1))


def unshown(text: str) -> set[str]:
    return {each for each in text if unicodedata.category(each) in UNSHOWN} - {"\n", "\t"}


@pytest.mark.parametrize("name", HOSTILE)
def test_in_a_page(name: str) -> None:
    plain = page(answered(checked(violated())))
    whole = answered(named(name), problems=[problem(name)])
    text = page_text(whole)
    assert unshown(text) == set()
    text.encode("utf-8")
    found = page(whole)
    tags = {str(each.tag) for each in found.iter()}
    assert tags - {str(each.tag) for each in plain.iter()} <= {"strong"}
    attributes = {key for each in found.iter() for key in each.attrib}
    assert not [key for key in attributes if key.startswith("on")]
    (heading,) = (each for each in below(found, "h3") if each.get("id") == "s1")
    assert " ".join(_harmless(name).split()) in text_of(heading)


@pytest.mark.parametrize("name", HOSTILE)
def test_in_junit(name: str) -> None:
    text = junit_text([spec_items(named(name))], [problem(name)])
    assert unshown(text) == set()
    first, *_ = JUnitXml.fromstring(text.encode())
    assert first.name == _harmless(name)


@pytest.mark.parametrize("name", HOSTILE)
def test_in_sarif(name: str) -> None:
    text = sarif_text([spec_items(named(name))], [problem(name)], ExitCode.VIOLATED)
    found = json.loads(text)
    message = found["runs"][0]["results"][0]["message"]["text"]
    assert unshown(message) == set()
    assert _harmless(name) in message


@pytest.mark.parametrize("name", HOSTILE)
def test_in_waves(name: str) -> None:
    ((file, text),) = waveforms([named(name)])
    assert set(file) <= set("ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789_.-")
    assert unshown(text) == set()
    parser = VcdParser()
    parser.parse_str(text)
    assert text.count("$enddefinitions") == 1


@pytest.mark.parametrize("name", HOSTILE)
def test_in_json(name: str) -> None:
    whole = answered(named(name), problems=[problem(name)])
    found = json.loads(json.dumps(document(whole), ensure_ascii=True))
    assert found["specs"][0]["spec"]["name"] == name
    assert found["specs"][0]["requirements"][0]["asked"]["name"] == name


def _harmless(name: str) -> str:
    return "".join("?" if unicodedata.category(each) in UNSHOWN else each for each in name)

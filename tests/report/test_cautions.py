"""What no verdict says is said in every report."""

from __future__ import annotations

from dataclasses import replace

from twohand.report import cautions
from twohand.report.cautions import (
    below_heading,
    brief_caution,
    caution_lines,
    caution_texts,
    gallery_caution,
)
from twohand.report.drawing.terminal import Terminal
from twohand.scan.finding import Finding, FindingKind
from twohand.text.manual import manual_pages

from tests.support.samples.report_samples import (
    GUARD,
    PROGRAM_SOURCE,
    place,
    specification,
)

WIDE = Terminal(100)
POWER = replace(GUARD, name="power.on")
OVERFLOW = Finding(FindingKind.OVERFLOW, place(PROGRAM_SOURCE, "window.ET <= T#500ms"))


def test_the_cautions_name_all_that_the_model_leaves_out() -> None:
    text = " ".join(" ".join(caution_lines([specification(5, 20)], WIDE)).split())
    for words in (
        "input filters",
        "bus time",
        "output delay",
        "other tasks and interrupts",
        "forcing and online change",
        "overflow after 24.8 or 49.7 days",
        "wiring",
        "wear",
        "the compiler and the PLC execute the text as modelled",
        "surely seen only if it lasts longer than 20 ms",
        "truly takes less than k + 2 greatest scan times",
        "no performance level and no category",
        "does not replace validation at the machine",
        "Local codes and licensed practice decide",
    ):
        assert words in text


def test_the_cautions_tell_specs_of_different_scan_times_apart() -> None:
    slow = specification(5, 20, name="Slow")
    text = " ".join(" ".join(caution_lines([specification(), slow], WIDE)).split())
    assert "longer than the greatest scan time (10 ms: Press; 20 ms: Slow); what happens" in text
    assert text.count("surely seen") == 1
    assert "presses up to 20 ms may be missed" in brief_caution([specification(), slow])


def test_the_short_cautions_have_one_line_and_five() -> None:
    specifications = [specification(5, 20)] * 60
    assert len(WIDE.wrap(brief_caution(specifications))) == 1
    assert len(below_heading([gallery_caution(specifications)], WIDE)) == 5


def test_the_cautions_say_what_a_plant_is_taken_for() -> None:
    fed = specification(name="Fed", plants=("rod", "slide"))
    assert "taken for the machine" not in " ".join(caution_texts([specification()]))
    alone = " ".join(caution_texts([fed]))
    assert "Each of the plants rod and slide is taken for the machine" in alone
    both = " ".join(caution_texts([specification(), fed]))
    assert "Fed: Each of the plants rod and slide" in both


def test_every_caution_is_on_its_page_of_the_manual() -> None:
    page = " ".join(manual_pages()["cautions"].text.replace("\n> ", " ").split())
    texts = [
        *(cautions.LEFT_OUT, cautions.STEADY_POWER, cautions.POWER_CYCLES, cautions.REACTION),
        *(cautions.SOUND_CONTACTS, cautions.STILL_CONTACTS, cautions.ONLY_LOGIC),
        *(cautions.RIGHT_NAMES, cautions.BOUNCING.format(time="20 ms")),
        cautions.PLANTS.format(plants="The plant rod"),
        cautions.SEEN.format(longest="20 ms, the greatest scan time"),
    ]
    assert [text for text in texts if text not in page] == []


def test_the_cautions_say_what_contacts_are_taken_to_do() -> None:
    sound = " ".join(caution_texts([specification()]))
    assert "no fault of contacts, feedback or supply" in sound
    bouncing = " ".join(caution_texts([replace(specification(), bounce=15)]))
    assert "Contacts bounce for at most 15 ms" in bouncing
    assert "no fault of contacts" not in bouncing


def test_the_cautions_say_whether_a_loss_of_power_is_modelled_and_for_which_spec() -> None:
    cycled = specification(name="Cycled", power=POWER)
    steady = " ".join(" ".join(caution_lines([specification()], WIDE)).split())
    assert "A loss of power is not modelled" in steady
    assert "comes back between two scans" not in steady
    alone = " ".join(" ".join(caution_lines([cycled], WIDE)).split())
    assert "A loss of power is not modelled" not in alone
    assert "Power goes and comes back between two scans" in alone
    both = " ".join(" ".join(caution_lines([specification(), cycled], WIDE)).split())
    assert "Press: A loss of power is not modelled" in both
    assert "Cycled: Power goes and comes back between two scans" in both

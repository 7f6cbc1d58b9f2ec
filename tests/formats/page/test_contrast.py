"""Every colour of text against every ground it is set on, light and dark and on paper.

WCAG 2.2, success criterion 1.4.3 (4.5:1 for text) and 1.4.11 (3:1 for what else has to be seen);
relative luminance and contrast ratio as WCAG 2.2 defines them (https://www.w3.org/TR/WCAG22/).
"""

from __future__ import annotations

import re

import pytest
from twohand.formats.page.page import page_text

from tests.formats.page.pages import answered, checked
from tests.support.samples.report_samples import proved

STYLE = re.search(r"<style>(.*?)</style>", page_text(answered(checked(proved()))), re.DOTALL)
TEXTS = ("ink", "soft", "good", "bad", "open", "link")
GROUNDS = ("ground", "panel", "mark", "on")
SCHEMES = ("light", "dark", "print")


def schemes() -> dict[str, dict[str, str]]:
    """The colours by name, as they are declared, in this order: light, dark, print."""
    assert STYLE is not None
    found = re.findall(r":root \{(.*?)\}", STYLE[1], re.DOTALL)
    colours = [dict(re.findall(r"--(\w+): (#[0-9a-f]{6});", each)) for each in found]
    return dict(zip(SCHEMES, colours, strict=True))


def luminance(colour: str) -> float:
    parts = [int(colour[at : at + 2], 16) / 255 for at in (1, 3, 5)]
    red, green, blue = (
        each / 12.92 if each <= 0.04045 else ((each + 0.055) / 1.055) ** 2.4 for each in parts
    )
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(one: str, other: str) -> float:
    lighter, darker = sorted((luminance(one), luminance(other)), reverse=True)
    return (lighter + 0.05) / (darker + 0.05)


def test_the_formula_gives_the_known_extremes() -> None:
    assert contrast("#000000", "#ffffff") == pytest.approx(21)
    assert contrast("#777777", "#ffffff") == pytest.approx(4.48, abs=0.01)


@pytest.mark.parametrize("scheme", SCHEMES)
@pytest.mark.parametrize("text", TEXTS)
@pytest.mark.parametrize("ground", GROUNDS)
def test_text_can_be_read(scheme: str, text: str, ground: str) -> None:
    colours = schemes()[scheme]
    assert contrast(colours[text], colours[ground]) >= 4.5


def test_no_colour_is_written_but_by_name() -> None:
    assert STYLE is not None
    outside = re.sub(r":root \{.*?\}", "", STYLE[1], flags=re.DOTALL)
    assert re.findall(r"#[0-9a-fA-F]{3,8}\b|rgb|hsl", outside) == []

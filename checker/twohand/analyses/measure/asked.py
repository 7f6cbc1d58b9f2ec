"""What is asked of a figure, in formulas of the spec language."""

from __future__ import annotations

from twohand.scan.clocking import Clocking
from twohand.specification.logic.formula import Always
from twohand.specification.logic.formula_text import single
from twohand.specification.logic.property_text import property_text
from twohand.specification.logic.quantity import Missing, Quantity


def condition_text(quantity: Quantity, clocking: Clocking) -> str:
    """The formula of the scans in which the figure is read."""
    return property_text(Always(quantity.condition), clocking)


def event_texts(quantity: Quantity, clocking: Clocking) -> tuple[str, ...]:
    """The formulas between whose last scans, and with ``until_now`` this one, it is measured."""
    return tuple(property_text(Always(each.formula), clocking) for each in quantity.events)


def quantity_text(quantity: Quantity, clocking: Clocking) -> str:
    """The whole figure in one sentence, without a final full stop."""
    events = event_texts(quantity, clocking)
    before = " before it" if quantity.strict else ""
    if quantity.until_now and len(events) == 1:
        amount = f"the time since the last scan{before} with {single(events[0])}"
    else:
        moments = [f"the last scan{before} with {single(each)}" for each in events]
        moments += ["it"] if quantity.until_now else []
        amount = f"the time between the first and the last of these: {', '.join(moments)}"
    text = f"in each scan with {single(condition_text(quantity, clocking))}, {amount}"
    if quantity.missing is Missing.WITHOUT_LIMIT:
        text += (
            "; without limit where there is none"
            if len(events) == 1
            else ("; without limit where one of them is missing")
        )
    return text

"""Tolerances so wide that they leave little of what is asked, and the reasons that accept them.

Only that of a window is a standard's (ISO 13851:2019, 5.8, beside REQUIRE TWO_HAND); the other
limits are our own, far above what logic needs.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from twohand.program.durations import Nanoseconds, Units
from twohand.scan.clocking import NANOSECONDS_PER_MILLISECOND, Clocking
from twohand.specification.logic.formula import Bound
from twohand.specification.model.specification import Accepted
from twohand.specification.phrases import duration, duration_of, listing, quoted
from twohand.specification.problems import Problems
from twohand.specification.syntax.nodes import AcceptStatement
from twohand.text.diagnostic import Diagnostic
from twohand.text.source_text import Span
from twohand.text.suggestions import nearest

WIDEST_WINDOW = Nanoseconds(500 * NANOSECONDS_PER_MILLISECOND)
"""ISO 13851:2019, 5.8: both hands within 0.5 s."""
_LATEST_RELEASE = Nanoseconds(100 * NANOSECONDS_PER_MILLISECOND)
_LATEST_ANSWER = Nanoseconds(1_000 * NANOSECONDS_PER_MILLISECOND)
_LONGEST_BOUNCE = Nanoseconds(100 * NANOSECONDS_PER_MILLISECOND)
_LATEST_NOTICE = Nanoseconds(5_000 * NANOSECONDS_PER_MILLISECOND)
_LATEST_END = Nanoseconds(100 * NANOSECONDS_PER_MILLISECOND)
_LATEST_STUCK_END = Nanoseconds(60_000 * NANOSECONDS_PER_MILLISECOND)
ACCEPTABLE = (
    *("window-too-wide", "true-lag-too-wide", "release-too-late", "answer-too-late"),
    *("bounce-too-long", "notice-too-late", "end-too-late"),
)
"""The codes of what a spec can accept with a reason; unaccepted they fail the check."""


@dataclass(frozen=True)
class Tolerances:
    """Warns of what is wider than it may be without a reason."""

    clocking: Clocking
    problems: Problems

    def window(self, window: Units, span: Span, way: str = "state less") -> None:
        """A window as sampled: wider than the standard's, or where the lags within it, which are
        truly less than the longest scan wider, can reach that."""
        clocking = self.clocking
        below = Units(widest_sampled(clocking, window) + clocking.longest)
        shown, allowed = self._shown(window), duration_of(WIDEST_WINDOW)
        if clocking.nanoseconds(window) > WIDEST_WINDOW:
            message = f"the window of {shown} is wider than the {allowed} of ISO 13851:2019, 5.8"
            self._warn("window-too-wide", message, span, way)
        elif clocking.nanoseconds(below) > WIDEST_WINDOW:
            message = (
                f"a window of {shown} as sampled, with scans of up to "
                f"{self._shown(clocking.longest)}, lets the true lag come near "
                f"{self._shown(below)}; ISO 13851:2019, 5.8 allows {allowed}"
            )
            self._warn("true-lag-too-wide", message, span, way)

    def release(self, bound: Bound, span: Span) -> None:
        """How late a release may stop the output."""
        time = self._time(bound)
        what = f"a release may stop the output as late as {self._shown(time)} after it is seen"
        self._warn_above("release-too-late", time, _LATEST_RELEASE, what, span)

    def answer(self, bound: Bound, span: Span) -> None:
        """How late both hands may start the output."""
        time = self._time(bound)
        what = f"the output may start as late as {self._shown(time)} after both hands are seen"
        self._warn_above("answer-too-late", time, _LATEST_ANSWER, what, span)

    def bounce(self, time: Units, span: Span) -> None:
        """How long contacts may bounce."""
        what = f"for {self._shown(time)} after a hand moved its contacts may show anything"
        self._warn_above("bounce-too-long", time, _LONGEST_BOUNCE, what, span)

    def notice(self, time: Units, span: Span) -> None:
        """How late a disagreement may be noticed."""
        what = f"what disagrees may stay unnoticed for {self._shown(time)}"
        self._warn_above("notice-too-late", time, _LATEST_NOTICE, what, span)

    def end(self, bound: Bound, span: Span) -> None:
        """How late the end of a stroke may stop the output."""
        time = self._time(bound)
        what = f"the end of a stroke may stop the output as late as {self._shown(time)} after it"
        self._warn_above("end-too-late", time, _LATEST_END, what, span)

    def stuck_end(self, time: Units, span: Span) -> None:
        """How late a stroke may stop whose end signal is stuck."""
        what = f"a stroke whose end signal is stuck may go on for {self._shown(time)}"
        self._warn_above("end-too-late", time, _LATEST_STUCK_END, what, span)

    def _time(self, bound: Bound) -> Units:
        """The longest time within the bound; 0 for one without end, which is refused elsewhere."""
        if bound.high is None:
            return Units(0)
        return Units(bound.high * self.clocking.longest if bound.in_scans else bound.high)

    def _shown(self, time: Units) -> str:
        return duration(time, self.clocking)

    def _warn_above(self, code: str, time: Units, most: Nanoseconds, what: str, span: Span) -> None:
        if self.clocking.nanoseconds(time) > most:
            message = f"{what}; above {duration_of(most)} that leaves little of what is asked"
            self._warn(code, message, span, "state less")

    def _warn(self, code: str, message: str, span: Span, way: str) -> None:
        accept = f"say why it is acceptable with ACCEPT '{code}' BECAUSE '...';"
        self.problems.warn(code, message, span, f"{way}, or {accept}")


def widest_sampled(clocking: Clocking, window: Units) -> Units:
    """The widest distance of two samplings within ``window``: n scans take from n times the
    shortest to n times the longest scan time."""
    return Units(min(window, window // clocking.shortest * clocking.longest))


def resolve_acceptances(
    statements: Sequence[AcceptStatement], problems: Problems
) -> tuple[Accepted, ...]:
    """The warnings that the spec accepts, with the reasons; they are among the ``problems`` no
    more. An error for what nobody warns of, and for a reason that is none."""
    accepted: list[Accepted] = []
    seen: dict[str, Span] = {}
    for statement in statements:
        code, span = statement.code.text, statement.code.span
        if not problems.is_new(
            seen, code, span, f"'{code}' is accepted already", "remove one of them"
        ):
            continue
        if not statement.reason.text.strip():
            way = "say what makes it acceptable at this machine"
            problems.error("missing-reason", "the reason is empty", statement.reason.span, way)
        found = [each for each in problems.warnings if each.code == code and code in ACCEPTABLE]
        accepted += [Accepted(each, statement.reason.text.strip()) for each in found]
        if not found and (code not in ACCEPTABLE or not problems.errors):
            problems.error("nothing-to-accept", *_nothing(code, span))
    taken = [each.warning for each in accepted]
    problems.warnings[:] = [each for each in problems.warnings if each not in taken]
    return tuple(accepted)


def _nothing(code: str, span: Span) -> tuple[str, Span, str]:
    """Message, place and way out for what is accepted without need."""
    if code in ACCEPTABLE:
        return f"nothing in the spec is warned of as '{code}'", span, "remove the statement"
    close = nearest(code, ACCEPTABLE)
    every = listing([quoted(each) for each in ACCEPTABLE], "or")
    way = f"did you mean '{close}'?" if close else f"it can accept {every}"
    return f"'{code}' is nothing that a spec can accept", span, way


def wide(problems: Problems) -> tuple[Diagnostic, ...]:
    """The warnings that fail the check."""
    return tuple(each for each in problems.warnings if each.code in ACCEPTABLE)

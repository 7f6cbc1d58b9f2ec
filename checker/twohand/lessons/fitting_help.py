"""Which sentence fits an answer: by what is violated, and by what the run shows.

The formulas of the help are those of the spec language, and are judged by the evaluator that
replays runs: nothing is solved here.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from pathlib import Path

from twohand.evidence.verdict import Counterexample, Outcome, Report, Verdict
from twohand.lessons.course import Lesson, common_help
from twohand.specification.load import resolve_specification
from twohand.specification.logic import evaluate
from twohand.specification.logic.formula import Always, Not
from twohand.specification.model.specification import Specification
from twohand.specification.phrases import listing
from twohand.specification.syntax.parse import parse_specification
from twohand.text.diagnostic import InputError
from twohand.text.source_text import SourceText

ASKED = "asked_of_the_run_"
END = "END_SPEC"


@dataclass(frozen=True)
class Fitting:
    """A sentence that fits, and the verdict with the run that it speaks of."""

    code: str
    says: str
    verdict: Verdict


def fitting_help(report: Report, lesson: Lesson, folder: Path) -> Fitting | None:
    """The first help that fits, those of the lesson first; None where nothing is violated by a run.
    ``folder`` has the files of the learner, whose spec is that of the lesson."""
    violated = {
        verdict.requirement.identifier: verdict
        for verdict in report.verdicts
        if verdict.outcome is Outcome.VIOLATED and verdict.counterexample is not None
    }
    proved = {v.requirement.identifier for v in report.verdicts if v.outcome is Outcome.PROVED}
    for help in (*lesson.help, *common_help()):
        names = help.violated or tuple(violated)[:1]
        if not names or not set(names) <= violated.keys() or not set(help.proved) <= proved:
            continue
        verdict = violated[names[0]]
        run = verdict.counterexample
        if run is None or help.reading not in (None, run.reading_decides):
            continue
        look = _Run(run, report.specification, lesson, folder)
        if not help.shows or look.shows(help.shows):
            return Fitting(help.code, look.words(help.says), verdict)
    return None


@dataclass(frozen=True)
class _Run:
    run: Counterexample
    specification: Specification
    lesson: Lesson
    folder: Path

    @property
    def hands(self) -> list[str]:
        return [hand.name for hand in self.specification.hands]

    @property
    def outputs(self) -> list[str]:
        return [output.name for output in self.specification.outputs]

    def shows(self, formula: str) -> bool:
        """Whether it holds in the last scan; FALSE where it names what the block does not have."""
        named = formula.format(
            all=f"({' AND '.join(self.hands)})",
            any=f"({' OR '.join(self.hands)})",
            output=f"({' OR '.join(self.outputs)})",
        )
        return self._truths([named])[0]

    def words(self, text: str) -> str:
        """The text with what the hands do in the last scan."""
        if "{" not in text:
            return text
        names = self.hands
        moved = [f"rose({name}) OR fell({name})" for name in names]
        truths = self._truths([*names, *moved])
        on, moves = truths[: len(names)], truths[len(names) :]
        return text.format(
            on=_named(name for name, is_on in zip(names, on, strict=True) if is_on),
            off=_named(name for name, is_on in zip(names, on, strict=True) if not is_on),
            moved=_named(name for name, has in zip(names, moves, strict=True) if has),
            output=listing(self.outputs),
        )

    def _truths(self, formulas: Sequence[str]) -> list[bool]:
        """Whether each holds in the last scan. They are resolved in the spec of the lesson, each as
        something that could be reached."""
        spec = self.lesson.spec_text
        asked = "".join(
            f"REACHABLE {ASKED}{number} : {formula};\n" for number, formula in enumerate(formulas)
        )
        text = f"{spec[: spec.rindex(END)]}{asked}{END}\n"
        try:
            tree = parse_specification(SourceText(self.lesson.spec, text))
            resolved = resolve_specification(tree, self.folder)
        except InputError:
            return [False] * len(formulas)
        properties = {each.identifier: each.property for each in resolved.requirements}
        found = []
        for number in range(len(formulas)):
            match properties[f"{ASKED}{number}"]:
                case Always(Not(formula)):
                    truths = evaluate.holds(formula, self.run.records, resolved.clocking)
                    found.append(truths[-1])
                case _:
                    raise ValueError("what could be reached is no NEVER")
        return found


def _named(names: Iterable[str]) -> str:
    quoted = [f"'{name}'" for name in names]
    return listing(quoted) if quoted else "no hand"

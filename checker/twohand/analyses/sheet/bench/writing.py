"""A program of trials as structured text that every controller of IEC 61131-3 takes: local
variables, one timer, comparisons of times, IF and CASE."""

from __future__ import annotations

import textwrap
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field

from twohand import __version__
from twohand.analyses.sheet.bench.applied import applied_inputs
from twohand.analyses.sheet.bench.copied_block import CopiedBlock, judged_outputs
from twohand.analyses.sheet.bench.names import UnusedNames
from twohand.analyses.sheet.bench.parts import BenchTrial, JudgedStretch, TrialPart
from twohand.analyses.sheet.bench.playing import bench_clocking
from twohand.program.durations import Units
from twohand.record.plain import relative_path
from twohand.record.sources import HashedFile
from twohand.specification.model.specification import Specification
from twohand.specification.phrases import count, milliseconds, one_line

PROGRAM = "TwohandTrials"
RESULTS = {
    "finished": "BOOL",
    "differences": "DINT",
    "trials_with_differences": "INT",
    "first_difference_in": "INT",
    "not_judged": "INT",
    "first_not_judged": "INT",
    "shortest_scan": "TIME",
    "longest_scan": "TIME",
}
"""What is read when it has finished, by the names that are used where the block leaves them."""
_OWN = {
    "trial": "INT", "part": "INT", "parts": "INT", "begun": "BOOL", "pace": "TON",
    "present": "TIME", "scan_before": "TIME", "part_began": "TIME", "took": "TIME",
    "since": "TIME", "part_takes": "TIME", "outside_scan": "BOOL", "wrong": "DINT",
}  # fmt: skip
_FIRST_LINES = """\
(* TRIALS OF A BLOCK ON THE BENCH. REMOVE THIS BEFORE THE MACHINE RUNS.

   For a controller on the bench, with every energy isolated and no outputs wired. Never in a
   controller that drives a machine, never beside another program. Save the controller's own
   project before. Competent persons only; local codes decide."""


@dataclass(frozen=True)
class BenchText:
    """``names`` are those of the results, as ``text`` has them; ``duration`` is what all trials
    take, in units, at the shortest."""

    text: str
    names: Mapping[str, str]
    program: str
    duration: Units


def bench_text(
    specification: Specification,
    block: CopiedBlock,
    trials: Sequence[BenchTrial],
    files: Sequence[HashedFile],
    first: int = 1,
) -> BenchText:
    """The program begins with the trial number ``first``. The same arguments give the same text."""
    return _Writer(specification, block, trials, files, first).written()


@dataclass
class _Writer:
    specification: Specification
    block: CopiedBlock
    trials: Sequence[BenchTrial]
    files: Sequence[HashedFile]
    first: int
    free: UnusedNames = field(init=False)

    def __post_init__(self) -> None:
        self.free = UnusedNames(self.block.text)
        self.program = self.free.one(PROGRAM)
        self.results = self.free.of(RESULTS)
        self.own = self.free.of(_OWN)
        self.inputs = {
            v.name: self.free.one(f"to_{v.name}") for v in applied_inputs(self.specification)
        }
        outputs = [v.name for v in judged_outputs(self.specification)]
        self.seen = {name: self.free.one(f"seen_{name}") for name in outputs}
        self.asked = {name: self.free.one(f"asked_{name}") for name in outputs}
        self.right = {name: self.free.one(f"right_{name}") for name in outputs}
        self.copies = [self.free.one(f"tried_{at}") for at in range(1, len(self.trials) + 1)]

    def written(self) -> BenchText:
        parts = [
            *self._head(), "", self.block.text.rstrip(), "", f"PROGRAM {self.program}",
            *self._declared(), "", *self._body(), "END_PROGRAM", "",
        ]  # fmt: skip
        return BenchText("\n".join(parts), self.results, self.program, self._duration())

    def _duration(self) -> Units:
        return Units(sum(p.length for t in self.trials for p in t.sequence.parts))

    # --- what is said first -----------------------------------------------------------------

    def _head(self) -> Iterator[str]:
        spec, names = self.specification, self.results
        yield _FIRST_LINES
        yield ""
        clocking = spec.clocking
        scans = f"{milliseconds(clocking.shortest, clocking)} ms"
        if not clocking.fixed:
            scans += f" to {milliseconds(clocking.longest, clocking)} ms"
        minutes = -(-self._duration() * clocking.unit // 60_000_000_000)
        for said in (
            f"Written by twohand {__version__}. It has a copy of {self.block.name}, one for each "
            f"of {count(len(self.trials), 'trial')}, and local variables only. Run it in one "
            f"cyclic task, alone, whose scans take {scans}.",
            f"Start the controller cold, and wait until '{names['finished']}' is TRUE: some "
            f"{count(minutes, 'minute')}, longer with long scans. Then write down "
            f"'{names['differences']}' and '{names['not_judged']}'.",
            "Both 0: in these trials the controller did what the model does. It proves nothing "
            "of any other sequence, and replaces no trial at the machine.",
            f"'{names['differences']}' not 0: compiler and controller do not run the text as "
            f"modelled, and no proof of it counts for them; "
            f"'{names['first_difference_in']}' is the first such trial. Outputs are compared only "
            f"where every reading that the spec leaves open, with all scan times that were "
            f"played, has the same.",
            f"'{names['not_judged']}' not 0: in so many trials a scan was outside of SCAN as the "
            f"controller's clock shows it (1 ms more or less is allowed). They say nothing: see "
            f"to the task, and start again.",
        ):  # fmt: skip
            yield from _comment(said)
            yield ""
        yield from _comment("What is tried is the text from the next line up to PROGRAM, of")
        for each in self.files:
            yield f"     {_within_comment(relative_path(each.path))}"
            yield f"       SHA-256 {each.sha256}"
        yield f"     and, of the copied text alone (UTF-8, LF), SHA-256 {self.block.sha256}"
        yield "*)"

    # --- variables --------------------------------------------------------------------------

    def _declared(self) -> Iterator[str]:
        yield "VAR"
        for wanted, kind in RESULTS.items():
            first = " := T#400h" if wanted == "shortest_scan" else ""
            yield f"    {self.results[wanted]} : {kind}{first};"
        for wanted, kind in _OWN.items():
            number = f" := {self.first}" if wanted == "trial" else ""
            yield f"    {self.own[wanted]} : {kind}{number};"
        flags = (self.inputs, self.seen, self.asked, self.right)
        for name in (each for names in flags for each in names.values()):
            yield f"    {name} : BOOL;"
        for name in self.copies:
            yield f"    {name} : {self.block.name};"
        yield "END_VAR"

    # --- statements -------------------------------------------------------------------------

    def _body(self) -> Iterator[str]:
        own, results = self.own, self.results
        yield f"{own['pace']}(IN := TRUE, PT := T#400h);"
        yield f"{own['present']} := {own['pace']}.ET;"
        yield f"IF NOT {own['begun']} THEN"
        yield f"    {own['begun']} := TRUE;"
        yield f"    {own['part_began']} := {own['present']};"
        yield f"ELSIF NOT {results['finished']} THEN"
        yield from _indented(self._scan())
        yield "END_IF;"
        yield f"{own['scan_before']} := {own['present']};"

    def _scan(self) -> Iterator[str]:
        own = self.own
        yield f"{own['took']} := {own['present']} - {own['scan_before']};"
        yield from self._next_part()
        yield f"IF NOT {self.results['finished']} THEN"
        yield from _indented(self._measured())
        for name in self.asked.values():
            yield f"    {name} := FALSE;"
        yield f"    CASE {own['trial']} OF"
        for number, trial in enumerate(self.trials, 1):
            yield from _indented(_indented(self._trial(number, trial)))
        yield "    END_CASE;"
        for name, seen in self.seen.items():
            yield f"    IF {self.asked[name]} AND ({seen} XOR {self.right[name]}) THEN"
            yield f"        {own['wrong']} := {own['wrong']} + 1;"
            yield "    END_IF;"
        yield "END_IF;"

    def _next_part(self) -> Iterator[str]:
        """Before the first trial ``parts`` is 0, and nothing was tried."""
        own = self.own
        yield f"{own['since']} := {own['present']} - {own['part_began']};"
        yield f"IF {own['parts']} = 0 THEN"
        yield f"    {own['part_began']} := {own['present']};"
        yield f"    {own['since']} := T#0ms;"
        yield f"ELSIF {own['since']} >= {own['part_takes']} THEN"
        yield f"    {own['part']} := {own['part']} + 1;"
        yield f"    {own['part_began']} := {own['present']};"
        yield f"    {own['since']} := T#0ms;"
        yield f"    IF {own['part']} >= {own['parts']} THEN"
        yield from _indented(_indented(self._accounted()))
        yield "    END_IF;"
        yield "END_IF;"

    def _accounted(self) -> Iterator[str]:
        """What a trial that is over has shown."""
        own, results = self.own, self.results
        yield f"IF {own['outside_scan']} THEN"
        yield from _counted(results["not_judged"], results["first_not_judged"], own["trial"])
        yield f"ELSIF {own['wrong']} > 0 THEN"
        yield f"    {results['differences']} := {results['differences']} + {own['wrong']};"
        yield from _counted(
            results["trials_with_differences"], results["first_difference_in"], own["trial"]
        )
        yield "END_IF;"
        yield f"{own['outside_scan']} := FALSE;"
        yield f"{own['wrong']} := 0;"
        yield f"{own['part']} := 0;"
        yield f"{own['trial']} := {own['trial']} + 1;"
        yield f"{results['finished']} := {own['trial']} > {len(self.trials)};"

    def _measured(self) -> Iterator[str]:
        own, clocking = self.own, bench_clocking(self.specification.clocking)
        shortest, longest = self._up(clocking.shortest), self._down(clocking.longest)
        yield f"IF {own['took']} < {shortest} OR {own['took']} > {longest} THEN"
        yield f"    {own['outside_scan']} := TRUE;"
        yield "END_IF;"
        for name, sign in (("shortest_scan", "<"), ("longest_scan", ">")):
            yield f"IF {own['took']} {sign} {self.results[name]} THEN"
            yield f"    {self.results[name]} := {own['took']};"
            yield "END_IF;"

    def _trial(self, number: int, trial: BenchTrial) -> Iterator[str]:
        parts = trial.sequence.parts
        yield f"{number}: (* {_within_comment(trial.sequence.title)} *)"
        yield f"    {self.own['parts']} := {len(parts)};"
        yield f"    CASE {self.own['part']} OF"
        for at, (part, judged) in enumerate(zip(parts, trial.judged, strict=True)):
            yield f"        {at}:"
            yield from _indented(_indented(_indented(self._part(part, judged))))
        yield "    END_CASE;"
        copy = self.copies[number - 1]
        given = ", ".join(f"{name} := {own}" for name, own in self.inputs.items())
        yield from _wrapped(f"{copy}({given});", "    ")
        for name, seen in self.seen.items():
            yield f"    {seen} := {copy}.{name};"

    def _part(self, part: TrialPart, judged: Sequence[JudgedStretch]) -> Iterator[str]:
        yield f"{self.own['part_takes']} := {self._up(part.length)};"
        for name, on in part.given.items():
            yield f"{self.inputs[name]} := {_truth(on)};"
        for name in self.seen:
            mine = [each for each in judged if each.output == name]
            if not mine:
                continue
            asked = " OR ".join(self._stretch(each) for each in mine)
            shown = " OR ".join(self._stretch(each) for each in mine if each.on)
            yield from _wrapped(f"{self.asked[name]} := {asked};", "")
            yield from _wrapped(f"{self.right[name]} := {_only_truth(shown, mine)};", "")

    def _stretch(self, judged: JudgedStretch) -> str:
        since = self.own["since"]
        if judged.last is None:
            return f"({since} >= {self._up(judged.first)})" if judged.first else "TRUE"
        last = f"{since} <= {self._down(judged.last)}"
        return f"({since} >= {self._up(judged.first)} AND {last})" if judged.first else f"({last})"

    # --- times ------------------------------------------------------------------------------

    def _up(self, units: Units) -> str:
        return f"T#{-(-units * self.specification.clocking.unit // 1_000_000)}ms"

    def _down(self, units: Units) -> str:
        return f"T#{units * self.specification.clocking.unit // 1_000_000}ms"


def _only_truth(shown: str, judged: Sequence[JudgedStretch]) -> str:
    """Where all that is asked is the same, that."""
    return shown if shown and not all(each.on for each in judged) else _truth(bool(shown))


def _truth(on: bool) -> str:
    return "TRUE" if on else "FALSE"


def _counted(counter: str, first: str, trial: str) -> Iterator[str]:
    yield f"    {counter} := {counter} + 1;"
    yield f"    IF {first} = 0 THEN"
    yield f"        {first} := {trial};"
    yield "    END_IF;"


def _indented(lines: Iterator[str]) -> Iterator[str]:
    return (f"    {line}" for line in lines)


def _wrapped(statement: str, indent: str) -> list[str]:
    return textwrap.wrap(
        statement, 92, initial_indent=indent, subsequent_indent=f"{indent}    ",
        break_long_words=False, break_on_hyphens=False,
    )  # fmt: skip


def _comment(text: str) -> list[str]:
    return textwrap.wrap(
        _within_comment(text), 96, initial_indent="   ", subsequent_indent="   ",
        break_long_words=False, break_on_hyphens=False,
    )  # fmt: skip


def _within_comment(text: str) -> str:
    return one_line(text).replace("*)", "* )").replace("(*", "( *")

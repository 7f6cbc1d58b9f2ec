"""Scenarios: which scan sees what, under which readings, what fails, and what is kept."""

from __future__ import annotations

from tests.mutants.mutant import Change, mutants

ROOM = "scenarios"
SEES = ("scenarios/test_what_a_scan_sees.py",)
FAILS = ("scenarios/test_what_fails.py",)
_DEFINED = "agreement/test_scenarios_against_definition.py"
DEFINED = (
    f"{_DEFINED}::test_a_few_random_scenarios_are_played_as_defined",
    f"{_DEFINED}::test_a_few_random_runs_are_written_and_played_as_they_were",
)
RECORDED = ("scenarios/test_recordings.py",)
KEPT = ("scenarios/test_keep_command.py::test_a_run_that_fails_elsewhere_is_not_kept",)

MUTANTS = (
    *mutants(
        ROOM,
        "scenarios/playing.py",
        SEES,
        Change(
            "a scan misses a change of its own time",
            "self.waiting[0].time <= time:",
            "self.waiting[0].time < time:",
        ),
        Change(
            "what the block left is not seen again",
            "            if variable.name not in fresh:",
            "            if False:",
        ),
        Change(
            "what others write begins as 0",
            "        return itself.initial",
            "        return 0",
        ),
        Change(
            "a run goes on beyond its end",
            "last.time >= self.scenario.end)",
            "last.time > self.scenario.end)",
            (*SEES, *DEFINED),
        ),
        Change(
            "a missed change is not told",
            "                self.unseen.append(earlier)",
            "                pass",
        ),
    ),
    *mutants(
        ROOM,
        "scenarios/reading.py",
        SEES,
        Change(
            "times are rounded down",
            "return Units(-(-time.nanoseconds // self.clocking.unit))",
            "return Units(time.nanoseconds // self.clocking.unit)",
            DEFINED,
        ),
        Change(
            "changes in one unit come in the order of the text",
            "later = sorted(self._later(), key=lambda timed: timed[0])",
            "later = sorted(self._later(), key=lambda timed: timed[1].time)",
        ),
        Change(
            "a reading of the scenario is passed over",
            "for name in own.open if name in chosen})",
            "for name in own.open if name in ()})",
        ),
    ),
    *mutants(
        ROOM,
        "scenarios/inputs.py",
        SEES,
        Change(
            "a contact that opens is set as one that closes",
            "            return variable, False",
            "            return variable, True",
        ),
        Change(
            "the supply is off at first",
            "{**found, power.name: True}",
            "{**found, power.name: False}",
        ),
    ),
    *mutants(
        ROOM,
        "scenarios/noted_readings.py",
        DEFINED,
        Change(
            "a reading that is asked for is not noted",
            "        if name in _NAMES:",
            '        if name in _NAMES - {"preset_latched"}:',
            (*SEES, *FAILS),
        ),
        Change(
            "only one reading at a time is another one",
            "            {**chosen, **dict.fromkeys(new[:number], False), name: True}",
            "            {**dict.fromkeys([*chosen, *new[:number]], False), name: True}",
        ),
        Change(
            "only the first choice is played",
            "        waiting += others",
            "        waiting += others[:0]",
            SEES,
        ),
    ),
    *mutants(
        ROOM,
        "scenarios/judging.py",
        FAILS,
        Change(
            "what comes behind a broken assumption counts",
            "    end = len(records) if outside is None else outside.position",
            "    end = len(records)",
        ),
        Change(
            "an expected end of time is left out",
            "last = max(first + 1, bisect_right(times, expected.last))",
            "last = max(first + 1, bisect_left(times, expected.last))",
        ),
        Change(
            "the end of WITHIN is left out",
            "last = max(first + 1, bisect_right(times, expected.first + expected.within))",
            "last = max(first + 1, bisect_left(times, expected.first + expected.within))",
        ),
        Change(
            "a stretch without a scan is not looked at",
            "last = max(first + 1, bisect_right(times, expected.last))",
            "last = bisect_right(times, expected.last)",
        ),
        Change(
            "what the end of the run left out is no failure",
            "        if not chosen:  # a finding ended the run before\n"
            "            yield Failure(len(records) - 1, each)",
            "        if not chosen:\n            continue",
        ),
        Change(
            "a finding is no failure",
            "        yield Failure(len(records) - 1, finding)",
            "        yield from ()",
        ),
        Change(
            "what is reachable fails where it is not reached",
            "        if each.aim is Aim.HOLDS:",
            "        if True:",
        ),
    ),
    *mutants(
        ROOM,
        "analyses/play/exit_code.py",
        FAILS,
        Change("a failure passes", "    if played.failures:", "    if not played.failures:"),
        Change(
            "what was not played passes",
            "    if not played.all_played or not played.judged:",
            "    if not played.judged:",
        ),
        Change(
            "what was not judged passes",
            "    if not played.all_played or not played.judged:",
            "    if not played.all_played:",
        ),
    ),
    *mutants(
        ROOM,
        "scenarios/recording.py",
        RECORDED,
        Change(
            "lines count in their own order",
            "sorted(zip(nanoseconds, rows, strict=True), key=lambda each: each[0])",
            "list(zip(nanoseconds, rows, strict=True))",
        ),
        Change(
            "what is behind the third field is passed over",
            "        elif len(fields) != len(HEADER):",
            "        elif len(fields) < len(HEADER):",
        ),
    ),
    *mutants(
        ROOM,
        "typecheck/reals/membership.py",
        ("scenarios/test_reals.py",),
        Change(
            "a number beside a constant is above all of them",
            "        if number <= high:\n            return None",
            "        if number <= high:\n            break",
        ),
        Change(
            "a number below a constant is that constant",
            "            place = 2 * position\n            break",
            "            place = 2 * position + 1\n            break",
        ),
    ),
    *mutants(
        ROOM,
        "scenarios/writing.py",
        DEFINED,
        Change(
            "what is set with a hand stays so",
            "[*first, *(each for each in found if each not in first), *further]",
            "[*first, *(each for each in found if each not in first)]",
        ),
        Change(
            "what is older than the run begins with it",
            "position = 0 if variable.name in older else self.run.past",
            "position = self.run.past",
            DEFINED,
        ),
        Change(
            "what the block left is set again or not at all",
            "        return self.run.records[position - 1].values.get(itself.name)",
            "        return self._sampled(variable, position - 1)",
        ),
    ),
    *mutants(
        ROOM,
        "scenarios/keeping.py",
        KEPT,
        Change(
            "a run that fails elsewhere is kept",
            "return fails_at(play(scenario), requirement.identifier) == len(run.records) - 1",
            "return fails_at(play(scenario), requirement.identifier) is not None",
        ),
    ),
)  # fmt: skip

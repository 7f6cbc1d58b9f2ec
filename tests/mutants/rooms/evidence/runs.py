"""Replay and the runs that are shown."""

from __future__ import annotations

from tests.mutants.mutant import Change, mutants

ROOM = "evidence"
REPLAY = (
    "evidence/test_runs_that_count.py",
    "evidence/test_runs_cut_short.py",
    "evidence/test_check_replay.py",
)
BEFORE_POWER_UP = ("evidence/test_before_power_up.py",)
VERDICTS = "analyses/check/test_check_verdicts.py"
LONG = ("evidence/test_runs_that_count.py", "evidence/test_long_runs.py")

MUTANTS = (
    *mutants(
        ROOM,
        "evidence/runs/counterexample.py",
        ("evidence/test_readings_of_values.py",),
        Change(
            "a run is shown of a platform on which it is another",
            "    same = len(records) == len(trace.scans) and wanted(records)",
            "    same = len(records) == len(trace.scans)",
        ),
        Change(
            "a reading on which a value depends is not named",
            "return [each.values for each in executed] != [each.values for each in records]",
            "return len(executed) != len(records)",
        ),
    ),
    *mutants(
        ROOM,
        "evidence/runs/answers.py",
        ("evidence/test_missing_answers.py",),
        Change(
            "an answer is due a scan early",
            "begin - scans_before(records) + about.bound.high + 1",
            "begin - scans_before(records) + about.bound.high",
        ),
    ),
    *mutants(
        ROOM,
        "evidence/runs/replay.py",
        REPLAY,
        Change(
            "one scan that meets the assumptions is enough",
            "evaluate.assumed(named.formula, whole, self.specification.clocking)",
            "any(self._holds(named.formula, whole))",
        ),
        Change(
            "one assumption of several is enough",
            "        return all(\n",
            "        return not self.specification.assumptions or any(\n",
        ),
        Change(
            "an assumption need not hold in the scan of a finding",
            "whole = [replace(record, finding=None) for record in records]",
            "whole = [record for record in records if record.finding is None]",
        ),
        Change(
            "a run that breaks an assumption is sound",
            "return records if records and self.allowed(records) else []",
            "return records",
        ),
        Change(
            "a scan with a finding is sound",
            "            records.pop()",
            "            records[-1:] = records[-1:]",
        ),
        Change("never is always", "return Always(Not(formula))", "return Always(formula)"),
    ),
    *mutants(
        ROOM,
        "evidence/runs/counterexample.py",
        REPLAY,
        Change(
            "a run that refutes nothing is a finding's",
            "if records and records[-1].finding is not None:",
            "if records:",
        ),
        Change(
            "a run is not cut at its refutation",
            "trace, records = trace.cut(position + 1), records[: position + 1]",
            "records = records[: position + 1]",
        ),
        Change(
            "a run that is simpler may be refuted before its end",
            "replayer.refuted_at(property, tried) == len(tried) - 1",
            "replayer.refuted_at(property, tried) is not None",
        ),
        Change(
            "a refutation may break an assumption",
            "    if not replayer.allowed(records):\n        raise InternalContradiction(\n"
            '            f"{name}: the run that',
            "    if not records:\n        raise InternalContradiction(\n"
            '            f"{name}: the run that',
        ),
        Change(
            "a finding may break an assumption",
            "    if not replayer.allowed(records):\n        raise InternalContradiction(\n"
            '            "the run to an',
            '    if not records:\n        raise InternalContradiction(\n            "the run to an',
        ),
    ),
    *mutants(
        ROOM,
        "scan/finding.py",
        REPLAY,
        Change(
            "findings of all kinds at one place are one",
            "        first.kind is second.kind\n        and ",
            "        first.kind is not None\n        and ",
        ),
        Change(
            "findings of one kind are one",
            "and (spans[0].start, spans[0].end) == (spans[1].start, spans[1].end)",
            "and (spans[0].start <= spans[1].end or spans[0].start > spans[1].end)",
        ),
    ),
    *mutants(
        ROOM,
        "evidence/runs/trace.py",
        BEFORE_POWER_UP,
        Change(
            "the run begins with its past",
            "past = Scans(powered.index(True))",
            "past = Scans(0)",
        ),
    ),
    *mutants(
        ROOM,
        "evidence/runs/simplify.py",
        REPLAY,
        Change(
            "a simpler run may break an assumption",
            "            and self._replayer.allowed(records)\n",
            "",
        ),
        Change(
            "a simpler run need not be wanted",
            "            and self._wanted(records)\n",
            "",
        ),
        Change(
            "a run at rest may lose its rest",
            "if self._rests(self._trace) and not self._rests(tried):",
            "if not self._rest:",
        ),
        Change(
            "no rest is put before a run",
            "        if not self._rests(self._trace):\n",
            "        if self._spent(self._trace):\n",
        ),
        Change(
            "changes that do not matter stay",
            "_without_scans, _without_values, _with_fewer_changes):",
            "_without_scans, _without_values):",
        ),
        Change(
            "every reading that was chosen matters",
            "return len(records) != len(trace.scans) or not wanted(records)",
            "return True",
            REPLAY,
        ),
        Change(
            "no reading matters",
            "return len(records) != len(trace.scans) or not wanted(records)",
            "return len(records) != len(trace.scans)",
            REPLAY,
        ),
    ),
    *mutants(
        ROOM,
        "evidence/runs/trace.py",
        REPLAY,
        Change("ticks are units", "ticks_in_units(step.elapsed, tick),", "Units(step.elapsed),"),
        Change(
            "readings that were chosen are forgotten",
            "{name: chosen.get(name, False) for name in readings.open}",
            "dict.fromkeys(readings.open, False)",
        ),
    ),
    *mutants(
        ROOM,
        "evidence/runs/known_runs.py",
        REPLAY,
        Change(
            "a run that breaks an assumption is known",
            "records = self._replayer.sound_records(trace)",
            "records = self._replayer.records(trace)",
        ),
        Change(
            "a known run is cut before what it reaches",
            "return run.trace.cut(position + 1)",
            "return run.trace.cut(position)",
        ),
    ),
    *mutants(
        ROOM,
        "evidence/runs/long_runs.py",
        LONG,
        Change(
            "a long run may break an assumption",
            "return self._replayer.allowed(self._replayer.records(trace))",
            "return True",
        ),
        Change(
            "a long run is cut before its refutation",
            "return trace.cut(position + 1)",
            "return trace.cut(position)",
        ),
    ),
)

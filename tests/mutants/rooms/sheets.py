"""What is printed on a sheet: what plays, what may move, and what stands first."""

from __future__ import annotations

from tests.mutants.mutant import Change, mutants

ROOM = "sheets"
SHEETS = "analyses/sheet/test_sheets.py"
TURNED = f"{SHEETS}::test_a_trial_whose_expectation_is_turned_round_does_not_play"
DEPENDS = f"{SHEETS}::test_what_depends_on_the_platform_is_not_printed"
ASSUMED = f"{SHEETS}::test_what_the_spec_assumes_away_is_not_printed"
WIRE = f"{SHEETS}::test_a_wire_is_touched_only_with_the_control_circuit_dead"
UNSETTLED = f"{SHEETS}::test_what_is_not_proved_stands_first_has_no_line_and_nothing_moves"
MOTION = f"{SHEETS}::test_with_motion_there_is_only_what_must_pass"
ORDER = f"{SHEETS}::test_what_holds_in_one_order_of_hands_alone_needs_a_generator_or_is_not_printed"

MUTANTS = (
    *mutants(
        ROOM,
        "analyses/sheet/rehearsal.py",
        (TURNED,),
        Change(
            "one run that is as printed is enough", "if not all(good):", "if not any(good):",
            (DEPENDS,),
        ),
        Change(
            "what is to be seen is always ON",
            "self._on if seen.on else Not(self._on)",
            "self._on",
        ),
        Change(
            "what is not to be seen is asked after the step alone",
            "Units(until - 1)",
            "first",
            (f"{SHEETS}::test_what_is_seen_is_asked_up_to_the_next_step",),
        ),
        Change(
            "what the spec assumes away is printed",
            "not run.judgement.failures and run.judgement.outside is None",
            "not run.judgement.failures",
            (ASSUMED,),
        ),
        Change(
            "a contact that is off follows its hand",
            "if each.input.name != trial.wire_off",
            "if True",
            (WIRE,),
        ),
        Change(
            "hands that come together come in one scan",
            "gap = tempo.apart // max(1, len(moves) - 1)",
            "gap = 0",
            (ORDER,),
        ),
    ),
    *mutants(
        ROOM,
        "analyses/sheet/sheet.py",
        (UNSETTLED,),
        Change(
            "what provokes is tried with motion",
            "if each.aim is Aimed.PASSES and",
            "if",
            (MOTION,),
        ),
        Change(
            "what needs a generator is tried with motion",
            " and not each.needs_generator",
            "",
            (ORDER,),
        ),
        Change(
            "what is open does not stand first",
            "if verdict.outcome is not Outcome.PROVED or verdict.reason:",
            "if verdict.outcome is Outcome.VIOLATED:",
        ),
    ),
)  # fmt: skip

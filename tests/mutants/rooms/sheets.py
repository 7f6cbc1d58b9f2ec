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
BENCH = "analyses/sheet/bench/test_bench_program.py"
AGREED = "analyses/sheet/bench/test_agreement.py"
AS_IT_IS = f"{BENCH}::test_the_block_as_it_is_shows_no_difference_under_any_reading"
ANOTHER = f"{BENCH}::test_another_block_is_reported_with_the_first_trial_that_shows_it"
OUTSIDE = f"{BENCH}::test_a_trial_with_a_scan_outside_of_scan_is_not_judged_whatever_it_shows"
REACHES = f"{BENCH}::test_what_reaches_outside_of_the_block_is_refused_by_name_and_place"
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
    *mutants(
        ROOM,
        "analyses/sheet/bench/agreement.py",
        (AGREED,),
        Change(
            "what differs is judged",
            "if len(seen) > 1:",
            "if len(seen) > 1 and seen.pop() is None:",
        ),
        Change("nothing keeps a margin before", "begin + margin if begin", "begin if begin"),
        Change("nothing keeps a margin behind", "Units(end - margin)", "Units(end)"),
    ),
    *mutants(
        ROOM,
        "analyses/sheet/bench/writing.py",
        (ANOTHER,),
        Change(
            "what is asked is never wrong", "AND ({seen} XOR", "AND ({seen} AND NOT TRUE XOR FALSE AND"
        ),
        Change(
            "a scan that is too long is judged",
            "OR {own['took']} > {longest} THEN",
            "OR FALSE THEN",
            (OUTSIDE,),
        ),
        Change(
            "a scan that is too short is judged",
            "IF {own['took']} < {shortest} OR",
            "IF FALSE OR",
            (OUTSIDE,),
        ),
        Change(
            "a part ends a scan too late",
            "ELSIF {own['since']} >= {own['part_takes']} THEN",
            "ELSIF {own['since']} > {own['part_takes']} THEN",
            (f"{BENCH}::test_a_part_ends_with_the_first_scan_that_is_late_enough",),
        ),
    ),
    *mutants(
        ROOM,
        "analyses/sheet/bench/copied_block.py",
        (REACHES,),
        Change(
            "a variable at an address is copied",
            "if variable.name.casefold() in addressed:",
            "if False:",
        ),
        Change(
            "a block with globals is copied",
            'frozenset({"VAR_GLOBAL", "CONFIGURATION"})',
            'frozenset({"CONFIGURATION"})',
        ),
        Change("a program is copied", 'segment.kind == "PROGRAM"', 'segment.kind == ""'),
    ),
    *mutants(
        ROOM,
        "analyses/sheet/bench/bench.py",
        (ANOTHER,),
        Change(
            "whatever completes is reported",
            "if found.completes and not found.differences:",
            "if False:",
            (f"{BENCH}::test_what_the_trials_show_and_the_program_does_not_is_not_reported",),
        ),
    ),
)  # fmt: skip

"""When a lesson is done, and which sentence fits an answer."""

from __future__ import annotations

from tests.mutants.mutant import Change, mutants

ROOM = "lessons"
DONE = ("lessons/test_done.py",)
HELP = ("lessons/test_fitting_help.py",)
SPEC = ("lessons/test_changed_spec.py",)

MUTANTS = (
    *mutants(
        ROOM,
        "lessons/answer.py",
        DONE,
        Change(
            "a changed spec is passed over",
            "    if changes:\n",
            "    if changes and code is not ExitCode.ALL_PROVED:\n",
        ),
        Change(
            "a changed spec that is proved passes",
            "worse = ExitCode.VIOLATED if code is ExitCode.ALL_PROVED else code",
            "worse = code",
        ),
        Change(
            "what stays off until a finding is a control",
            "if report.never_on or report.on_after_finding:",
            "if report.never_on:",
        ),
        Change(
            "what is open besides the verdicts counts for nothing",
            "if code is ExitCode.ALL_PROVED and outcomes == {Outcome.PROVED}:",
            "if outcomes == {Outcome.PROVED}:",
        ),
        Change(
            "open is done",
            '    if code is ExitCode.UNDECIDED:\n        return "open"\n',
            "    if code is ExitCode.UNDECIDED:\n        return DONE\n",
        ),
        Change(
            "what never happens is open at most",
            "if Outcome.VACUOUS in outcomes:",
            "if outcomes == {Outcome.VACUOUS}:",
        ),
        Change(
            "a finding that is open is one that happens",
            "any(each.outcome is Outcome.VIOLATED for each in report.findings)",
            "any(True for each in report.findings)",
        ),
    ),
    *mutants(
        ROOM,
        "lessons/begun.py",
        DONE,
        Change(
            "what was proved once stays proved",
            "return bool(begun.proved) and digest(begun, folder) == begun.proved",
            "return bool(begun.proved)",
        ),
        Change(
            "the spec has no part in what was proved",
            "for name in (begun.lesson.block, begun.lesson.spec):",
            "for name in (begun.lesson.block,):",
        ),
    ),
    *mutants(
        ROOM,
        "lessons/changed_spec.py",
        SPEC,
        Change("a statement counts once", "left[_key(each)] -= 1", "pass"),
        Change(
            "what is left out is no change",
            "return bool(self.left_out or self.added)",
            "return bool(self.added)",
        ),
        Change(
            "texts in quotes are the same in any letter case",
            'word if word[0] in "\'\\"" else word.casefold()',
            "word.casefold()",
        ),
        Change(
            "letter case counts",
            'word if word[0] in "\'\\"" else word.casefold()',
            "word",
        ),
        Change(
            "comments ask as well",
            "_WORD.findall(blank_comments(source))",
            "_WORD.findall(source.text)",
        ),
    ),
    *mutants(
        ROOM,
        "lessons/fitting_help.py",
        HELP,
        Change(
            "one of the violated ones is enough",
            "not set(names) <= violated.keys()",
            "not set(names) & violated.keys()",
        ),
        Change(
            "what has to be proved need not be",
            " or not set(help.proved) <= proved:",
            ":",
        ),
        Change(
            "a run of some platforms is one of all",
            "help.reading not in (None, run.reading_decides)",
            "False",
        ),
        Change(
            "the first scan is looked at", "found.append(truths[-1])", "found.append(truths[0])"
        ),
        Change(
            "what the run shows does not matter",
            "if not help.shows or look.shows(help.shows):",
            "if True:",
        ),
        Change(
            "the help of the lesson comes last",
            "for help in (*lesson.help, *common_help()):",
            "for help in (*common_help(), *lesson.help):",
        ),
        Change(
            "one hand is all hands",
            "all=f\"({' AND '.join(self.hands)})\",",
            "all=f\"({' OR '.join(self.hands)})\",",
        ),
        Change(
            "all hands are any",
            "any=f\"({' OR '.join(self.hands)})\",",
            "any=f\"({' AND '.join(self.hands)})\",",
        ),
        Change(
            "a hand that goes has not moved",
            'moved = [f"rose({name}) OR fell({name})" for name in names]',
            'moved = [f"fell({name})" for name in names]',
        ),
    ),
)

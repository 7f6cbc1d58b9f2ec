"""What keeps a page from being signed."""

from __future__ import annotations

from tests.mutants.mutant import Change, mutants

SIGNED = ("formats/page/test_signature.py", "formats/page/test_pages_of_other_commands.py")
DRAWN = ("formats/page/test_drawn_runs.py",)

MUTANTS = (
    *mutants(
        "formats",
        "formats/page/signature.py",
        SIGNED,
        Change(
            "what is violated can be signed",
            "(Outcome.VIOLATED, Outcome.VACUOUS, Outcome.UNDECIDED)",
            "(Outcome.VACUOUS, Outcome.UNDECIDED)",
        ),
        Change(
            "what says nothing can be signed",
            "(Outcome.VIOLATED, Outcome.VACUOUS, Outcome.UNDECIDED)",
            "(Outcome.VIOLATED, Outcome.UNDECIDED)",
        ),
        Change(
            "what is undecided can be signed",
            "(Outcome.VIOLATED, Outcome.VACUOUS, Outcome.UNDECIDED)",
            "(Outcome.VIOLATED, Outcome.VACUOUS)",
        ),
        Change(
            "a command that does not pass can be signed",
            "if not found and whole.exit_code is not",
            "if found and whole.exit_code is not",
        ),
        Change(
            "an answer that does not pass can be signed",
            "if not found and whole.answer.exit_code is not",
            "if found and whole.answer.exit_code is not",
        ),
        Change("what could not be read can be signed", "in whole.problems]", "in ()]"),
        Change("tolerances that are not accepted can be signed", "in checked.spec.wide)", "in ())"),
        Change("any reason will do", "if not any(character", "if any(character"),
        Change("a doubt can be signed", "if checked.doubt:", "if False:"),
        Change("outputs that are never on can be signed", "in checked.never_on]", "in ()]"),
        Change(
            "a spec without requirements can be signed",
            "if not checked.requirements:",
            "if False:",
        ),
        Change(
            "faults that end can be signed",
            "for each in (row, *row.ending)]\n    for standing",
            "for each in (row,)]\n    for standing",
        ),
        Change(
            "an exclusion needs no reason",
            'left out without a reason: ", under.excluded)',
            'left out without a reason: ", ())',
        ),
        Change("nothing needs to be stated", "is Kept.NOT_STATED:", "is Kept.KEPT:"),
        Change("second faults need not be asked", "and not under.pairs_asked:", "and False:"),
        Change(
            "a reaction needs no limit",
            "needed = (FigureKind.REACTION, FigureKind.STOP)",
            "needed = (FigureKind.STOP,)",
        ),
        Change(
            "a point that is open can be signed", "(Weight.FAULT, Weight.OPEN)", "(Weight.FAULT,)"
        ),
        Change(
            "a guessed scan time can be signed",
            "if scan_origin.startswith(",
            "if not scan_origin.startswith(",
        ),
        Change("what only one has can be left out", "*compared.unlike,", ""),
        Change("a comparison under doubt can be signed", "if compared.doubt:", "if False:"),
        Change(
            "a warning that something is open can be signed",
            "if each.code in OPEN_WARNINGS)",
            "if each.code in ())",
        ),
    ),
    *mutants(
        "formats",
        "report/coverage.py",
        ("report/test_subjects_not_asked.py",),
        Change("any word asks for everything", "if not words & {*asks}]", "if not words]"),
        Change(
            "power cycles are always asked",
            "if specification.power is None else []",
            "if False else []",
        ),
        Change(
            "faults are always asked",
            "if specification.assumed_faults is None else []",
            "if False else []",
        ),
    ),
    *mutants(
        "formats",
        "formats/page/runs/axis.py",
        DRAWN,
        Change(
            "no stretch is to scale",
            "return pixels if pixels <= LONGEST",
            "return pixels if pixels > LONGEST",
        ),
        Change(
            "what is after a cut is drawn in it",
            "return each.right - left * self.scale",
            "return each.left + BESIDE",
        ),
    ),
    *mutants(
        "formats",
        "formats/page/page.py",
        ("formats/page/test_hostile_names.py::test_in_a_page",),
        Change("what comes from files is markup", "autoescape=True", "autoescape=False"),
        Change(
            "signs that are not shown are kept",
            "return harmless(value) if isinstance(value, str)",
            "return value if isinstance(value, str)",
        ),
    ),
)

"""Inputs of REAL: their classes, and comparisons with constants."""

from __future__ import annotations

from tests.mutants.mutant import Change, mutants

ROOM = "reals"
REALS = ("typecheck/test_real_inputs.py",)
UNCOMPUTED = ("typecheck/test_uncomputed_reals.py",)
ANSWERS = ("analyses/check/test_uncomputed_reals.py",)

MUTANTS = (
    *mutants(
        ROOM,
        "typecheck/reals/numbers.py",
        REALS,
        Change(
            "a constant has no neighbour above",
            "(down, down) if down == number else (down, down + step)",
            "(down, down)",
        ),
        Change(
            "a literal without a type is one with it",
            'form = (found[1] or "").upper()',
            'form = (found[1] or "REAL").upper()',
        ),
        Change(
            "the step of a power of two is that below it",
            "if Fraction(2) ** exponent > size:",
            "if Fraction(2) ** exponent >= size:",
        ),
        Change(
            "constants beyond the format are read",
            "if not (_in_range(number.exact, own) and",
            "if False and not (_in_range(number.exact, own) and",
        ),
    ),
    *mutants(
        ROOM,
        "typecheck/reals/classes.py",
        REALS,
        Change(
            "constants that touch are told apart",
            "if lower >= higher or not apart:",
            "if not apart:",
        ),
        Change(
            "constants with a value between them on some platforms are told apart",
            "if lower >= higher or not apart:",
            "if lower >= higher:",
        ),
        Change(
            "a REAL may be any number without a type",
            "lowest < highest and bits < 64 and constant.form in WITHOUT_TYPE",
            "False",
        ),
        Change(
            "an LREAL may be no number without a type",
            "lowest < highest and bits < 64 and constant.form",
            "lowest < highest and constant.form",
        ),
        Change(
            "a REAL may be no number of its type",
            "bits < 64 and constant.form in WITHOUT_TYPE",
            "bits < 64",
        ),
        Change(
            "an interval without a value is a class",
            "if _holds_one_between(lowest, _range(following)[1], bits):",
            "if True:",
        ),
        Change(
            "a constant that the format has not is a class",
            "there = neighbours(highest, bits)[0] >= lowest",
            "there = True",
        ),
        Change(
            "negative numbers are next to each other as positive ones are",
            "low, high = -high, -low",
            "low, high = -low, -high",
        ),
    ),
    *mutants(
        ROOM,
        "typecheck/reals/inputs.py",
        ("analyses/compare/test_reals_in_two_versions.py",),
        Change(
            "two versions have classes of their own",
            "both = [*comparisons, *compared[1][other]]",
            "both = [*comparisons]",
        ),
    ),
    *mutants(
        ROOM,
        "typecheck/reals/inputs.py",
        REALS,
        Change(
            "both sides of a number that no REAL is are told from it",
            "(len(sides) > 1 or None in sides)",
            "(None in sides)",
        ),
        Change(
            "a REAL is equal to a number that none is",
            "(len(sides) > 1 or None in sides)",
            "(len(sides) > 1)",
        ),
    ),
    *mutants(
        ROOM,
        "typecheck/expressions/real_comparisons.py",
        REALS,
        Change(
            "a comparison from the right is one from the left",
            "left, right, operator = right, left, TURNED[operator]",
            "left, right = right, left",
        ),
        Change(
            "any integer is a constant of REAL",
            "if kind.bits <= _WIDENS[name]:",
            "if kind.bits <= 64:",
        ),
    ),
    *mutants(
        ROOM,
        "scan/symbolic/expressions.py",
        REALS,
        Change(
            "not-a-number is above all",
            "return both(negation(at_most), is_number)",
            "return negation(at_most)",
        ),
        Change(
            "not-a-number is at or above all",
            "return both(negation(less), is_number)",
            "return negation(less)",
        ),
        Change(
            "a constant is below itself",
            "first = sum(each < place for each in kind.places)",
            "first = sum(each <= place for each in kind.places)",
        ),
    ),
    *mutants(
        ROOM,
        "typecheck/reals/uncomputed.py",
        UNCOMPUTED,
        Change(
            "what the block changes lasts for a scan",
            "set(program.sampled) - set(written(program.routine))",
            "{*program.sampled, *written(program.routine)}",
        ),
        Change(
            "what is made of local REALs is the same wherever it is read",
            "lasting = bool(node.formula) and self._lasting",
            "lasting = self._lasting",
        ),
        Change(
            "a loop has one value for all its rounds",
            "if loop and not lasting:",
            "if False and not lasting:",
        ),
        Change(
            "what a comparison calls is left out",
            "for part in reversed(parts):",
            "for part in ():",
        ),
    ),
    *mutants(
        ROOM,
        "typecheck/expressions/operators.py",
        UNCOMPUTED,
        Change(
            "greater is less",
            "made = joined(TURNED[operator].value, [made_of(right), made_of(left)])",
            "made = joined(TURNED[operator].value, [made_of(left), made_of(right)])",
        ),
        Change(
            "above and at least are one",
            "made = joined(operator.value, [made_of(left), made_of(right)])",
            'made = joined("<", [made_of(left), made_of(right)])',
        ),
    ),
    *mutants(
        ROOM,
        "typecheck/reals/formulas.py",
        UNCOMPUTED,
        Change(
            "a formula reads nothing that may change",
            "return Formula(text, (variable,))",
            "return Formula(text, ())",
        ),
        Change(
            "what is not known is left out of a formula",
            "if len(known) < len(parts):",
            "if not known:",
        ),
    ),
    *mutants(
        ROOM,
        "program/product.py",
        ANSWERS,
        Change(
            "what two versions make of their own REALs is the same",
            "if not v.uncomputed or v.shared_text)",
            "if True)",
        ),
    ),
    *mutants(
        ROOM,
        "evidence/encoding.py",
        ANSWERS,
        Change(
            "nothing hangs on what nobody computes",
            "if not uncomputed:\n            return",
            "if True:\n            return",
        ),
        Change(
            "a finding that may come first is nothing",
            "inputs = cone(system, term, *findings).inputs",
            "inputs = cone(system, term).inputs",
        ),
    ),
    *mutants(
        ROOM,
        "evidence/proofs/dispatcher.py",
        ANSWERS,
        Change(
            "a run shows what hangs on what nobody computes",
            "if not hangs_on or not isinstance(asked.answer, Violated):",
            "if True or not isinstance(asked.answer, Violated):",
        ),
    ),
    *mutants(
        ROOM,
        "evidence/runs/known_runs.py",
        ANSWERS,
        Change(
            "known runs show what nobody computes",
            "if len(trace.scans) > _LONGEST_RUN or uncomputed:",
            "if len(trace.scans) > _LONGEST_RUN:",
        ),
    ),
    *mutants(
        ROOM,
        "analyses/inspect/answers.py",
        ANSWERS,
        Change(
            "random runs show what nobody computes",
            "if not problem.hangs_on(number)]",
            "if True]",
        ),
    ),
    *mutants(
        ROOM,
        "analyses/inspect/marking/calls.py",
        ANSWERS,
        Change(
            "what only REALs read is read by nobody",
            "if program.uncomputed:",
            "if False:",
        ),
    ),
    *mutants(
        ROOM,
        "report/coverage.py",
        ANSWERS,
        Change(
            "what comes into REALs is not asked",
            "if any(variable.uncomputed for variable in asked):",
            "if False:",
        ),
    ),
    *mutants(
        ROOM,
        "analyses/check/lag.py",
        ANSWERS,
        Change(
            "a lag is shown that hangs on what nobody computes",
            "if any(problem.hangs_on(number) for number in terms):",
            "if False:",
        ),
    ),
    *mutants(
        ROOM,
        "scan/arithmetic.py",
        REALS,
        Change(
            "not-a-number is zero when executed",
            'float("nan") if sample is None else sample',
            "0 if sample is None else sample",
        ),
    ),
)

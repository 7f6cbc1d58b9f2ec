"""What other tools get: nothing that fails or is open may pass there."""

from __future__ import annotations

from tests.mutants.mutant import Change, mutants

ITEMS = (
    "formats/test_items.py::test_everything_that_counts_is_an_item",
    "formats/test_items.py::test_only_what_fails_as_expected_is_meant",
)

EXPORT = (
    "analyses/export/test_export.py::test_any_solver_says_unsat_to_both_questions_of_each_proof",
)

BITS = ("analyses/export/test_in_bits.py",)

MUTANTS = (
    *mutants(
        "bits",
        "analyses/export/bit_level/bounds.py",
        BITS,
        Change(
            "numbers are held without a proof that they can be",
            "        self._show(running, facts)\n",
            "",
        ),
        Change(
            "what no scan leaves need not hold at the beginning",
            "facts = self._unbroken(facts, facts, self._system.initial)",
            "facts = list(facts)",
        ),
        Change(
            "bounds need not last",
            "kept = self._unbroken(facts, [after(fact) for fact in facts], scan)",
            "kept = facts",
        ),
        Change(
            "any scan time is the shortest",
            "if system.shortest != system.longest:",
            "if system.shortest > system.longest:",
        ),
    ),
    *mutants(
        "bits",
        "analyses/export/bit_level/text.py",
        BITS,
        Change(
            "inputs have any value",
            "for c in (*system.constraints, *self._limits)]",
            "for c in system.constraints]",
        ),
        Change(
            "nothing is assumed",
            "for c in (*system.constraints, *self._limits)]",
            "for c in self._limits]",
        ),
        Change(
            "what is open at the beginning is chosen in each step",
            "bits = self._graph.chosen_word(self._beginning, chosen[state.name], bits)",
            "bits = chosen[state.name]",
        ),
        Change(
            "the beginning is every step",
            "{self._beginning: TRUE}, {self._beginning: FALSE}",
            "{self._beginning: TRUE}, {self._beginning: TRUE}",
        ),
        Change(
            "what is asked of the first values is not",
            "constraints += [graph.either(inverted(self._beginning), each) for each in holds]",
            "constraints += [TRUE for each in holds]",
        ),
    ),
    *mutants(
        "bits",
        "analyses/export/bit_level/encoding.py",
        BITS,
        Change(
            "less or equal is less",
            "z3.Z3_OP_LE: lambda left, right: inverted(graph.less(right, left)),",
            "z3.Z3_OP_LE: graph.less,",
        ),
        Change(
            "words are as wide as their numbers",
            "return widest.bit_length() + 2",
            "return widest.bit_length()",
        ),
    ),
    *mutants(
        "bits",
        "analyses/export/bit_level/graph.py",
        BITS,
        Change(
            "sums carry nothing",
            "carry = self.either(self.both(one, other), self.both(half, carry))",
            "carry = FALSE",
        ),
    ),
    *mutants(
        "formats",
        "analyses/export/proof_texts.py",
        ("analyses/export/test_export.py",),
        Change(
            "every proof is one of the first question",
            "terms[proved.index]",
            "terms[0]",
            ("analyses/export/test_export.py::test_each_requirement_has_a_question_of_its_own",),
        ),
        Change(
            "both questions are that of the beginning",
            "return _written(begin, about), _written(scan, about)",
            "return _written(begin, about), _written(begin, about)",
            ("analyses/export/test_export.py::test_a_proof_with_a_clause_left_out_is_refused",),
        ),
    ),
    *mutants(
        "formats",
        "formats/items.py",
        ITEMS,
        Change(
            "what is undecided fails",
            "Outcome.UNDECIDED: ItemOutcome.OPEN",
            "Outcome.UNDECIDED: ItemOutcome.FAILS",
        ),
        Change(
            "what says nothing holds",
            "Outcome.VACUOUS: ItemOutcome.FAILS",
            "Outcome.VACUOUS: ItemOutcome.HOLDS",
        ),
        Change(
            "a proof holds under doubted assumptions",
            "(result.reason or doubt)",
            "result.reason",
        ),
        Change("a proof with an open reason holds", "(result.reason or doubt)", "doubt"),
        Change(
            "a finding that is open fails to be one",
            "ItemOutcome.FAILS if can else ItemOutcome.OPEN",
            "ItemOutcome.FAILS if can else ItemOutcome.HOLDS",
        ),
        Change(
            "every failure is meant",
            "result.as_expected and outcome is ItemOutcome.FAILS",
            "outcome is ItemOutcome.FAILS",
        ),
        Change("tolerances are no items", "in checked.spec.wide:", "in ():"),
        Change("outputs that are never on are no items", "in checked.never_on:", "in ():"),
    ),
    *mutants(
        "formats",
        "formats/junit.py",
        ("formats/test_junit.py",),
        Change(
            "what is open is a pass",
            "if item.outcome is ItemOutcome.HOLDS:",
            "if item.outcome is not ItemOutcome.FAILS:",
        ),
        Change(
            "all that fails is skipped",
            "(as_expected and item.meant)",
            "(as_expected or item.meant)",
        ),
    ),
    *mutants(
        "formats",
        "formats/sarif.py",
        ("formats/test_sarif.py",),
        Change(
            "only failures are results",
            "if item.outcome is not ItemOutcome.HOLDS",
            "if item.outcome is ItemOutcome.FAILS",
        ),
        Change("an interrupted run succeeded", "usable = code in", "usable = True or code in"),
    ),
)

"""Small changes of blocks: which there are, who notices them, and which mend a block."""

from __future__ import annotations

from tests.mutants.mutant import Change, mutants

ROOM = "changes"
TEXTS = ("analyses/audit/test_changes.py",)
AUDIT = ("analyses/audit/test_audit.py",)
MEND = ("analyses/mend/test_mend.py",)
CLAUSES = ("engine/test_known_clauses.py",)

MUTANTS = (
    *mutants(
        ROOM,
        "engine/proof/known_clauses.py",
        CLAUSES,
        Change(
            "clauses need not exclude the bad term",
            "    return Proved(tuple(clauses), _METHOD) if excluded else None",
            "    return Proved(tuple(clauses), _METHOD)",
        ),
        Change(
            "clauses need not hold at first",
            "        if asked_once(solver, budget, _QUERY) == z3.unsat:\n            found.append(clause)",
            "        if asked_once(solver, budget, _QUERY) is not None:\n            found.append(clause)",
        ),
        Change(
            "clauses need not hold after a scan",
            "        if answer == z3.unsat:",
            "        if answer is not None:",
        ),
    ),
    *mutants(
        ROOM,
        "analyses/audit/changes/expressions.py",
        TEXTS,
        Change(
            "several parts are dropped at once",
            "isinstance(gone, tree.Binary) and gone.operator is node.operator",
            "isinstance(gone, tree.Index)",
        ),
        Change(
            "a negation keeps its NOT",
            "    if isinstance(node, tree.Unary) and node.operator is Operator.NOT:",
            "    if isinstance(node, tree.Index):",
        ),
    ),
    *mutants(
        ROOM,
        "analyses/audit/exit_code.py",
        AUDIT,
        Change(
            "an audit without a change passes",
            "return ExitCode.ALL_PROVED if found.counted else ExitCode.UNUSABLE",
            "return ExitCode.ALL_PROVED",
        ),
    ),
    *mutants(
        ROOM,
        "analyses/audit/results.py",
        AUDIT,
        Change(
            "what is violated already is asked",
            "if verdict.outcome is Outcome.PROVED or vacuous:",
            "if verdict.outcome is not Outcome.UNDECIDED:",
        ),
    ),
    *mutants(
        ROOM,
        "analyses/mend/mend.py",
        MEND,
        Change(
            "what is not violated is mended",
            "    if not any(v.outcome is Outcome.VIOLATED for v in block.verdicts):",
            "    if not block.verdicts:",
        ),
    ),
)

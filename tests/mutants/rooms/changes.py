"""Small changes of blocks: which there are, who notices them, and which mend a block."""

from __future__ import annotations

from tests.mutants.mutant import Change, mutants

ROOM = "changes"
TEXTS = ("analyses/audit/test_changes.py",)
AUDIT = ("analyses/audit/test_audit.py",)
MEND = ("analyses/mend/test_mend.py",)
BESIDE = ("analyses/audit/test_beside_block.py",)
KEPT = ("analyses/mend/test_kept_behaviour.py",)
NOTICED = ("analyses/audit/test_who_notices.py",)
PAGES = ("formats/page/test_pages_of_changed_blocks.py",)
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
        "analyses/audit/check.py",
        NOTICED,
        Change(
            "what says nothing any more notices nothing",
            "notices = verdict.outcome is Outcome.VIOLATED or turned",
            "notices = verdict.outcome is Outcome.VIOLATED",
        ),
        Change(
            "a violation notices nothing",
            "notices = verdict.outcome is Outcome.VIOLATED or turned",
            "notices = turned",
        ),
        Change(
            "what is undecided notices",
            "notices = verdict.outcome is Outcome.VIOLATED or turned",
            "notices = verdict.outcome in (Outcome.VIOLATED, Outcome.UNDECIDED) or turned",
        ),
        Change(
            "what is open is not noticed",
            "        elif reason:\n            standing = Noticing.OPEN",
            "        elif not cells:\n            standing = Noticing.OPEN",
        ),
        Change(
            "doubted assumptions are audited",
            "    if block.doubt or not any(able(block)):",
            "    if not any(able(block)):",
        ),
        Change(
            "assumptions that leave no input are audited",
            "for each in self._ready if not each.refused}",
            "for each in self._ready}",
        ),
        Change(
            "what rests on doubted assumptions is believed",
            "            if opened.doubt:\n",
            "            if opened.refused:\n",
        ),
    ),
    *mutants(
        ROOM,
        "analyses/audit/record.py",
        PAGES,
        Change(
            "what says nothing of any block notices a change",
            "    if not cell.notices:\n        return Notice.NOTHING",
            "    if cell.outcome is Outcome.PROVED and not cell.notices:\n        return Notice.VACUOUS",
        ),
    ),
    *mutants(
        ROOM,
        "formats/page/signature.py",
        PAGES,
        Change(
            "a page of a violated spec is signed once a change mends it",
            "        case MendResult():\n            for mended in answer.specs:\n",
            "        case MendResult():\n            for mended in answer.specs[:0]:\n",
        ),
        Change(
            "an audit of a part is signed",
            "    if audited.left:\n",
            "    if audited.left < 0:\n",
        ),
        Change(
            "an audit with a change that nobody notices is signed",
            "e.change.words for e in audited.changes if e.standing is standing",
            "e.change.words for e in audited.changes if e.standing is Noticing.OPEN is standing",
        ),
    ),
    *mutants(
        ROOM,
        "analyses/mend/same_question.py",
        MEND,
        Change(
            "a change may assume more",
            "for each in (*asked, *assumed)",
            "for each in asked",
        ),
        Change(
            "a change may ask for less",
            "for each in (*asked, *assumed)",
            "for each in assumed",
        ),
    ),
    *mutants(
        ROOM,
        "analyses/audit/comparison.py",
        BESIDE,
        Change(
            "one output may be on for another",
            "    return tuple(Not(And((Atom(_read(pair[on])), Not(Atom(_read(pair[off])))))) for pair in outputs)",
            "    return tuple(Not(And((Atom(_read(pair[on])), Atom(_read(pair[off]))))) for pair in outputs)",
        ),
        Change(
            "lets on and keeps off are exchanged",
            "Always(And(_never(outputs, 1, 0)))",
            "Always(And(_never(outputs, 0, 1)))",
        ),
        Change(
            "what a requirement reads is not compared",
            "[*shown(block.program), *block.outputs, *read]",
            "[*shown(block.program), *block.outputs]",
        ),
        Change(
            "what is shown is not compared",
            "[*shown(block.program), *block.outputs, *read]",
            "[*block.outputs, *read]",
        ),
        Change(
            "the two are compared without the assumptions",
            "            replace(named, formula=over(named.formula, names)) for named in block.assumptions\n",
            "            replace(named, formula=over(named.formula, names)) for named in ()\n",
        ),
        Change(
            "what is missing is not compared",
            "        if other is None or other.type != variable.type:\n            return None\n",
            "        if other is None or other.type != variable.type:\n            continue\n",
        ),
        Change(
            "what is of another type is compared",
            "        if other is None or other.type != variable.type:\n            return None\n",
            "        if other is None:\n            return None\n",
        ),
    ),
    *mutants(
        ROOM,
        "analyses/audit/difference.py",
        BESIDE,
        Change(
            "findings do not tell two apart",
            "            stops is None or stops.outcome is Outcome.PROVED\n",
            "            stops is None or stops.outcome is not Outcome.UNDECIDED\n",
        ),
        Change(
            "what is not refuted is the same",
            "        if (same is None or same.outcome is Outcome.PROVED) and (\n",
            "        if (same is None or same.outcome is not Outcome.VIOLATED) and (\n",
        ),
        Change(
            "what differs in values alone is the same",
            "        if (same is None or same.outcome is Outcome.PROVED) and (\n",
            "        if (same is not None) and (\n",
        ),
        Change(
            "what is open is not noticed once it differs",
            "            return replace(row, difference=difference)",
            "            return replace(row, standing=Noticing.UNNOTICED, difference=difference)",
        ),
        Change(
            "a finding is no difference of its own",
            "        if equal and stops is not None and stops.outcome is Outcome.VIOLATED:",
            "        if equal and stops is None:",
        ),
        Change(
            "outputs that are on are named where they are off",
            "        on = severity is HowDifferent.LETS_ON",
            "        on = severity is not HowDifferent.LETS_ON",
        ),
        Change(
            "all outputs are named as different",
            "if values[a.name] != values[b.name]]",
            "if a is not b]",
        ),
    ),
    *mutants(
        ROOM,
        "analyses/mend/kept_behaviour.py",
        KEPT,
        Change(
            "what was broken makes no difference",
            "        asked = [r.property for r in self._block.requirements if r.aim is Aim.HOLDS]",
            "        asked = [r.property for r in self._block.requirements[:0]]",
        ),
        Change(
            "what is reached counts as broken",
            "        asked = [r.property for r in self._block.requirements if r.aim is Aim.HOLDS]",
            "        asked = [r.property for r in self._block.requirements]",
        ),
        Change(
            "what is undecided is kept",
            "                return Outcome.UNDECIDED\n",
            "                return Outcome.PROVED\n",
        ),
        Change(
            "what lets an output on is kept",
            "            return KeptShowing(Outcome.VIOLATED, lets_on=self._of_block(lets_on))",
            "            return KeptShowing(Outcome.PROVED, lets_on=self._of_block(lets_on))",
        ),
        Change(
            "without outputs everything is kept",
            "        if beside.requirement(LETS_ON) is None:\n            return KeptShowing(Outcome.VIOLATED)",
            "        if beside.requirement(LETS_ON) is None:\n            return KeptShowing(Outcome.PROVED)",
        ),
        Change(
            "what is not compared is kept",
            "        if beside is None:\n            return KeptShowing(Outcome.UNDECIDED)",
            "        if beside is None:\n            return KeptShowing(Outcome.PROVED)",
        ),
        Change(
            "only what the spec names is kept",
            "dict.fromkeys([*shown(self._block.program), *self._block.outputs])",
            "dict.fromkeys([*self._block.outputs])",
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
        Change(
            "a change that asks something else mends",
            "        if not asks_the_same(self._subject.specification, changed):",
            "        if changed is self._subject.specification:",
        ),
    ),
)

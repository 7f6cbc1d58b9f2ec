"""Who accepts a proof: certificate, desk, the questions as they are asked."""

from __future__ import annotations

from tests.mutants.mutant import Change, mutants

ROOM = "evidence/proofs"
CERTIFICATE = ("evidence/test_checker_answers.py", "evidence/test_certificate.py")
REPLAY = "evidence/test_check_replay.py"
DESK = ("evidence/test_desk.py", *CERTIFICATE, REPLAY)
BEFORE_POWER_UP = ("evidence/test_before_power_up.py",)
QUESTIONS = ("evidence/checks/test_scans_before_findings.py",)

MUTANTS = (
    *mutants(
        ROOM,
        "evidence/proofs/certificate.py",
        CERTIFICATE,
        Change(
            "no answer of a checker accepts",
            "if answer is not CheckerAnswer.HOLDS:",
            "if answer is CheckerAnswer.FAILS:",
        ),
        Change(
            "a refusal is overruled by the next checker",
            "        if result.certain:\n            return result",
            "        if not result.checker:\n            return result",
        ),
        Change(
            "clauses may speak of inputs",
            "if not _over_states(system, clauses):",
            "if not clauses and clauses:",
        ),
        Change(
            "only the symbols that the clauses share with states are looked at",
            "if symbol and term.get_id() not in allowed:",
            "if symbol and term.num_args() and term.get_id() not in allowed:",
        ),
        Change(
            "quantified clauses are clauses",
            "        if not z3.is_app(term):\n            return False",
            "        if not z3.is_app(term):\n            continue",
        ),
        Change(
            "an invariant need not hold at first",
            "z3.And(system.initial, z3.Not(invariant))",
            "z3.And(system.initial, z3.Not(invariant), invariant)",
        ),
        Change(
            "an invariant need not last",
            "z3.Or(z3.Not(after), bad))",
            "bad)",
        ),
        Change(
            "an invariant may allow a bad scan",
            "z3.Or(z3.Not(after), bad))",
            "z3.Not(after))",
        ),
        Change(
            "no answer of a checker is a refusal",
            "result = Recheck(version(), fault, answer is CheckerAnswer.FAILS)",
            "result = Recheck(version(), fault)",
        ),
        Change(
            "the second solver holds what it does not know",
            "    if result.isUnsat():",
            "    if not result.isSat():",
        ),
        Change(
            "z3 holds what it does not know",
            "    if result == z3.unsat:",
            "    if result != z3.sat:",
        ),
        Change(
            "an error of the second solver holds",
            "    except RuntimeError:  # a function that it does not know\n        return CheckerAnswer.UNKNOWN",
            "    except RuntimeError:  # a function that it does not know\n        return CheckerAnswer.HOLDS",
        ),
        Change(
            "only the last question counts",
            "        for fault, text in questions:",
            "        for fault, text in questions[1:]:",
        ),
    ),
    *mutants(
        ROOM,
        "evidence/proofs/dispatcher.py",
        DESK,
        Change(
            "a proof that is refused is believed",
            "if not isinstance(answer, Certified) or answer.recheck.accepted:",
            "if not isinstance(answer, Certified) or answer.recheck:",
        ),
        Change(
            "a certain refusal is an open question",
            "    if check.certain:",
            "    if not check.checker:",
        ),
        Change(
            "a proof that nobody could check is believed",
            'return Unknown("a proof was found, but its check from scratch came to no answer")',
            "return answer",
        ),
        Change(
            "answers are believed unchecked",
            "then(replace(result, answer=believed(name, result.answer)))",
            "then(result)",
        ),
        Change(
            "an open answer stands however much time there is",
            "if answer and (limit <= longest or _is_final(answer.answer)):",
            "if answer:",
        ),
        Change(
            "the second engine is never asked",
            "            if not isinstance(asked.answer, Unknown):\n                answered(asked)",
            "            if asked is not None:\n                answered(asked)",
        ),
        Change(
            "the second engine's answer is lost",
            "return QueryResult(chc.answer, seconds, effort)",
            "return QueryResult(searched.answer, seconds, effort)",
        ),
        Change(
            "the least depth is told",
            "max(searched.answer.scans, chc.answer.scans),",
            "min(searched.answer.scans, chc.answer.scans),",
        ),
        Change(
            "one answer serves all questions of a problem",
            "        key = (problem, index)",
            "        key = (problem, 0)",
        ),
    ),
    *mutants(
        ROOM,
        "evidence/proofs/query.py",
        (*DESK, *CERTIFICATE),
        Change(
            "another question is checked",
            "checked = certify(whole, boolean(fresh[self.index]), answer)",
            "checked = certify(whole, boolean(fresh[0]), answer)",
        ),
        Change(
            "the check is of the cone of a proof that says nothing",
            "result = recheck(system, bad, clauses, RECHECK_EFFORT)",
            "result = recheck(system, z3.BoolVal(False, bad.ctx), clauses, RECHECK_EFFORT)",
        ),
    ),
    *mutants(
        ROOM,
        "evidence/encoding.py",
        QUESTIONS,
        Change(
            "no question hangs on the past",
            "return bool(lasting) and any(",
            "return False and any(",
            BEFORE_POWER_UP,
        ),
        Change(
            "every question hangs on the past of any",
            "return bool(lasting) and any(",
            "return bool(lasting) or any(",
            BEFORE_POWER_UP,
        ),
        Change(
            "a scan with a finding is one before it",
            "guard = z3.And(z3.Not(before), z3.Not(happened))",
            "guard = z3.Not(before)",
        ),
        Change(
            "scans after a finding count",
            "guard = z3.And(z3.Not(before), z3.Not(happened))",
            "guard = z3.Not(happened)",
        ),
        Change(
            "a finding after another one is the first",
            "return self._problem(system, [z3.And(now, z3.Not(earlier))])",
            "return self._problem(system, [now])",
        ),
        Change(
            "a scan in which a finding happens completes",
            "[z3.And(z3.Not(before), z3.Not(happened), *works)]",
            "[z3.And(z3.Not(before), *works)]",
            ("evidence/checks/test_completion.py",),
        ),
        Change(
            "a scan without power is one that completes",
            "[z3.And(z3.Not(before), z3.Not(happened), *works)]",
            "[z3.And(z3.Not(before), z3.Not(happened))]",
            ("evidence/checks/test_completion.py",),
        ),
        Change(
            "what happened is forgotten after a scan",
            "z3.Or(flag, event))",
            "event)",
        ),
        Change(
            "a finding that only one of two has comes first",
            "return self._problem(system, [z3.And(term, z3.Not(before))])",
            "return self._problem(system, [term])",
        ),
        Change(
            "assumptions are not made",
            "self._monitors.assume(named.formula)",
            "self._monitors.formula(named.formula)",
            (
                "analyses/check/test_check_verdicts.py::test_assumptions_hold_in_every_run",
                *QUESTIONS,
            ),
        ),
    ),
)

"""What is kept between runs, under what, and what of it is believed."""

from __future__ import annotations

from tests.mutants.mutant import Change, mutants

ROOM = "evidence/cache"
_FILE = "evidence/cache/test_kept_answers.py"
LIES = (f"{_FILE}::test_a_lie_is_dropped_and_the_engine_asked",)
DAMAGE = (f"{_FILE}::test_each_changed_byte_of_an_entry_is_noticed",)
ANOTHER = (f"{_FILE}::test_an_answer_that_had_another_effort_is_none",)
COMMANDS = (f"{_FILE}::test_a_command_in_place_of_clauses_is_never_run",)
NO_FILE = (f"{_FILE}::test_what_is_no_file_is_no_answer",)
GONE = (f"{_FILE}::test_an_entry_that_another_process_removed_is_no_damage",)
UNDECIDED = (f"{_FILE}::test_what_is_undecided_or_not_accepted_is_never_kept",)
EXTREMES = (
    f"{_FILE}::test_an_exact_extreme_is_kept_and_nothing_that_lies_about_it",
    f"{_FILE}::test_an_extreme_that_is_not_exact_is_never_kept",
)
UNDER_WHAT = ("evidence/cache/test_recheckable.py",)
FOLDER = ("evidence/cache/test_cache_folder.py",)

MUTANTS = (
    *mutants(
        ROOM,
        "evidence/cache/answers.py",
        LIES,
        Change(
            "what does not hold counts as an answer",
            "if not isinstance(result, Dropped | Stopped):",
            "if not isinstance(result, Stopped):",
        ),
        Change(
            "what is dropped is not said",
            "        if dropped:\n            self._dropped_told",
            "        if dropped < 0:\n            self._dropped_told",
        ),
        Change(
            "what is gone counts as damaged",
            "gone = isinstance(result, Dropped) and result.gone",
            "gone = isinstance(result, Dropped) and not result.why",
            GONE,
        ),
    ),
    *mutants(
        ROOM,
        "evidence/cache/entry.py",
        DAMAGE,
        Change("the hash is not looked at", 'if rest != _hash(line) + b"\\n":', "if not line:"),
        Change(
            "an entry of another question counts",
            'if entry["question"] != parts:',
            'if not entry["question"]:',
            ANOTHER,
        ),
        Change(
            "links are followed", 'flags |= getattr(os, "O_NOFOLLOW", 0)', "flags |= 0", NO_FILE
        ),
    ),
    *mutants(
        ROOM,
        "evidence/cache/question.py",
        UNDER_WHAT,
        Change(
            "the text is no part of the key",
            '"text": hashlib.sha256(problem.text.encode()).hexdigest(),',
            '"text": "",',
        ),
        Change(
            "fixed readings are no part of the key",
            '"fixed": [list(each) for each in problem.fixed],',
            '"fixed": [],',
        ),
        Change(
            "assumptions left out are no part of the key",
            '"without": list(problem.without),',
            '"without": [],',
        ),
        Change(
            "equal states are no part of the key",
            '"equivalent": problem.equivalent,',
            '"equivalent": None,',
        ),
        Change("what is asked is no part of the key", '"asked": own,', '"asked": {},'),
        Change(
            "the kind of question is no part of the key",
            '"kind": type(question).__name__,',
            '"kind": "",',
        ),
        Change("the code is no part of the key", '"code": code_that_decides(),', '"code": "",'),
        Change(
            "solvers are no part of the key",
            '"solvers": [_version(name) for name in SOLVERS],',
            '"solvers": [],',
        ),
        Change(
            "a folder of code is left out", '("program", "scan", "engine",', '("program", "scan",'
        ),
    ),
    *mutants(
        ROOM,
        "evidence/cache/folder.py",
        FOLDER,
        Change(
            "what was used last goes first",
            "sorted(self._files(), key=lambda each: each.used)",
            "sorted(self._files(), key=lambda each: -each.used)",
        ),
        Change(
            "every file is an entry",
            "if _ENTRY.fullmatch(name) or _UNFINISHED.fullmatch(name):",
            "if name:",
        ),
    ),
    *mutants(
        ROOM,
        "evidence/proofs/kept.py",
        LIES,
        Change(
            "a proof that is refused counts",
            "    if not result.accepted:\n        raise Unbelieved(result.fault)",
            "    if not result.checker:\n        raise Unbelieved(result.fault)",
        ),
        Change(
            "a run that is not run counts",
            "if Simulator(seen, bad).confirmed(run, whole=True) is None:",
            "if Simulator(seen, bad) is None:",
        ),
        Change(
            "a run may be bad before its end",
            "confirmed(run, whole=True)",
            "confirmed(run)",
        ),
        Change(
            "a number is a switch",
            "if z3.is_bool(symbol) or (z3.is_bv",
            "if (z3.is_bv",
        ),
        Change(
            "any command is an assertion",
            "if head and word not in _COMMANDS:",
            "if head and not word:",
            COMMANDS,
        ),
        Change(
            "any text is a method",
            "if not isinstance(method, str) or _METHOD.fullmatch(method) is None:",
            "if method is None:",
        ),
        Change("a cost may be below nothing", "and 0 <= effort <= 2 *", "and effort <= 2 *"),
        Change("a cost may be beyond all", "and 0 <= effort <= 2 * most + 1", "and 0 <= effort"),
    ),
    *mutants(
        ROOM,
        "evidence/proofs/query.py",
        LIES,
        Change(
            "a proof that nobody accepted is kept",
            "case Certified() as proof if proof.recheck.accepted:",
            "case Certified() as proof if proof.recheck.checker:",
            UNDECIDED,
        ),
        Change(
            "the cost of a kept answer is not looked at",
            "        if not is_cost(effort, self.effort):\n            raise",
            "        if effort is None:\n            raise",
        ),
    ),
    *mutants(
        ROOM,
        "analyses/measure/kept_extreme.py",
        EXTREMES,
        Change(
            "a bound that is not reached is kept",
            "or value != bound:",
            "or (value is None and bound is not None):",
        ),
        Change(
            "the run of a kept value may end in another one",
            "z3.And(quantity.read, quantity.value == value)",
            "quantity.read",
        ),
    ),
    *mutants(
        ROOM,
        "engine/workers/pool.py",
        ("engine/test_recalled_results.py", "engine/test_jobs_elsewhere.py"),
        Change(
            "a recalled result is not looked at",
            "return self.keeper is None or self.keeper.holds(recalled, result)",
            "return True",
        ),
        Change(
            "what others claim is not looked at",
            "return self.elsewhere is not None and self.elsewhere.holds(result)",
            "return self.elsewhere is not None",
        ),
        Change(
            "what does not hold is handed out again and again",
            "if known or task.ticket in self._distrusted:",
            "if known:",
        ),
    ),
    *mutants(
        ROOM,
        "evidence/cache/tasks.py",
        ("evidence/cache/test_tasks.py",),
        Change(
            "what a worker claims is not checked",
            "return self.question.rechecked(json.loads(self.answer))",
            "return json.loads(self.answer)",
        ),
        Change(
            "a task of another version is answered",
            'if whole["versions"] != versions():',
            "if not whole:",
        ),
        Change(
            "several questions are asked at once",
            "    with _ONE_QUESTION:\n        gc.disable()",
            "    with threading.Lock():\n        gc.disable()",
        ),
    ),
    *mutants(
        ROOM,
        "evidence/cache/cluster.py",
        ("evidence/cache/test_cluster.py",),
        Change(
            "what is dropped counts as confirmed",
            "if isinstance(result, Dropped | Stopped):",
            "if isinstance(result, Stopped):",
        ),
        Change(
            "a scheduler that is gone is waited for",
            'gone = self._client.status != "running"',
            "gone = False",
        ),
        Change(
            "what takes long is waited for",
            "tickets = list(self._away) if gone else late[:1] if idle else []",
            "tickets = list(self._away) if gone else []",
        ),
    ),
)

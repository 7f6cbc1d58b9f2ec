"""What passes a review, and what a waiver is bound to."""

from __future__ import annotations

from tests.mutants.mutant import Change, mutants

ROOM = "gate"
WAIVERS = ("gate/test_waivers.py",)
CONTENT = ("gate/test_bound_content.py",)
REVIEW = ("gate/test_review.py",)
ITEMS = ("gate/test_asked_items.py",)
PROJECT = ("gate/test_project_files.py",)
PARTS = ("gate/test_parts.py",)

MUTANTS = (
    *mutants(
        ROOM,
        "record/parts/merging.py",
        PARTS,
        Change(
            "a missing part is not missed", "    if missing:\n", "    if len(missing) > count:\n"
        ),
        Change(
            "parts of other options fit",
            'one.document["options"] == other.document["options"]',
            "True",
        ),
        Change("parts of other solvers fit", 'made["solvers"] == others["solvers"]', "True"),
        Change("parts of another program fit", 'made["program"] == others["program"]', "True"),
        Change(
            "a part may lack its last files",
            "if len(answered) < len(asked) and",
            "if not asked and",
        ),
        Change(
            "a part is believed to pass",
            'if not self.document["options"].get("as_expected"):',
            "if not self:",
        ),
        Change(
            "problems may be left out of a part",
            "if min(numbers) < 0 or",
            "if min(numbers) < 0 and",
        ),
    ),
    *mutants(
        ROOM,
        "record/parts/conformance.py",
        PARTS,
        Change(
            "more fields than there are conform",
            "        return not others\n",
            "        return True\n",
        ),
        Change(
            "TRUE is a number",
            'if isinstance(value, bool) and kind != "boolean":',
            'if value is None and kind == "boolean":',
        ),
        Change(
            "fields may be missing",
            "return all(name in value for name in wanted)",
            "return any(name in value for name in wanted)",
        ),
    ),
    *mutants(
        ROOM,
        "record/parts/part.py",
        PARTS,
        Change(
            "a file falls to no part",
            "if rank * self.of // len(hashes) == self.number - 1",
            "if rank * self.of // len(hashes) == self.number",
        ),
    ),
    *mutants(
        ROOM,
        "gate/waivers.py",
        WAIVERS,
        Change(
            "a waiver fits any content",
            "(waiver.content, waiver.outcome) != (item.content, item.word)",
            "waiver.outcome != item.word",
        ),
        Change(
            "a waiver fits any outcome",
            "(waiver.content, waiver.outcome) != (item.content, item.word)",
            "waiver.content != item.content",
        ),
        Change("a waiver never ends", "today > waiver.until", "False"),
        Change("the last day is none", "today > waiver.until", "today >= waiver.until"),
        Change(
            "a waiver of what holds is in force",
            "if item is None or item.item.outcome is ItemOutcome.HOLDS:",
            "if item is None:",
        ),
        Change(
            "two waivers are in force for one thing",
            "if found is WaiverStanding.IN_FORCE and name in in_force:",
            "if name is None:",
        ),
        Change(
            "what is wrong with waivers is passed over",
            "    if table.problems:\n        raise InputError(table.problems)\n    return tuple(",
            "    return tuple(",
        ),
    ),
    *mutants(
        ROOM,
        "gate/record.py",
        (*WAIVERS, *REVIEW),
        Change(
            "what is open passes",
            "ReviewOutcome.OPEN: ExitCode.UNDECIDED,",
            "ReviewOutcome.OPEN: ExitCode.ALL_PROVED,",
        ),
        Change(
            "what fails is only open",
            "ReviewOutcome.FAILS: ExitCode.VIOLATED,",
            "ReviewOutcome.FAILS: ExitCode.UNDECIDED,",
        ),
        Change(
            "what no item says is lost",
            "return worst([found, own]) if unexplained else found",
            "return found",
        ),
        Change(
            "what is waived is said to hold",
            "else ReviewOutcome.WAIVED",
            "else ReviewOutcome.HOLDS",
        ),
    ),
    *mutants(
        ROOM,
        "gate/bound_content.py",
        CONTENT,
        Change("what is done in a scan means nothing", "            program.routine,\n", ""),
        Change("the scan time means nothing", "            specification.clocking,\n", ""),
        Change("readings mean nothing", "            specification.readings,\n", ""),
        Change("assumptions mean nothing", "            specification.assumptions,\n", ""),
        Change("the bound of loops means nothing", "            specification.loop_bound,\n", ""),
        Change(
            "what is asked means nothing",
            "None if asked is None else (asked.property, asked.aim)",
            "None if asked is None else asked.aim",
        ),
        Change(
            "all that a spec says is its block",
            "content_hash((block, *said, tuple(codes), tuple(reasons)))",
            "content_hash((block,))",
            ("gate/test_bound_items.py", "gate/test_review_of_changes.py"),
        ),
        Change(
            "what is there twice is any two things",
            "            if number < len(kept):\n",
            "            if number < 0:\n",
        ),
    ),
    *mutants(
        ROOM,
        "gate/answers.py",
        ("gate/test_bound_items.py",),
        Change(
            "what a fault costs is bound to the block alone",
            "content = content_hash((whole, name))",
            "content = bound_content(specification, None, name)",
        ),
        Change(
            "a requirement is bound to the block alone",
            "bound_content(specification, asked.get(name), name)",
            "bound_content(specification, None, name)",
        ),
    ),
    *mutants(
        ROOM,
        "gate/asked_items.py",
        ITEMS,
        Change(
            "what is lost under a fault holds",
            "Standing.VIOLATED: _FAILS",
            "Standing.VIOLATED: _HOLDS",
        ),
        Change(
            "faults that end are passed over",
            "        yield from fault.ending\n",
            "",
        ),
        Change(
            "an open point of an inspection holds",
            "Weight.OPEN: _OPEN",
            "Weight.OPEN: _HOLDS",
        ),
        Change(
            "a limit is kept where only the sampled time keeps it",
            "reached, true = figure.reached, figure.true_bound",
            "reached, true = figure.reached, figure.bound",
        ),
        Change(
            "a limit of what is never measured is kept",
            'return _FAILS, "there is nothing',
            'return _HOLDS, "there is nothing',
        ),
        Change(
            "what a whole table says is lost",
            "    elif code is not ExitCode.UNDECIDED and _FAILS not in outcomes:\n",
            "    elif code is None and _FAILS not in outcomes:\n",
        ),
        Change(
            "a figure holds after a finding",
            "if outcome is _HOLDS and measured.findings:",
            "if False:",
        ),
    ),
    *mutants(
        ROOM,
        "gate/revisions.py",
        ("gate/test_revisions.py",),
        Change(
            "the last commit is taken for the index",
            'commit or self._ran("write-tree").strip()',
            'commit or "HEAD"',
        ),
        Change(
            "what a revision is, is taken for where histories went apart",
            "return done.stdout.split()[0]",
            "return commit",
        ),
    ),
    *mutants(
        ROOM,
        "gate/former_self.py",
        ("gate/test_review_of_changes.py",),
        Change(
            "what changed is unchanged",
            "same = whole_content(specification) == whole_content(former)",
            "same = True",
        ),
    ),
    *mutants(
        ROOM,
        "gate/project/toml_table.py",
        PROJECT,
        Change("unknown keys are passed over", "if key not in names:", "if False:"),
    ),
    *mutants(
        ROOM,
        "gate/project/project_file.py",
        PROJECT,
        Change(
            "what is excluded is asked",
            "_among(self.specs, spec) and not _among(self.exclude, spec)",
            "_among(self.specs, spec)",
        ),
    ),
)

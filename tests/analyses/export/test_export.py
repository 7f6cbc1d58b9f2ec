"""Exported proofs are unsat for cvc5 and for z3, which get nothing but the text; runs are those of
the check."""

from __future__ import annotations

import re
from dataclasses import replace
from hashlib import sha256
from pathlib import Path

import cvc5
import pytest
import z3
from twohand.analyses.check.check import check
from twohand.analyses.export.files import README, Exported, files_of
from twohand.analyses.export.proof_texts import proof_texts
from twohand.commands import main as cli
from twohand.commands.shared.gallery_files import gallery_specs
from twohand.evidence.checks.requirement import ProvedRequirement
from twohand.evidence.limits import Options
from twohand.scan import serialisation as exchange
from twohand.specification.load import load_specification
from twohand.specification.model.specification import Specification

from tests.support.samples.check_samples import logic, specification, type_three

OPTIONS = Options(effort=60.0, processes=1)


def by_cvc5(text: str) -> str:
    solver = cvc5.Solver(cvc5.TermManager())
    parser = cvc5.InputParser(solver)
    parser.setStringInput(cvc5.InputLanguage.SMT_LIB_2_6, text, "proof")
    said = ""
    while not (command := parser.nextCommand()).isNull():
        said += str(command.invoke(solver, parser.getSymbolManager()))
    return said.strip()


def by_z3(text: str) -> str:
    solver = z3.Solver(ctx=z3.Context())
    solver.from_string(text)
    return str(solver.check())


def exported(spec: Specification) -> tuple[Exported, dict[str, str]]:
    kept: list[ProvedRequirement] = []
    found = Exported(check(spec, OPTIONS, kept=kept), tuple(kept))
    return found, dict(files_of([found]))


@pytest.mark.long
def test_any_solver_says_unsat_to_both_questions_of_each_proof(tmp_path: Path) -> None:
    found, files = exported(type_three(tmp_path))
    names = [v.requirement.identifier for v in found.report.verdicts]
    questions = {name: text for name, text in files.items() if name.endswith(".smt2")}
    assert set(questions) == {
        f"Sample_{n}.{step}.smt2" for n in names for step in ("begin", "scan")
    }
    for text in questions.values():
        assert (by_cvc5(text), by_z3(text)) == ("unsat", "unsat")
        assert "(set-info :status unsat)" in text
        assert "(set-logic QF_LIA)" in text


@pytest.mark.parametrize(
    ("more", "body", "expected"),
    [
        ("n : INT;", "IF n < 9 THEN n := n * n + 1; END_IF; q := a;", "QF_NIA"),
        ("w : WORD;", "w := w AND 16#0F; q := a;", "ALL"),
    ],
)
def test_the_logic_is_that_of_the_text(more: str, body: str, expected: str, tmp_path: Path) -> None:
    asked = "PROPERTY p : n <= 82 OR n < 0;" if "INT" in more else "PROPERTY p : w < WORD#16#10;"
    _, files = exported(specification(tmp_path, logic(body, more=more), asked))
    text = files["Sample_p.scan.smt2"]
    assert re.findall(r"set-logic (\w+)", text) == [expected]
    assert by_cvc5(text) == by_z3(text) == "unsat"


@pytest.mark.long
def test_a_proof_with_a_clause_left_out_is_refused(tmp_path: Path) -> None:
    found, _ = exported(type_three(tmp_path))
    refused = 0
    for proved in found.proofs:
        system, _terms = proved.problem.loaded()
        clauses = list(exchange.load_terms(proved.proof.clauses, system))
        for number in range(len(clauses)):
            fewer = exchange.dump_terms(clauses[:number] + clauses[number + 1 :])
            weaker = replace(proved, proof=replace(proved.proof, clauses=fewer))
            answers = [by_z3(text) for text in proof_texts(weaker, "")]
            refused += "sat" in answers
    assert refused >= 3


def test_each_requirement_has_a_question_of_its_own(tmp_path: Path) -> None:
    asked = "PROPERTY s : a -> q; PROPERTY t : b -> q;"
    _, files = exported(specification(tmp_path, logic("q := a OR b;"), asked))
    first, second = (
        [line for line in files[f"Sample_{name}.scan.smt2"].splitlines() if ":source" not in line]
        for name in "st"
    )
    assert first != second


def test_a_run_is_told_scan_by_scan_and_the_page_says_what_is_what(tmp_path: Path) -> None:
    block = logic("q := a OR b;")
    asked = "PROPERTY p : q -> a; PROPERTY s : a -> q; REACHABLE r : q;"
    _, files = exported(specification(tmp_path, block, asked))
    assert set(files) == {
        "Sample_p.run.txt", "Sample_s.begin.smt2", "Sample_s.scan.smt2", "Sample_s.aag",
            "Sample_r.run.txt", README,
    }  # fmt: skip
    first, *scans = files["Sample_p.run.txt"].splitlines()
    assert first.startswith("VIOLATED: ")
    assert scans == ["scan 1, 0 ms: a := FALSE, b := TRUE, q := TRUE"]
    page = files[README]
    assert all(name in page for name in files if name != README)
    for path in (tmp_path / "block.st", tmp_path / "block.spec"):
        assert sha256(path.read_bytes()).hexdigest() in page


@pytest.mark.long
def test_names_of_any_kind_end_no_text(tmp_path: Path) -> None:
    spec = type_three(tmp_path)
    named = tuple(replace(each, sentence="a | b \\ c") for each in spec.requirements[:1])
    _, files = exported(replace(spec, requirements=named))
    text = next(text for name, text in files.items() if name.endswith("scan.smt2"))
    assert by_cvc5(text) == by_z3(text) == "unsat"


def test_the_command_writes_into_a_new_folder_only(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    specification(tmp_path, logic("q := a OR b;"), "PROPERTY p : q -> a;")
    monkeypatch.chdir(tmp_path)
    assert cli.run(["export", "block.spec", "--to", "out"]) == 1
    assert sorted(each.name for each in Path("out").iterdir()) == [README, "Sample_p.run.txt"]
    assert "2 files in out" in capsys.readouterr().out
    assert cli.run(["export", "block.spec", "--to", "out"]) == 2
    assert "this folder is not empty" in capsys.readouterr().err


@pytest.mark.long
@pytest.mark.parametrize("path", gallery_specs()[::10], ids=lambda path: path.stem)
def test_proofs_of_the_gallery_are_proofs_for_both(path: Path) -> None:
    found, files = exported(load_specification(path, path.name))
    proofs = [text for name, text in files.items() if name.endswith(".smt2")]
    assert bool(proofs) == any(
        v.outcome.value == "PROVED" and v.certificate for v in found.report.verdicts
    )
    for text in proofs:
        assert (by_cvc5(text), by_z3(text)) == ("unsat", "unsat")

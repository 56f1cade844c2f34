"""After an edit of any input, stored results give what a build without any gives.

The inputs come from the traces: what no task asks for is in no list. And these tests notice an engine that forgets to
record any kind of question.
"""

from __future__ import annotations

import random
import shutil
from collections.abc import Iterator
from datetime import date
from pathlib import Path

import pytest

from sitegen.engine.reader import Reader
from tests.conftest import run_sitegen
from tests.every_input import Lot, are_same, lot_in

EDITS, SEED = 8, 11
KINDS = ("file", "names", "tree", "input", "part", "day", "result", "code")
"""Every kind of question that the tasks of a build ask, and the code of the program."""


@pytest.fixture(scope="module")
def made(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Lot]:
    """A lot that was published twice, so that its pages have an earlier version."""
    with lot_in(tmp_path_factory.mktemp("lot")) as lot:
        record = lot.store / "vehicles/K900/inspection.yaml"
        for price in ("price: 13450", "price: 12990"):
            record.write_text(record.read_text("utf-8").replace("price: 13450", price), "utf-8")
            done = run_sitegen("build", lot.store)
            assert done.returncode == 0, done.stderr
        assert lot.questions()
        yield lot


@pytest.fixture
def lot(made: Lot, tmp_path: Path) -> Lot:
    return Lot(shutil.copytree(made.store, tmp_path / "store"), shutil.copytree(made.data, tmp_path / "data"))


def test_the_traces_hold_every_kind_of_input(lot: Lot):
    assert isinstance(lot.outcome(), tuple)
    questions = lot.questions()
    assert {question.partition(" ")[0] for question in questions} == set(KINDS) - {"code"}
    files = {
        str(file)
        for question in questions
        if question.split()[0] not in ("day", "result")
        for file in lot.files_of(question)
    }
    for part in (
        *("walk.webm", "walk.en.vtt", "site.yaml", "services.yaml", "about.md", "front.jpg", "inspection.yaml"),
        *("record.json", "window-sheet.html", ".po", "standing.yaml"),
    ):
        assert any(file.endswith(part) for file in files), part
    assert any("/terms/" in file for file in files)


def test_after_random_edits_of_every_kind_of_input_stored_results_are_those_of_a_cold_build(lot: Lot):
    dice = random.Random(SEED)
    lot.outcome()
    questions = {"code": ["code"], **{kind: lot.questions(f"{kind} ") for kind in KINDS if kind != "code"}}
    for number in range(EDITS):
        question = dice.choice(questions[KINDS[number % len(KINDS)]])
        lot.edit(question, dice)
        assert are_same(lot.outcome(), lot.cold()), question
        if number % 3 == 2:
            lot.restore()


EDIT_OF = {
    "file": "file vehicles/K900/inspection.yaml",
    "names": "names vehicles/K900/photos",
    "tree": "tree vehicles/K900/visits",
    "input": "input prices ",
    "part": "part settings  locations",
    "result": "file vehicles/K900/inspection.yaml",
}


@pytest.mark.parametrize("kind", ["day", *EDIT_OF])
def test_an_engine_that_forgets_to_record_a_kind_of_question_is_found_out(
    lot: Lot, kind: str, monkeypatch: pytest.MonkeyPatch
):
    record = Reader._record

    def forget(read: Reader, question: str) -> None:
        if not question.startswith(f"{kind} "):
            record(read, question)

    monkeypatch.setattr(Reader, "_record", forget)
    lot.code = "forgetful"
    lot.outcome()
    if kind == "day":  # on which the page of the sold vehicle is no longer listed
        lot.today = date(2027, 1, 19)
    else:
        lot.edit(EDIT_OF[kind], random.Random(3))
    assert not are_same(lot.outcome(), lot.cold())


def test_an_engine_that_forgets_the_code_is_found_out(lot: Lot):
    """Results of another program are run again, whatever they were."""
    lot.outcome()
    before = lot.questions()
    assert before
    lot.code = "another"
    assert are_same(lot.outcome(), lot.cold())

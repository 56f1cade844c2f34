"""Branches of the ledger are joined, and photos withdrawn. Outside source: git, which stores both copies."""

from __future__ import annotations

import shutil
import subprocess
from pathlib import Path

import pytest

from sitegen.ledger.ledger_files import read_ledger
from sitegen.ledger.lines import latest_of_each
from tests.conftest import run_sitegen

PUBLISHED = shutil.ignore_patterns("published", ".cache")


def _built_after(store: Path, stock: str, old: str, new: str) -> None:
    """Build a store after one change of a vehicle's record."""
    record = store / "vehicles" / stock / "inspection.yaml"
    text = record.read_text("utf-8")
    assert old in text
    record.write_text(text.replace(old, new, 1), "utf-8")
    done = run_sitegen("build", store, "--to", store / "published")
    assert done.returncode == 0, done.stderr


@pytest.fixture(scope="module")
def two_copies(built_store: Path, tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, Path]:
    """One store, copied after its first publication, and published again on two machines."""
    folder = tmp_path_factory.mktemp("machines")
    here, there = (shutil.copytree(built_store, folder / name, ignore=PUBLISHED) for name in ("here", "there"))
    price = next(line for line in _record(here).splitlines() if line.startswith("price: "))
    _built_after(here, "K900", price, "price: 8400")
    _built_after(there, "K900", price, "price: 8300")
    _built_after(there, "K900", "price: 8300", "price: 8200")
    return here, there


def _record(store: Path) -> str:
    return (store / "vehicles" / "K900" / "inspection.yaml").read_text("utf-8")


@pytest.fixture
def copies(two_copies: tuple[Path, Path], tmp_path: Path) -> tuple[Path, Path]:
    """Both copies, to be changed."""
    here, there = (shutil.copytree(one, tmp_path / one.name, ignore=PUBLISHED) for one in two_copies)
    return here, there


def test_a_joined_branch_keeps_every_line_and_its_pages(copies: tuple[Path, Path]):
    here, there = copies
    done = run_sitegen("ledger", here, "join", there)
    assert (done.returncode, done.stderr) == (0, "")
    assert "joins 2 lines" in done.stdout
    verified = run_sitegen("ledger", here, "verify")
    assert (verified.returncode, verified.stderr) == (0, "")
    shown = run_sitegen("ledger", here, "show", "K900").stdout
    for price in ("$8,400", "$8,200"):
        assert price in shown
    assert (
        (there / "ledger.jsonl")
        .read_bytes()
        .endswith(next((here / "revisions" / "joined_branches").glob("*/ledger.jsonl")).read_bytes())
    )
    _built_after(here, "K900", "price: 8400", "price: 8150")
    assert run_sitegen("ledger", here, "verify").returncode == 0


def test_what_a_joined_branch_disclosed_cannot_be_changed_unseen(copies: tuple[Path, Path]):
    here, there = copies
    assert run_sitegen("ledger", here, "join", there).returncode == 0
    branch = next((here / "revisions" / "joined_branches").iterdir())
    for path, told in (
        (next(branch.glob("K900/*/record.json")), "it is not as it was when it was disclosed"),
        (branch / "ledger.jsonl", "it is missing, or does not end with the line that the ledger joined"),
    ):
        whole = path.read_bytes()
        path.write_bytes(whole[: len(whole) // 2])
        done = run_sitegen("ledger", here, "verify")
        path.write_bytes(whole)
        assert done.returncode == 1
        assert f"{path.relative_to(here).as_posix()}: {told}" in done.stderr
    shutil.rmtree(branch)
    assert "joined_branches" in run_sitegen("ledger", here, "verify").stderr


def test_only_a_second_branch_of_the_same_store_is_joined(copies: tuple[Path, Path], tmp_path: Path):
    here, there = copies
    lines = (there / "ledger.jsonl").read_bytes().splitlines(keepends=True)
    earlier = shutil.copytree(there, tmp_path / "backup")
    (earlier / "ledger.jsonl").write_bytes(b"".join(lines[:-1]))
    shutil.rmtree(earlier / "revisions" / "K900" / "3")
    (earlier / "revisions" / "head").unlink()
    for store, other, told in (
        (here, here, "it has no line that this ledger lacks"),
        (here, tmp_path, "no ledger yet"),
        (here, earlier, "sitegen ledger"),  # its head is missing: a ledger that does not verify is not joined
    ):
        done = run_sitegen("ledger", store, "join", other)
        assert done.returncode == 2
        assert told in done.stderr
    assert run_sitegen("ledger", here, "join", there).returncode == 0
    again = run_sitegen("ledger", here, "join", there)
    assert "no line that this ledger lacks" in again.stderr


def test_a_ledger_that_version_control_merged_is_recognized(copies: tuple[Path, Path]):
    here = copies[0]
    ours, theirs = ((one / "ledger.jsonl").read_bytes().splitlines(keepends=True) for one in copies)
    common = [a for a, b in zip(ours, theirs, strict=False) if a == b]
    marked = [*common, b"<<<<<<< here\n", *ours[len(common) :], b"=======\n", *theirs[len(common) :], b">>>>>>> x\n"]
    appended = [*ours, *theirs[len(common) :]]
    for merged, told in ((marked, "a mark of two merged branches"), (appended, "second branch")):
        (here / "ledger.jsonl").write_bytes(b"".join(merged))
        done = run_sitegen("build", here, "--to", here / "published")
        assert done.returncode == 1
        assert told in done.stderr
        assert "sitegen ledger STORE join OTHER" in done.stderr


def test_a_withdrawn_photo_is_gone_and_the_ledger_still_verifies(built_store: Path, tmp_path: Path):
    store = shutil.copytree(built_store, tmp_path / "store", ignore=PUBLISHED)
    lines, _ = read_ledger(store)
    digest = latest_of_each(lines)["K900"].shown[0]
    photo = next((store / "revisions" / "shown").glob(f"{digest}.*"))
    refused = run_sitegen("ledger", store, "withdraw", photo, "--because", "a neighbor's plate")
    assert refused.returncode == 2
    assert "still shows" in refused.stderr
    content = photo.read_bytes()
    for stock in ("K900", "K901"):  # both show the same photo
        (store / "vehicles" / stock).rename(tmp_path / stock)
    assert run_sitegen("build", store, "--to", store / "published").returncode == 0
    done = run_sitegen("ledger", store, "withdraw", photo, "--because", "a neighbor's plate")
    assert (done.returncode, done.stderr) == (0, "")
    assert not [path for path in store.rglob("*") if path.is_file() and path.read_bytes() == content]
    assert run_sitegen("ledger", store, "verify").returncode == 0
    assert '"a neighbor\'s plate"' in (store / "ledger.jsonl").read_text("utf-8")
    photo.write_bytes(content)
    assert "withdrew it, and it is here" in run_sitegen("ledger", store, "verify").stderr


def test_a_new_store_keeps_its_ledger_whole_in_version_control(built_store: Path, tmp_path: Path):
    def git(*words: str | Path, folder: Path) -> None:
        settings = ("-c", "core.autocrlf=true", "-c", "user.name=x", "-c", "user.email=x@example.invalid")
        subprocess.run(["git", *settings, *words], cwd=folder, check=True, capture_output=True)

    assert run_sitegen("start", tmp_path / "new").returncode == 0
    store = shutil.copytree(built_store, tmp_path / "store", ignore=PUBLISHED)
    shutil.copy(tmp_path / "new" / ".gitattributes", store / ".gitattributes")
    git("init", "-q", folder=store)
    git("add", ".", folder=store)
    git("commit", "-q", "-m", "the store", folder=store)
    git("clone", "-q", store, tmp_path / "clone", folder=tmp_path)
    assert b"\r\n" in (tmp_path / "clone" / "site.yaml").read_bytes()  # so the setting had its effect
    assert run_sitegen("ledger", tmp_path / "clone", "verify").returncode == 0

"""Cached pictures are not made again; interrupted, damaged and changed ones are."""

from __future__ import annotations

import os
import shutil
import signal
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import pytest

from sitegen.engine.mapping import Executors
from sitegen.engine.workers import LocalWorkers
from sitegen.photos.making import judge_all, make_pictures
from sitegen.photos.planning.pictures import Pictures
from tests.conftest import REPOSITORY
from tests.photos.lots import a_scene, engine_of, grain, make, naming, photos_folder, store_of

FILES = ("a.jpg", "b.jpg", "c.jpg")


@pytest.fixture
def lot(tmp_path: Path) -> Path:
    """A store of one vehicle with three photos."""
    for number, file in enumerate(FILES):
        a_scene((300 + number, 200)).save(photos_folder(tmp_path) / file)
    return tmp_path


def build(lot: Path, *files: str, **changes) -> tuple[Pictures, int]:
    """Make the pictures of a store, and count the photos that were decoded."""
    with engine_of(lot) as engine:
        pictures, problems = make_pictures(store_of(lot, naming(*(files or FILES), **changes)), engine)
        asked = [name for name, _ in engine.ran if name.endswith(":derived_pictures")]
    assert problems == ()
    return pictures, len(asked)


def test_a_second_run_decodes_nothing(lot):
    first, asked = build(lot)
    assert asked == 3
    second, asked = build(lot)
    assert asked == 0
    assert second == first


def test_a_photo_that_was_only_touched_or_renamed_is_not_decoded(lot):
    """A copy of the store has new times but the same bytes."""
    build(lot)
    os.utime(photos_folder(lot) / "a.jpg", (1, 1))
    (photos_folder(lot) / "b.jpg").rename(photos_folder(lot) / "other.jpg")
    assert build(lot, "a.jpg", "other.jpg", "c.jpg")[1] == 0


def test_only_a_changed_photo_is_made_again(lot):
    """Even if the change leaves the file as long as it was, and its time of writing is set back."""
    before, _ = build(lot)
    replace_bytes(photos_folder(lot) / "b.jpg", 1)
    after, asked = build(lot)
    assert asked == 1
    assert after.of("K900", "a.jpg") == before.of("K900", "a.jpg")
    assert not set(after.of("K900", "b.jpg").names()) & set(before.of("K900", "b.jpg").names())


def replace_bytes(path: Path, count: int) -> None:
    """Change some bytes of a file near its end, and keep its size and its time of change."""
    status, content = path.stat(), bytearray(path.read_bytes())
    for place in range(len(content) - 20 - count, len(content) - 20):
        content[place] ^= 1
    path.write_bytes(content)
    os.utime(path, ns=(status.st_atime_ns, status.st_mtime_ns))


def test_another_cover_gives_other_pictures_under_other_names(lot):
    """Whoever kept a link to the uncovered picture must not find it under the same name."""
    before, _ = build(lot)
    after, asked = build(lot, cover=[{"x": 0.1, "y": 0.1, "w": 0.2, "h": 0.2}])
    assert asked == 3
    assert not set(after.files()) & set(before.files())


def a_folder(file: Path) -> None:
    file.unlink()
    file.mkdir()


def a_link(file: Path) -> None:
    file.rename(file.with_name("elsewhere"))
    file.symlink_to(file.with_name("elsewhere"))


def a_pipe(file: Path) -> None:
    file.unlink()
    os.mkfifo(file)


DAMAGES: dict[str, Callable[[Path], object]] = {
    "missing": Path.unlink,
    "cut short": lambda file: file.write_bytes(b"half"),
    "zeros, as a disk that lost power may leave it": lambda file: file.write_bytes(bytes(file.stat().st_size)),
    "200 bytes, with size and time kept": lambda file: replace_bytes(file, 200),
    "a folder": a_folder,
    "a link to the picture": a_link,
    "a pipe": a_pipe,
}


@pytest.mark.parametrize("damage", DAMAGES)
@pytest.mark.parametrize("is_linked", [False, True])
def test_a_damaged_picture_in_the_cache_is_made_again(lot, damage, is_linked):
    """Whether or not its status was noted after a publication."""
    pictures, _ = build(lot)
    whole = contents(pictures)
    if is_linked:
        with engine_of(lot) as engine:
            make_pictures(store_of(lot, naming(*FILES)), engine)
            engine.note_linked()
    DAMAGES[damage](pictures.files()[pictures.of("K900", "a.jpg").full.name])
    lines: list[str] = []
    with engine_of(lot, warn=lines.append) as engine:
        again, _ = make_pictures(store_of(lot, naming(*FILES)), engine)
        assert len(engine.ran) == 1
    assert len(lines) == (damage == "a folder")
    assert contents(again) == whole
    assert all(file.is_file() and not file.is_symlink() for file in again.files().values())


def test_a_picture_that_was_hard_linked_is_trusted_by_its_status_and_not_read(lot, tmp_path_factory, monkeypatch):
    pictures, _ = build(lot)
    site = tmp_path_factory.mktemp("site")
    with engine_of(lot) as engine:
        make_pictures(store_of(lot, naming(*FILES)), engine)
        for name, file in pictures.files().items():
            (site / name).hardlink_to(file)
        engine.note_linked()
    read: list[str] = []
    monkeypatch.setattr("sitegen.engine.result_store.ResultStore.file", lambda _, digest: read.append(digest))
    assert build(lot) == (pictures, 0)
    assert read == []


def test_a_copy_of_the_cache_with_new_times_is_trusted_by_the_digests_of_its_pictures(lot):
    pictures, _ = build(lot)
    for file in pictures.files().values():
        os.utime(file, (1_700_000_000, 1_700_000_000))
    assert build(lot)[1] == 0


def test_the_same_photo_under_two_names_is_decoded_once(lot):
    (photos_folder(lot) / "again.jpg").write_bytes((photos_folder(lot) / "a.jpg").read_bytes())
    pictures, asked = build(lot, "a.jpg", "again.jpg")
    assert asked == 1
    assert pictures.of("K900", "a.jpg") == pictures.of("K900", "again.jpg")


def test_the_same_bytes_whatever_the_order_and_the_workers(lot, tmp_path_factory):
    """Two processes in one order, this one in the other: the same files, byte for byte."""
    backward = tmp_path_factory.mktemp("backward")
    for file in FILES:
        (photos_folder(backward) / file).write_bytes((photos_folder(lot) / file).read_bytes())
    with LocalWorkers(2) as two, engine_of(lot) as engine:
        forward, _ = make_pictures(store_of(lot, naming(*FILES)), engine, executors=Executors(two))
        assert len(engine.ran) == 6
    reverse, _ = make(store_of(backward, naming(*FILES[::-1])))
    assert contents(forward) == contents(reverse)


def test_progress_is_told_for_each_photo_that_is_made(lot):
    told: list[tuple[int, int, str]] = []
    for _ in range(2):
        with engine_of(lot) as engine:
            make_pictures(store_of(lot, naming(*FILES)), engine, lambda *step: told.append(step))
    assert [(done, of) for done, of, _ in told] == [(1, 3), (2, 3), (3, 3)]
    assert {file for _, _, file in told} == {f"vehicles/K900/photos/{file}" for file in FILES}


def test_a_photo_that_changes_while_pictures_are_made_is_a_problem_of_that_photo(lot):
    """The second photo is written anew when the first one is done."""

    def touch(done: int, *_: object) -> None:
        if done == 1:
            replace_bytes(photos_folder(lot) / "b.jpg", 1)

    with engine_of(lot) as engine:
        pictures, problems = make_pictures(store_of(lot, naming(*FILES)), engine, touch)
    assert [(problem.file, problem.found) for problem in problems] == [
        ("vehicles/K900/photos/b.jpg", "a photo that changed while it was read")
    ]
    assert {file for _, file in pictures.by_photo} == {"a.jpg", "c.jpg"}


KILLED_RUN = """
import sys
from pathlib import Path
from sitegen.engine.mapping import Executors
from sitegen.engine.workers import LocalWorkers
from sitegen.photos.making import make_pictures
from tests.photos.lots import engine_of, naming, store_of

if __name__ == "__main__":
    folder = Path(sys.argv[1])
    def told(done, of, file):
        print(done, flush=True)
        sys.stdin.read()
    with engine_of(folder) as engine, LocalWorkers(2) as workers:
        make_pictures(store_of(folder, naming(*sys.argv[2:])), engine, told, Executors(workers))
"""


def test_a_build_killed_midway_loses_no_finished_photo_and_leaves_no_half_picture(tmp_path):
    """Killed as by the system (SIGKILL) when its first photo is kept: the next run makes the others, and no more."""
    files = [f"{number}.jpg" for number in range(5)]
    for number, file in enumerate(files):
        grain((340 + number, 260)).save(photos_folder(tmp_path) / file)
    command = [sys.executable, "-c", KILLED_RUN, str(tmp_path), *files]
    with subprocess.Popen(
        command, cwd=REPOSITORY, stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True
    ) as running:
        assert running.stdout is not None
        assert running.stdout.readline() == "1\n"
        running.send_signal(signal.SIGKILL)
        running.communicate(timeout=60)  # returns once the workers, who write to the same pipe, have ended too
    pictures, asked = build(tmp_path, *files)
    assert asked == len(files) - 1
    whole = contents(pictures)
    shutil.rmtree(tmp_path / ".cache")
    assert contents(build(tmp_path, *files)[0]) == whole


def contents(pictures: Pictures) -> dict[str, bytes]:
    """Return what the files of pictures hold, by name."""
    return {name: file.read_bytes() for name, file in pictures.files().items()}


# 600 MB at 50 megapixels on two workers: the project's own bound. Read from the system's own accounting: proc(5) for
# the parent, whose getrusage(2) would count what the process that started it had held; getrusage for the workers.
MEASURED_RUN = """
import resource, sys
from pathlib import Path
from sitegen.engine.mapping import Executors
from sitegen.engine.workers import LocalWorkers
from sitegen.photos.making import make_pictures
from tests.photos.lots import engine_of, naming, store_of

if __name__ == "__main__":
    folder = Path(sys.argv[1])
    store = store_of(folder, naming(*sys.argv[2:]))
    with LocalWorkers(2) as workers, engine_of(folder) as engine:
        pictures, problems = make_pictures(store, engine, executors=Executors(workers, worth_workers=0.0))
    assert len(pictures.by_photo) == 2 and not problems
    status = dict(line.split(":", 1) for line in Path("/proc/self/status").read_text().splitlines())
    own, largest = int(status["VmHWM"].split()[0]), resource.getrusage(resource.RUSAGE_CHILDREN).ru_maxrss
    print(own + 2 * largest)
"""


def test_two_workers_at_fifty_megapixels_stay_under_six_hundred_megabytes(tmp_path):
    """The parent, and twice the larger worker, which is never less than both together."""
    files = ["one.jpg", "other.jpg"]
    large = a_scene((8160, 6120))
    for file in files:
        large.save(photos_folder(tmp_path) / file, quality=85, comment=file)
    command = [sys.executable, "-c", MEASURED_RUN, str(tmp_path), *files]
    finished = subprocess.run(command, cwd=REPOSITORY, capture_output=True, text=True, check=True)
    assert int(finished.stdout) < 600_000


def test_workers_judge_photos_as_they_are_judged_here(lot, tmp_path):
    (photos_folder(lot) / "b.jpg").write_bytes(b"no photo")
    (photos_folder(lot) / "link.jpg").symlink_to("a.jpg")
    store = store_of(lot, naming(*FILES, "link.jpg", "missing.jpg"))
    with LocalWorkers(2) as workers, engine_of(lot, tmp_path / "1") as here, engine_of(lot, tmp_path / "2") as far:
        usable, problems = judge_all(store, here)
        assert judge_all(store, far, Executors(workers, worth_workers=0.0)) == (usable, problems)
    assert [each.photo.file for each in usable] == ["a.jpg", "c.jpg"]
    assert len(problems) == 3

"""What was made is not made again, and what was interrupted, damaged or changed is."""

from __future__ import annotations

import os
import random
import signal
import subprocess
import sys
from pathlib import Path

import pytest

from sitegen.engine.workers import LocalWorkers
from sitegen.photos.making import judge_all, make_pictures
from sitegen.photos.memory import Memory
from sitegen.photos.opening.opening import judge_photo
from sitegen.photos.planning.pictures import Pictures
from sitegen.photos.planning.planning import PhotoFacts, plan_pictures
from tests.conftest import REPOSITORY
from tests.photos.lots import CountingWorkers, a_scene, grain, naming, photos_folder, store_of

FILES = ("a.jpg", "b.jpg", "c.jpg")


@pytest.fixture
def lot(tmp_path: Path) -> Path:
    """A store of one vehicle with three photos."""
    for number, file in enumerate(FILES):
        a_scene((300 + number, 200)).save(photos_folder(tmp_path) / file)
    return tmp_path


def build(lot: Path, *files: str, **changes) -> tuple[Pictures, int]:
    """Make the pictures of a store, and count the photos that were handed to a worker to be decoded."""
    with CountingWorkers() as workers:
        store = store_of(lot, naming(*(files or FILES), **changes))
        pictures, problems = make_pictures(store, lot / ".cache", lambda *_: None, workers)
    assert problems == ()
    return pictures, workers.asked


def test_a_second_run_decodes_nothing(lot):
    first, asked = build(lot)
    assert asked == 3
    second, asked = build(lot)
    assert asked == 0
    assert second == first


def test_a_photo_that_was_only_touched_is_not_decoded(lot):
    """A copy of the store has new times but the same bytes."""
    build(lot)
    os.utime(photos_folder(lot) / "a.jpg", (1, 1))
    assert build(lot)[1] == 0


def test_only_a_changed_photo_is_made_again(lot):
    """Even if the change leaves the file as long as it was, and its time of writing is set back."""
    before, _ = build(lot)
    path = photos_folder(lot) / "b.jpg"
    status = path.stat()
    content = bytearray(path.read_bytes())
    content[-20] ^= 1
    path.write_bytes(content)
    os.utime(path, ns=(status.st_atime_ns, status.st_mtime_ns))
    after, asked = build(lot)
    assert asked == 1
    assert after.of("K900", "a.jpg") == before.of("K900", "a.jpg")
    assert not set(after.of("K900", "b.jpg").names()) & set(before.of("K900", "b.jpg").names())


def test_another_cover_gives_other_pictures_under_other_names(lot):
    """Whoever kept a link to the uncovered picture must not find it under the same name."""
    before, _ = build(lot)
    after, asked = build(lot, cover=[{"x": 0.1, "y": 0.1, "w": 0.2, "h": 0.2}])
    assert asked == 3
    assert not set(after.files()) & set(before.files())


def test_a_picture_missing_cut_short_or_emptied_in_the_cache_is_made_again(lot):
    pictures, _ = build(lot)
    complete = {name: file.read_bytes() for name, file in pictures.files().items()}
    pictures.files()[pictures.of("K900", "a.jpg").full.name].unlink()
    pictures.files()[pictures.of("K900", "b.jpg").full.name].write_bytes(b"half")
    zeros = pictures.files()[pictures.of("K900", "c.jpg").full.name]
    zeros.write_bytes(bytes(zeros.stat().st_size))  # as a disk that lost power may leave it: as long as it was
    again, asked = build(lot)
    assert asked == 3
    assert {name: file.read_bytes() for name, file in again.files().items()} == complete


def test_a_copy_of_the_cache_with_new_times_is_trusted_by_the_digests_of_its_pictures(lot):
    pictures, _ = build(lot)
    for file in pictures.files().values():
        os.utime(file, (1_700_000_000, 1_700_000_000))
    assert build(lot)[1] == 0


def test_a_memory_damaged_anywhere_is_only_forgotten(lot):
    """A byte, a page or the end of its files: what it then says is what was written, or nothing."""
    build(lot)
    cache, dice = lot / ".cache", random.Random(7)
    whole = {file.name: file.read_bytes() for file in cache.glob("memory.sqlite*")}
    photo = photos_folder(lot) / "a.jpg"
    status, shown = photo.stat(), "vehicles/K900/photos/a.jpg"
    facts = judge_photo(photo.read_bytes(), "a.jpg")
    assert isinstance(facts, PhotoFacts)
    key = plan_pictures(facts, (), is_close_up=False).key
    with Memory(cache) as memory:
        made = memory.recall_made(key)
        assert (memory.recall_photo(shown, status), made is None) == (facts, False)
    forgotten = 0
    for _ in range(150):
        for leftover in cache.glob("memory.sqlite*"):
            leftover.unlink()
        content = bytearray(whole["memory.sqlite"])
        place, length = dice.randrange(len(content)), dice.choice((1, 1, 512))
        content[place : place + length] = dice.choice((bytes(length), dice.randbytes(length), b""))
        (cache / "memory.sqlite").write_bytes(content)
        with Memory(cache) as memory:
            assert memory.recall_photo(shown, status) in (facts, None)
            assert memory.recall_made(key) in (made, None)
            forgotten += memory.recall_made(key) is None
            memory.note_photos([(shown, status, facts)])
            assert memory.recall_photo(shown, status) == facts
    assert forgotten > 20


@pytest.mark.parametrize("content", [b"", b"this is no database at all, and never was one, whatever its name says"])
def test_a_damaged_memory_is_begun_anew(lot, content):
    before, _ = build(lot)
    (lot / ".cache/memory.sqlite").write_bytes(content)
    after, asked = build(lot)
    assert asked == 3
    assert after == before


def test_pictures_that_nobody_has_asked_for_in_a_month_are_thrown_away(lot):
    """And so is what a killed run left; what is in use stays however old it is, and what is new stays for a while."""
    pictures, _ = build(lot)
    half = lot / ".cache/pictures/.half-written.avif.4711"
    half.write_bytes(b"half")
    new = lot / ".cache/pictures/new.avif"
    new.write_bytes(b"made for a vehicle that is away for a day")
    long_ago = new.stat().st_mtime - 31 * 24 * 3600
    for file in (*pictures.files().values(), half):
        os.utime(file, (long_ago, long_ago))
    fewer, _ = build(lot, "a.jpg", "b.jpg")
    assert set((lot / ".cache/pictures").iterdir()) == {*fewer.files().values(), new}


def test_the_same_photo_under_two_names_is_decoded_once(lot):
    (photos_folder(lot) / "again.jpg").write_bytes((photos_folder(lot) / "a.jpg").read_bytes())
    pictures, asked = build(lot, "a.jpg", "again.jpg")
    assert asked == 1
    assert pictures.of("K900", "a.jpg") == pictures.of("K900", "again.jpg")


def test_the_same_bytes_whatever_the_order_and_the_workers(lot, tmp_path_factory):
    """Two processes in one order, one thread in the other: the same files, byte for byte."""
    backward = tmp_path_factory.mktemp("backward")
    for file in FILES:
        (photos_folder(backward) / file).write_bytes((photos_folder(lot) / file).read_bytes())
    with LocalWorkers(2) as two, CountingWorkers(1) as one:
        forward = make_pictures(store_of(lot, naming(*FILES)), lot / ".cache", lambda *_: None, two)[0]
        reverse = make_pictures(store_of(backward, naming(*FILES[::-1])), backward, lambda *_: None, one)[0]
    assert contents(forward) == contents(reverse)


def test_progress_is_told_for_each_photo_that_is_made(lot):
    told: list[tuple[int, int, str]] = []
    with CountingWorkers(1) as workers:
        store = store_of(lot, naming(*FILES))
        make_pictures(store, lot / ".cache", lambda *step: told.append(step), workers)
        make_pictures(store, lot / ".cache", lambda *step: told.append(step), workers)
    assert [(done, of) for done, of, _ in told] == [(1, 3), (2, 3), (3, 3)]
    assert {file for _, _, file in told} == {f"vehicles/K900/photos/{file}" for file in FILES}


KILLED_RUN = """
import sys
from pathlib import Path
from sitegen.photos.making import make_pictures
from tests.photos.lots import naming, store_of

if __name__ == "__main__":
    folder = Path(sys.argv[1])
    def told(done, of, file):
        print(done, flush=True)
        sys.stdin.read()
    make_pictures(store_of(folder, naming(*sys.argv[2:])), folder / ".cache", told)
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
    whole, _ = build_elsewhere(tmp_path, files)
    assert contents(pictures) == contents(whole)


def build_elsewhere(lot: Path, files: list[str]) -> tuple[Pictures, int]:
    """Make the pictures of the same photos with a cache that remembers nothing."""
    with CountingWorkers() as workers:
        pictures, _ = make_pictures(store_of(lot, naming(*files)), lot / "anew", lambda *_: None, workers)
    return pictures, workers.asked


def contents(pictures: Pictures) -> dict[str, bytes]:
    """Return what the files of pictures hold, by name."""
    return {name: file.read_bytes() for name, file in pictures.files().items()}


# 600 MB at 50 megapixels on two workers: the project's own bound. Read from the system's own accounting: proc(5) for
# the parent, whose getrusage(2) would count what the process that started it had held; getrusage for the workers.
MEASURED_RUN = """
import resource, sys
from pathlib import Path
from sitegen.photos.making import make_pictures
from sitegen.engine.workers import LocalWorkers
from tests.photos.lots import naming, store_of

if __name__ == "__main__":
    folder = Path(sys.argv[1])
    with LocalWorkers(2) as workers:
        pictures, problems = make_pictures(
            store_of(folder, naming(*sys.argv[2:])), folder / ".cache", lambda *_: None, workers
        )
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
    with LocalWorkers(2) as workers, Memory(tmp_path / "here") as here, Memory(tmp_path / "far") as far:
        usable, problems = judge_all(store, here)
        assert judge_all(store, far, workers, judged_here=0) == (usable, problems)
        assert [each.photo.file for each in usable] == ["a.jpg", "c.jpg"]
        assert len(problems) == 3
        assert far.noted_photos() == here.noted_photos() == {each.photo.shown_path for each in usable}
        path = photos_folder(lot) / "a.jpg"
        assert far.recall_photo("vehicles/K900/photos/a.jpg", path.stat()) == usable[0].facts

"""Random edits of a store from a fixed seed: records, photos, settings, prices, pages and theme."""

from __future__ import annotations

import os
import random
import re
import shutil
from pathlib import Path

from tests.builders import write_photo

NAMES = ("Ferrow Lane Used Vehicles", "Ferrow Lane", "The Lane")


def edit_at_random(store: Path, dice: random.Random) -> None:
    """Change one thing in a store. It stays one that can be built."""
    vehicle = dice.choice(sorted(path for path in (store / "vehicles").iterdir() if path.is_dir()))
    record = vehicle / "inspection.yaml"
    match dice.randrange(19):
        case 0:
            _put(record, r"price: \d+", f"price: {dice.randrange(3_000, 60_000, 50)}")
        case 1:
            _put(record, r"outer: \d/32 in", f"outer: {dice.randint(5, 9)}/32 in")
        case 2:
            _put(record, r"size: \d+ cm", f"size: {dice.randint(2, 40)} cm")
        case 3:
            _put(record, r"note: The left lens is .*", f"note: The left lens is {dice.choice(('cracked', 'dull'))}.")
        case 4:  # what is left out is told in another way than what is none
            text = record.read_text("utf-8")
            has_it = "\nadditions: []\n" in text
            record.write_text(
                text.replace("additions: []\n", "") if has_it else f"{text.rstrip()}\nadditions: []\n", "utf-8"
            )
        case 5:
            _put(record, r"status: .*", f"status: {dice.choice(('for sale', 'on hold'))}")
        case 6:
            write_photo(vehicle / "photos/front.jpg", (dice.randrange(600, 700, 16), 480))
        case 7:
            _put(store / "site.yaml", r"(?m)^name: .*", f"name: {dice.choice(NAMES)}")
        case 8:
            _put(store / "site.yaml", r"(?m)^demo: .*", dice.choice(("demo: true", "demo: true  # invented")))
        case 9:
            _put(store / "services.yaml", r"engine_oil: .*", f"engine_oil: {dice.randint(40, 90)}-95")
        case 10:
            page = store / "pages" / dice.choice(("about.md", "terms.md"))
            page.write_text(f"# Page {dice.randrange(9)}\n\nWords.\n", "utf-8")
        case 11:
            style = store / "theme/styles/own.css"
            style.parent.mkdir(parents=True, exist_ok=True)
            style.write_text(f"@layer components {{ .own {{ order: {dice.randrange(9)}; }} }}\n", "utf-8")
        case 12:
            _put(record, r"shows: The front.*", f"shows: The front of the vehicle, photo {dice.randrange(9)}.")
        case 13:
            os.utime(record)
        case 14:  # as many letters as before, and a time that is put back
            times = record.stat()
            _put(record, r"outer: \d/32 in", f"outer: {dice.randint(5, 9)}/32 in")
            os.utime(record, ns=(times.st_atime_ns, times.st_mtime_ns))
        case 15:
            named = re.search(r"file: (fog-light\S*)", record.read_text("utf-8"))
            assert named
            new = f"fog-light-{dice.randrange(100)}.jpg"
            (vehicle / "photos" / named[1]).rename(vehicle / "photos" / new)
            record.write_text(record.read_text("utf-8").replace(named[1], new), "utf-8")
        case 16:  # put back from a copy that kept its times
            copy = shutil.copytree(vehicle, vehicle.with_name(".copy"))
            shutil.rmtree(vehicle)
            copy.rename(vehicle)
        case 17:  # another photo, with the time of the one that it replaces
            photo, new_photo = vehicle / "photos/front.jpg", vehicle / "photos/.new.jpg"
            write_photo(new_photo, (dice.randrange(600, 700, 16), 480))
            shutil.copystat(photo, new_photo)
            new_photo.replace(photo)
        case 18:
            pass


def _put(file: Path, pattern: str, text: str) -> None:
    """Put a text where a pattern first stands."""
    written, count = re.subn(pattern, text, file.read_text("utf-8"), count=1)
    assert count, pattern
    file.write_text(written, "utf-8")

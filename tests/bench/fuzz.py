"""Bench `fuzz`: harm records, settings, price lists, photos, command lines, zips and films, and look for exceptions.

A harm of one value is known by its line, so a refusal is right if it names that line. Any exception is told with the
harm that led to it, and the bench fails.
"""

from __future__ import annotations

import argparse
import os
import random
import shutil
import tempfile
import time
import traceback
from collections import Counter
from collections.abc import Callable
from datetime import date
from pathlib import Path
from typing import Any

from sitegen.photos.deriving.deriving import derive
from sitegen.photos.opening.limits import photo_limits
from sitegen.photos.opening.opening import Fault, judge_photo
from sitegen.photos.planning.planning import plan_pictures
from sitegen.reading.every_vehicle import standards_of
from sitegen.reading.reference.figures import read_figures
from sitegen.reading.validation.record_files import read_file
from sitegen.reading.vehicle_files import INSPECTION, read_vehicle
from sitegen.records.money.prices import PriceList
from sitegen.records.problems import Problem, Severity
from sitegen.records.store import SiteSettings
from sitegen.shared_data import content_folder
from tests.bench.fuzz_commands import fuzz_commands, fuzz_films
from tests.conftest import REPOSITORY

DEMO = REPOSITORY / "demo_site"
DAY = date(2026, 11, 21)
HOSTILE = (
    *(
        "",
        "~",
        "yes",
        "-1",
        "1e999",
        ".nan",
        "0x10",
        "9" * 400,
        "[]",
        "{}",
        "[[[[[[[[",
        "{a: {b: {c: 1}}}",
        "&a [*a, *a]",
    ),
    *(
        "*none",
        "!!python/object:os.system {}",
        "!own x",
        "<script>alert(1)</script>",
        '"\\u202E\\u0000"',
        "'",
        '"',
        "|",
        ">",
    ),
    *(
        "2026-02-30",
        "0000-00-00",
        "99/0 in",
        "1/32",
        "-3 mm",
        "1e9 mi",
        "٣ mm",
        "½ in",
        "=1+1",
        "../../etc/passwd",
        "%s{0}",
    ),
    *(
        "\u00a0",
        "\ufeff",
        "\u2028",
        "\ud7ff",
        "a: b: c",
        "- - -",
        "? x",
        "@x",
        "`x`",
        "#",
        "x" * 5_000,
        "---",
        "...",
        "\t",
    ),
)
"""Values that have broken readers elsewhere, in the place of a good one."""


def harmed(text: str, dice: random.Random) -> tuple[str, int, bool]:
    """Return a text with one harm, the line that it is in, and whether it keeps to a value within that line."""
    lines = text.split("\n")
    number = dice.randrange(len(lines))
    line = lines[number]
    key, colon, _ = line.partition(": ")
    kind = dice.randrange(8)
    if kind < 3 and colon and "{" not in key:
        lines[number] = f"{key}: {dice.choice(HOSTILE)}"
        return "\n".join(lines), number + 1, True
    match kind:
        case 3:
            lines.pop(number)
        case 4:
            lines.insert(number, dice.choice(lines))
        case 5:
            lines[number] = " " * dice.randrange(8) + line.lstrip()
        case 6:
            lines[number : number + 1] = [
                key.replace(key.strip(), dice.choice(("unknown", "stock", "a b", "1"))) + ": x"
            ]
        case _:
            place = dice.randrange(len(line) + 1)
            sign = chr(
                dice.choice((0, 7, 9, 27, 34, 39, 44, 58, 91, 93, 123, 125, 0x202E, dice.randrange(32, 0xD7FF)))
            )
            lines[number] = line[:place] + sign + line[place + dice.randrange(2) :]
    return "\n".join(lines), number + 1, False


Reader = Callable[[str], tuple[Problem, ...]]
PARTS = ("records", "texts", "photos", "lines", "settings", "zips", "films")
"""Kinds of input. With `--only`, a long run can be done in portions."""


def run(arguments: argparse.Namespace) -> None:
    """Print what became of every kind; raise SystemExit if anything was worse than a refusal."""
    dice, many, failures = random.Random(arguments.seed), arguments.harms, list[str]()
    parts = arguments.only or PARTS
    print("| of | refused | taken | exceptions | without file and line | right line, of values | slowest |")
    print("| --- | --- | --- | --- | --- | --- | --- |")
    settings = read_file(SiteSettings, DEMO / "site.yaml", "site.yaml").record
    assert settings is not None
    with tempfile.TemporaryDirectory() as place:
        shutil.copytree(DEMO / "vehicles", Path(place) / "vehicles", copy_function=os.link)
        failures += fuzz_commands(Path(place), HOSTILE, many // 40, dice, parts)
        if "records" in parts:
            readers = [
                _file_in_vehicle(file, settings)
                for pattern in ("vehicles/*/inspection.yaml", "vehicles/*/visits/*.yaml")
                for file in sorted(Path(place).glob(pattern))
            ]
            failures += _texts("records and visits", readers, many, dice)
        for name, model in (("site.yaml", SiteSettings), ("services.yaml", PriceList)) if "texts" in parts else ():
            reader = (DEMO / name).read_text("utf-8"), _file_reader(model, Path(place) / name)
            failures += _texts(name, [reader], many // 40, dice)
        if "photos" in parts:
            failures += _photos(many // 10, dice)
        if "films" in parts:
            failures += fuzz_films(Path(place), many * 3 // 200, dice)
    if failures:
        raise SystemExit("\n\n".join(failures[:10]))


def _file_in_vehicle(file: Path, settings: SiteSettings) -> tuple[str, Reader]:
    """Return a record or a visit as text, and what reads another in its place: all checks of a vehicle, and its gate.

    The file is whole again afterwards, since the others of its vehicle are read with it.
    """
    # A library of pages has threads, so commands can no longer be forked once it is imported.
    from sitegen.commands.shared.gate_problems import holds_in_part
    from sitegen.pages.composing import speaker

    folder = next(parent for parent in file.parents if parent.parent.name == "vehicles")
    shown_as = f"vehicles/{folder.name}/{INSPECTION}"
    text = file.read_text("utf-8")
    file.unlink()  # it is the demo store's own under a second name
    file.write_text(text, "utf-8")
    standards, figures = standards_of(settings.region, DAY), read_figures(content_folder(), settings.region)
    say = speaker(settings, figures)("en")

    def read(harmed_text: str) -> tuple[Problem, ...]:
        file.write_bytes(harmed_text.encode("utf-8", "surrogatepass"))
        try:
            vehicle = read_vehicle(folder, shown_as, settings, standards)
            holds = holds_in_part(vehicle.sheet, figures, say) if vehicle.sheet is not None else ()
            return (*vehicle.problems, *holds)
        finally:
            file.write_text(text, "utf-8")

    return text, read


def _file_reader(model: Any, file: Path) -> Reader:
    def read(harmed_text: str) -> tuple[Problem, ...]:
        file.write_bytes(harmed_text.encode("utf-8", "surrogatepass"))
        return tuple(read_file(model, file, "harmed.yaml").problems)

    return read


def _texts(label: str, readers: list[tuple[str, Reader]], count: int, dice: random.Random) -> list[str]:
    seen, failures, slowest = Counter[str](), list[str](), 0.0
    for _ in range(count):
        whole, read = dice.choice(readers)
        text, line, is_value = harmed(whole, dice)
        began = time.process_time()
        try:
            problems = [one for one in read(text) if one.severity is Severity.ERROR]
        except Exception:  # whatever is raised is what is looked for
            failures.append(f"{label}: {text.split(chr(10))[line - 1][:200]!r}\n{traceback.format_exc()[-900:]}")
            continue
        slowest = max(slowest, time.process_time() - began)
        seen["refused" if problems else "taken"] += 1
        seen["placeless"] += any(not problem.file or problem.line < 1 for problem in problems)
        if problems and is_value:
            seen["values"] += 1
            # What a value opens and does not close is seen on the next line; a value that empties a key, at the key.
            is_right = any(abs(problem.line - line) <= 1 for problem in problems)
            seen["right"] += is_right
            if not is_right and seen["values"] - seen["right"] <= 5:
                harm = text.split("\n")[line - 1][:90]
                print(f"<!-- {label}: line {line}, {harm!r}: {problems[0].as_line()[:160]} -->", flush=True)
    right = f"{seen['right']} of {seen['values']}"
    told = f"{seen['refused']} | {seen['taken']} | {len(failures)} | {seen['placeless']} | {right} | {slowest:.2f} s"
    print(f"| {count:,} {label} | {told} |", flush=True)
    return failures


def _photos(count: int, dice: random.Random) -> list[str]:
    seen, failures, slowest = Counter[str](), [], 0.0
    sources = [path for path in sorted(DEMO.glob("vehicles/*/photos/*")) if path.stat().st_size < 400_000]
    for _ in range(count):
        source = dice.choice(sources)
        photo, began = _broken(bytearray(source.read_bytes()), dice), time.process_time()
        try:
            judged = judge_photo(photo, source.name, photo_limits().refuse)
            # Decoding is the costly part; one of ten tells as much of the decoder as is ours.
            if not isinstance(judged, Fault) and dice.randrange(10) == 0:
                derived = derive(photo, plan_pictures(judged))
                seen["refused" if isinstance(derived, Fault) else "taken"] += 1
            else:
                seen["refused" if isinstance(judged, Fault) else "taken"] += 1
        except Exception:  # as above
            failures.append(f"photo {source.name}:\n{traceback.format_exc()[-900:]}")
        slowest = max(slowest, time.process_time() - began)
    told = f"{seen['refused']} | {seen['taken']} | {len(failures)} | 0 | - | {slowest:.2f} s"
    print(f"| {count:,} photos | {told} |", flush=True)
    return failures


def _broken(photo: bytearray, dice: random.Random) -> bytes:
    place = dice.randrange(len(photo)) if dice.randrange(2) else dice.randrange(min(600, len(photo)))
    harms: tuple[Callable[[], object], ...] = (
        lambda: photo.__setitem__(place, dice.randrange(256)),
        lambda: photo.__delitem__(slice(place, None)),
        lambda: photo.__delitem__(slice(place, place + dice.randrange(1, 500))),
        lambda: photo.__setitem__(slice(place, place + 16), os.urandom(16)),
        lambda: photo.__setitem__(slice(place, place), photo[:place][-200:]),
        lambda: photo.__setitem__(slice(place, place + 4), b"\xff\xff\xff\xff"),
    )
    dice.choice(harms)()
    return bytes(photo)

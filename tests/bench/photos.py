"""Bench `photos`: time against a floor and against libvips, bytes against effort, and likeness to the photo.

The floor knows nothing of this project but the sizes and settings of its pictures: it decodes each photo with Pillow,
resizes and encodes, on all cores, and does nothing else. libvips does the same in its own way.
"""

from __future__ import annotations

import argparse
import io
import resource
import shutil
import tempfile
import time
from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from datetime import date
from pathlib import Path
from statistics import median

import numpy as np
import pillow_heif
from PIL import Image, ImageOps
from skimage.metrics import structural_similarity

from sitegen.engine.engine import Engine
from sitegen.engine.mapping import Executors
from sitegen.engine.workers import LocalWorkers
from sitegen.photos.making import make_pictures
from sitegen.photos.opening.finding import named_photos
from sitegen.photos.planning.recipe import (
    AVIF,
    FALLBACK_WIDTH,
    FULL_LONGEST,
    JPEG,
    WEBP,
    WIDEST_IN_A_ROW,
    Encoding,
)
from sitegen.reading.store import read_store
from sitegen.records.store import PictureSettings, Store
from tests.conftest import REPOSITORY
from tests.photos.lots import naming, photos_folder, store_of

pillow_heif.register_heif_opener()
DEMO = REPOSITORY / "demo_site"
WIDTHS = PictureSettings().widths
Named = tuple[Path, bool, bool]
"""A photo, whether it is a close-up, and whether it is its vehicle's first."""


@dataclass(frozen=True)
class Spent:
    """What a run took: seconds on the clock, seconds of processor time over all processes, and bytes written."""

    clock: float
    processor: float
    written: int


def run(arguments: argparse.Namespace) -> None:
    """Print all tables."""
    print_speed(arguments.photos)
    print_effort()
    print_likeness()


def print_speed(photos: int) -> None:
    """Print how long the demo store and a lot of synthetic photos take, cold and again, beside floor and libvips."""
    print("| photos | run | clock | processor | of the floor (processor) | pictures | decoded |")
    print("| --- | --- | --- | --- | --- | --- | --- |")
    with tempfile.TemporaryDirectory() as place:
        folder = Path(place)
        demo, _ = read_store(DEMO, date(2026, 11, 21))
        assert demo is not None
        print_speed_of("demo store", demo, folder / "demo")
        print_speed_of("12 megapixels", synthetic_store(folder / "synthetic", photos), folder / "made")


def print_speed_of(label: str, store: Store, place: Path) -> None:
    """Print the rows of one store."""
    photos = sorted({(photo.path, photo.is_close_up, photo.is_first) for photo in named_photos(store)})
    name = f"{len(photos)}, {label}"
    floor = spent(lambda: on_all_cores(floor_of, photos, place / "floor"), place / "floor")
    print_row(name, "floor (Pillow)", floor, floor, "-")
    decoded = [0]

    def make() -> None:
        def told(done: int, *_: object) -> None:
            decoded[0] = done

        decoded[0] = 0
        with Engine.opened(store.folder, date.max, print, place / "cache") as engine, LocalWorkers() as workers:
            make_pictures(store, engine, told, Executors(workers))

    cold = spent(make, place / "cache/files")
    print_row(name, "cold", cold, floor, str(decoded[0]))
    again = spent(make, place / "cache/files")
    print_row(name, "again", again, floor, str(decoded[0]))
    vips = spent(lambda: on_all_cores(vips_of, photos, place / "vips"), place / "vips")
    print_row(name, "libvips", vips, floor, "-")
    shutil.rmtree(place)


def print_row(photos: str, run_name: str, taken: Spent, floor: Spent, decoded: str) -> None:
    """Print one run."""
    share = f"{taken.processor / floor.processor:.2f}"
    times = f"{taken.clock:.1f} s | {taken.processor:.1f} s"
    print(f"| {photos} | {run_name} | {times} | {share} | {taken.written / 1e6:.1f} MB | {decoded} |", flush=True)


def spent(work: Callable[[], None], output: Path) -> Spent:
    """Return what a piece of work took. The clock also counts what else the machine does; processor time does not."""
    clock, processor = time.perf_counter(), processor_seconds()
    work()
    taken = (time.perf_counter() - clock, processor_seconds() - processor)
    return Spent(*taken, sum(file.stat().st_size for file in output.iterdir()))


def processor_seconds() -> float:
    """Return the processor time of this process and of its finished children."""
    used = [resource.getrusage(who) for who in (resource.RUSAGE_SELF, resource.RUSAGE_CHILDREN)]
    return sum(each.ru_utime + each.ru_stime for each in used)


def on_all_cores(work: Callable[[Path, bool, bool, Path], None], photos: list[Named], output: Path) -> None:
    """Do a piece of work on every photo, told whether it is a close-up, on one process for each core."""
    output.mkdir(parents=True)
    with LocalWorkers() as workers:
        for finished in [workers.submit(work, *photo, output) for photo in photos]:
            finished.result()


def outputs(width: int, height: int, is_first: bool) -> Iterator[tuple[int, tuple[Encoding, ...]]]:
    """Yield each width that is made of an upright photo, and the encodings it is made in."""
    full = round(width * min(1.0, FULL_LONGEST / max(width, height)))
    widths = [width for width in WIDTHS if is_first or width <= WIDEST_IN_A_ROW]
    for kept in sorted({min(each, full) for each in (*widths, FALLBACK_WIDTH, FULL_LONGEST)}):
        of_sources = kept in {min(each, full) for each in widths}
        as_jpeg = kept in (full, min(FALLBACK_WIDTH, full))
        yield kept, ((AVIF,) if of_sources else ()) + ((JPEG,) if as_jpeg else ())


def floor_of(photo: Path, is_close_up: bool, is_first: bool, output: Path) -> None:
    """Decode, resize and encode with Pillow, and nothing else."""
    with Image.open(photo) as opened:
        image = ImageOps.exif_transpose(opened).convert("RGB")
    image.info = {}
    for width, encodings in outputs(*image.size, is_first):
        height = round(image.height * width / image.width)
        sized = image if width == image.width else image.resize((width, height), Image.Resampling.LANCZOS)
        for encoding in encodings:
            made = output / f"{photo.parent.parent.name}-{photo.stem}-{width}.{encoding.extension}"
            made.write_bytes(encoding.write(sized, encoding.quality_for(width, is_close_up)))


def vips_of(photo: Path, is_close_up: bool, is_first: bool, output: Path) -> None:
    """Do the same with libvips, with its settings as near as they come: effort is 9 less the speed."""
    import pyvips

    if photo.suffix == ".heic":  # what is bundled for benches reads no HEIC
        image = pyvips.Image.new_from_array(np.asarray(upright(photo)))
    else:
        image = pyvips.Image.new_from_file(str(photo)).autorot().icc_transform("srgb", embedded=True).copy_memory()
    for width, encodings in outputs(image.width, image.height, is_first):
        sized = image.resize(width / image.width) if width < image.width else image
        for encoding in encodings:
            made = str(output / f"{photo.parent.parent.name}-{photo.stem}-{width}.{encoding.extension}")
            quality = encoding.quality_for(width, is_close_up)
            if encoding is AVIF:
                sized.heifsave(made, Q=quality, compression="av1", effort=9 - int(AVIF.options["speed"]), keep="none")
            else:
                sized.jpegsave(made, Q=quality, interlace=True, optimize_coding=True, keep="none")


def synthetic_store(folder: Path, photos: int) -> Store:
    """Write photos of 12 megapixels, each different: the demo store's, enlarged, with a sensor's noise over them."""
    sources = sorted(DEMO.glob("vehicles/*/photos/*.jpg"))
    noise = np.random.default_rng(12)
    size = (4032, 3024)
    grain = noise.integers(-5, 6, (size[1] + 64, size[0] + 64, 1), dtype=np.int16)
    files = [f"{number:03}.jpg" for number in range(photos)]
    for number, file in enumerate(files):
        with Image.open(sources[number % len(sources)]) as source:
            scene = ImageOps.fit(source.convert("RGB"), size, Image.Resampling.BICUBIC)
        moved = grain[number % 64 :, number // 64 :][: size[1], : size[0]]
        pixels = np.clip(np.asarray(scene, dtype=np.int16) + moved, 0, 255).astype(np.uint8)
        Image.fromarray(pixels).save(photos_folder(folder) / file, quality=92)
    return store_of(folder, naming(*files))


def print_effort() -> None:
    """Print time against bytes for the efforts that each format offers, on the demo store's photos from the side."""
    photos = [upright(path) for path in sorted(DEMO.glob("vehicles/*/photos/side-*.jpg"))]
    sized = [resized(photo, width) for photo in photos for width in (640, 1280)]
    print("\n| encoder | processor, one photo at 640 and 1280 | bytes |")
    print("| --- | --- | --- |")
    tried = [(AVIF, "speed", step) for step in (6, 7, 8, 9, 10)] + [(WEBP, "method", step) for step in (0, 2, 4, 6)]
    for encoding, option, step in tried:
        other = replace(encoding, options={**encoding.options, option: step})
        before = time.process_time()
        size = sum(len(other.write(image, other.quality_for(image.width, is_close_up=True))) for image in sized)
        seconds = (time.process_time() - before) / len(photos)
        chosen = " (chosen)" if encoding.options[option] == step else ""
        print(
            f"| {encoding.format} {option} {step}{chosen} | {seconds:.2f} s | {size / len(photos) / 1e3:.1f} kB |",
            flush=True,
        )


def print_likeness() -> None:
    """Print how like the pictures of the demo store's close-ups are to the upright photos at the same size."""
    photos = [upright(path) for path in close_ups()]
    print(f"\n| width | format | likeness, median of {len(photos)} close-ups | least | bytes, mean |")
    print("| --- | --- | --- | --- | --- |")
    for width in WIDTHS:
        sized = [resized(photo, width) for photo in photos]
        for encoding in (AVIF, WEBP, JPEG):
            quality = encoding.quality_for(width, is_close_up=True)
            written = [encoding.write(image, quality) for image in sized]
            found = [likeness(image, made) for image, made in zip(sized, written, strict=True)]
            mean = sum(map(len, written)) / len(written) / 1e3
            print(
                f"| {width} | {encoding.format} | {median(found):.3f} | {min(found):.3f} | {mean:.1f} kB |",
                flush=True,
            )


def close_ups() -> list[Path]:
    """Return the photos of the demo store that prove a defect."""
    demo, _ = read_store(DEMO, date(2026, 11, 21))
    assert demo is not None
    return sorted({photo.path for photo in named_photos(demo) if photo.is_close_up})


def likeness(photo: Image.Image, made: bytes) -> float:
    """Return the structural similarity of luma, with the weights of Wang et al. (2004)."""
    with Image.open(io.BytesIO(made)) as picture:
        pair = [np.asarray(image.convert("L")) for image in (photo, picture)]
    similarity = structural_similarity(
        *pair, data_range=255, gaussian_weights=True, sigma=1.5, use_sample_covariance=False
    )
    return float(similarity)


def upright(path: Path) -> Image.Image:
    """Return a photo as it was seen."""
    with Image.open(path) as photo:
        return ImageOps.exif_transpose(photo).convert("RGB")


def resized(photo: Image.Image, width: int) -> Image.Image:
    """Return a photo at a width, never enlarged."""
    width = min(width, photo.width)
    return photo.resize((width, round(photo.height * width / photo.width)), Image.Resampling.LANCZOS)

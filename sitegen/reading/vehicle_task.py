"""The task that reads one vehicle's folder, and the inputs that it shares with other tasks."""

from __future__ import annotations

import json
from dataclasses import asdict, dataclass, replace
from functools import cache, cached_property
from pathlib import Path
from typing import Any

from sitegen.engine.reader import Reader
from sitegen.engine.task import Codec, Input, task
from sitegen.reading.checks.sheet import Standards
from sitegen.reading.reference.figures import read_figures, read_region
from sitegen.reading.reference.vocabulary import read_plausible, read_vocabulary
from sitegen.reading.validation.record_files import read_file
from sitegen.reading.vehicle_files import INSPECTION, VehicleFiles, Written, read_vehicle
from sitegen.reading.video.film_files import FOLDER as FILM
from sitegen.reading.visits import VISITS
from sitegen.records.figures import Figures, OdometerExemption
from sitegen.records.film import ClipFiles, Cue
from sitegen.records.problems import Problem, Severity
from sitegen.records.reference import PlausibleFigures, Vocabulary
from sitegen.records.store import Region, SiteSettings
from sitegen.records.vehicle_record import VehicleRecord
from sitegen.records.visits.current import current_record
from sitegen.records.visits.visit import VISIT, Visit
from sitegen.shared_data import content_folder


@dataclass(frozen=True)
class _Reference:
    """The reference figures that records are checked against."""

    vocabulary: Vocabulary
    plausible: PlausibleFigures
    exemption: OdometerExemption | None


@cache
def _reference(region: str) -> _Reference:
    content = content_folder()
    exemption = read_region(content, Region(region)).odometer_exemption if region else None
    return _Reference(read_vocabulary(content), read_plausible(content), exemption)


def reference_places(_store: Path, _key: str) -> list[Path]:
    """Return the files and folders of reference figures."""
    content = content_folder()
    return [content / "reference", *sorted(content.glob("*/dangers.yaml"))]


SETTINGS: Input[SiteSettings | None] = Input(
    "settings",
    lambda store, _: [store / "site.yaml"],
    lambda store, _: read_file(SiteSettings, store / "site.yaml", "site.yaml").sound_part,
)
"""The valid part of `site.yaml`."""
REFERENCE: Input[_Reference] = Input("reference", reference_places, lambda _, region: _reference(region))
"""The standards that records are checked against, by region."""
FIGURES: Input[Figures] = Input(
    "figures", reference_places, lambda _, region: read_figures(content_folder(), Region(region))
)
"""The figures that records are judged by, by region."""


@dataclass(frozen=True)
class VehicleResult:
    """The part of a vehicle's files that is stored. A vehicle with an error is read again each time."""

    written: Written | None
    """The first inspection and the visits. None if the files have an error."""
    problems: tuple[Problem, ...] = ()
    photos: tuple[tuple[str, bool], ...] = ()
    clips: tuple[ClipFiles, ...] = ()
    """Their paths are relative to the vehicle's folder, since a store may be moved or copied with its cache."""

    @cached_property
    def record(self) -> VehicleRecord | None:
        """The current record after all visits. None if the files have an error."""
        return None if self.written is None else current_record(self.written.first, self.written.visits).record


def _encode(found: VehicleResult) -> bytes:
    written = found.written
    values = {
        "first": None if written is None else written.first.model_dump_json(exclude_unset=True),
        "visits": {} if written is None else {name: _as_json(visit) for name, visit in written.visits.items()},
        "problems": [problem.as_mapping() for problem in found.problems],
        "photos": found.photos,
        "clips": [asdict(clip) for clip in found.clips],
    }
    return json.dumps(values, ensure_ascii=False, default=str).encode("utf-8", "surrogatepass")


def _decode(content: bytes) -> VehicleResult:
    values = json.loads(content.decode("utf-8", "surrogatepass"))
    problems = tuple(Problem(**{**each, "severity": Severity(each["severity"])}) for each in values["problems"])
    if values["first"] is None:
        return VehicleResult(None, problems)
    visits = {name: VISIT.model_validate_json(text) for name, text in values["visits"].items()}
    written = Written(VehicleRecord.model_validate_json(values["first"]), visits)
    photos = tuple((file, is_link) for file, is_link in values["photos"])
    return VehicleResult(written, problems, photos, tuple(map(_clip, values["clips"])))


def _as_json(visit: Visit) -> str:
    return visit.model_dump_json(exclude_unset=True)


def _clip(values: dict[str, Any]) -> ClipFiles:
    captions = {language: tuple(Cue(**cue) for cue in cues) for language, cues in values["captions"].items()}
    return ClipFiles(Path(values["path"]), captions)


def _within(clip: ClipFiles, folder: Path) -> ClipFiles:
    return replace(clip, path=clip.path.relative_to(folder))


@task(Codec(_encode, _decode), seconds=0.015, megabytes=1.0, is_near=True)
def vehicle_result(read: Reader, folder_name: str) -> VehicleResult:
    """Read a vehicle's folder, and check its record with its visits and its film."""
    shown_as = f"vehicles/{folder_name}/{INSPECTION}"
    folder = read.file(shown_as).parent
    read.tree(f"vehicles/{folder_name}/{VISITS}")
    for part in ("photos", FILM):
        names = read.names(f"vehicles/{folder_name}/{part}")
    for name, _ in names:
        if name.lower().endswith(".vtt"):
            read.file(f"vehicles/{folder_name}/{FILM}/{name}")
    settings = read.parts(SETTINGS)
    region = None if settings is None else settings.region
    reference = read.input(REFERENCE, "" if region is None else region.value)
    standards = Standards(read.today, region, reference.vocabulary, reference.plausible, reference.exemption)
    found = read_vehicle(folder, shown_as, settings, standards)
    if found.record is None or found.has_error:
        return VehicleResult(None)
    photos = tuple(found.sheet.photos.items()) if found.sheet is not None else ()
    clips = tuple(_within(clip, folder) for clip in found.clips)
    return VehicleResult(found.written, found.problems, photos, clips)


def vehicle_files(found: VehicleResult, folder: Path, standards: Standards) -> VehicleFiles | None:
    """Return a stored result in the form in which it is read from a folder. None for a vehicle with an error."""
    if found.record is None:
        return None
    clips = tuple(replace(clip, path=folder / clip.path) for clip in found.clips)
    return VehicleFiles.of(folder, found.record, dict(found.photos), standards, clips, found.problems)

"""Checks of names in a record: check points, kinds of defect, services, renewed parts, ids of defects."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from difflib import get_close_matches

from sitegen.reading.checks.sheet import Sheet
from sitegen.reading.validation.did_you_mean import LIKENESS_OF_NAMES, did_you_mean, listed
from sitegen.reading.yaml.tree import KeyPath
from sitegen.records.disclosure import CheckNote, CheckResult, Promise, Work
from sitegen.records.problems import Problem, Severity
from sitegen.records.reference import DefectKind
from sitegen.records.vehicle import Wheel
from sitegen.records.wear import Brakes

_SAME_WORD_MISSPELT = 0.8
"""Likeness, 0 to 1, from which a word counts as a misspelling of another and not as a different word."""


def check_names(sheet: Sheet) -> Iterator[Problem]:
    """Yield an error for each unknown name, and a warning for each name that does not apply to this vehicle."""
    yield from _check_points(sheet)
    yield from _check_kinds(sheet)
    yield from _check_services(sheet)
    yield from _check_renewals(sheet)


def check_defect_ids(sheet: Sheet) -> Iterator[Problem]:
    """Yield an error for each defect id that an earlier defect in the list already has."""
    first: dict[str, KeyPath] = {}
    for number, defect in enumerate(sheet.record.defects):
        path: KeyPath = ("defects", number, "id")
        if first.setdefault(defect.id, path) != path:
            found = f"{defect.id} again, first on line {sheet.marks.value_place(first[defect.id]).line}"
            yield sheet.marks.problem(path, "another id for each defect", "add the place to one of them", found=found)


def check_references(sheet: Sheet) -> Iterator[Problem]:
    """Yield an error for each reference to an unknown defect id, and a warning for each defect without a photo."""
    if sheet.may_lack("defects"):
        return
    ids = list(sheet.record.defects_ever())
    named: list[tuple[KeyPath, str]] = []
    for path, work in _works(sheet):
        named += [((*path, "settles", place), settled) for place, settled in enumerate(work.settles)]
    for point, check in sheet.record.checks.items():
        if isinstance(check, CheckNote) and check.defect is not None:
            named.append((("checks", point, "defect"), check.defect))
    for path, name in named:
        if name not in ids:
            mend = did_you_mean(name, ids, "list the defect under defects, or leave this out", LIKENESS_OF_NAMES)
            yield sheet.marks.problem(path, "the id of a defect of this vehicle", mend)
    for number, defect in enumerate(sheet.record.defects):
        if not defect.photos:
            found, expected = f"{defect.id}, which no photo shows", "a photo of it close, and one from afar"
            path = ("defects", number, "id")
            yield sheet.marks.problem(path, expected, "add photos", found=found, severity=Severity.WARNING)


def _check_points(sheet: Sheet) -> Iterator[Problem]:
    vocabulary, vehicle = sheet.standards.vocabulary, sheet.record.vehicle
    traits = {vehicle.fuel.value, vehicle.drive.value, vehicle.body.value}
    for point, check in sheet.record.checks.items():
        path, found = ("checks", point), f'the key "{point}"'
        check_point = vocabulary.check_points.get(point)
        if check_point is None:
            mend = did_you_mean(point, vocabulary.check_points, "`sitegen help checks` lists them")
            yield sheet.marks.problem(path, "a check point that sitegen knows", mend, found=found, at_key=True)
        elif not check_point.applies_to(traits) and check is not CheckResult.NOT_FITTED:
            where = listed(check_point.only_for) if check_point.only_for else f"not {listed(check_point.not_for)}"
            expected = f"this check point only where it applies ({where})"
            mend = "leave it out, or check fuel, drive and body"
            yield sheet.marks.problem(path, expected, mend, found=found, at_key=True, severity=Severity.WARNING)


def _check_kinds(sheet: Sheet) -> Iterator[Problem]:
    vocabulary = sheet.standards.vocabulary
    for number, defect in enumerate(sheet.record.defects):
        if defect.kind not in vocabulary.defect_kinds:
            mend = _mend_kind(defect.kind, vocabulary.defect_kinds)
            expected = "a kind of defect that sitegen knows (`sitegen help kinds` lists them)"
            yield sheet.marks.problem(("defects", number, "kind"), expected, mend)


def _mend_kind(written: str, kinds: Mapping[str, DefectKind]) -> str:
    """Return the advice for an unknown kind of defect.

    It names the kinds that have the word as a synonym, else the kind nearest in spelling, else `other`.
    """
    plain = written.casefold().strip()
    synonyms_of = [kind for kind, about in kinds.items() if plain in about.also]
    if len(synonyms_of) > 1:
        return f"write {listed(synonyms_of)}, whichever it is"
    if synonyms_of:
        return f'did you mean "{synonyms_of[0]}"?'
    near = get_close_matches(plain, kinds, n=1, cutoff=_SAME_WORD_MISSPELT)
    return f'did you mean "{near[0]}"?' if near else "write other, and say more in words"


def _check_services(sheet: Sheet) -> Iterator[Problem]:
    vocabulary, fuel = sheet.standards.vocabulary, sheet.record.vehicle.fuel
    for number, entry in enumerate(sheet.record.services):
        path = ("services", number, "service")
        if entry.service not in vocabulary.services:
            mend = did_you_mean(entry.service, vocabulary.services, "`sitegen help services` lists them")
            yield sheet.marks.problem(path, "a service that sitegen knows", mend)
        elif entry.service in vocabulary.services_not_for.get(fuel, ()):
            expected = f"a service of a vehicle whose fuel is {fuel.value}"
            yield sheet.marks.problem(path, expected, "check the service and the fuel", severity=Severity.WARNING)


def _check_renewals(sheet: Sheet) -> Iterator[Problem]:
    parts = [f"tires.{wheel}" for wheel in Wheel]
    parts += [f"brakes.{wheel}" for wheel in Brakes.model_fields]
    services = [f"services.{service}" for service in sheet.standards.vocabulary.services]
    points = [f"checks.{point}" for point in sheet.standards.vocabulary.check_points]
    accepted = [*parts, "tires", "brakes", "battery", "traction_battery", *services, *points]
    for path, work in _works(sheet):
        for place, renewed in enumerate(work.renews):
            if renewed not in accepted:
                expected = (
                    "a part (tires.left_front, brakes.left_front, battery), a service (services.engine_oil)"
                    " or a check point (checks.brake_lines)"
                )
                mend = did_you_mean(renewed, accepted, "name what is new; see `sitegen help services` and `checks`")
                yield sheet.marks.problem((*path, "renews", place), expected, mend)


def _works(sheet: Sheet) -> Iterator[tuple[KeyPath, Work | Promise]]:
    for number, work in enumerate(sheet.record.work_done):
        yield ("work_done", number), work
    for number, promise in enumerate(sheet.record.before_delivery):
        yield ("before_delivery", number), promise

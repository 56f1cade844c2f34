"""Compare the site to be published with earlier publications.

Find what was removed without a reason, and list the changes and versions that pages and the feed show.
"""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from functools import cached_property
from hashlib import sha256
from zoneinfo import ZoneInfo

from sitegen.commands.shared.problem_places import marks_of
from sitegen.ledger.differences.changes import Facts
from sitegen.ledger.differences.removed_disclosures import Loss, removed_disclosures
from sitegen.ledger.differences.warned_changes import warned_changes
from sitegen.ledger.ledger_files import facts_of
from sitegen.ledger.lines import Line
from sitegen.ledger.revisions import day_of, lines_by_vehicle
from sitegen.ledger.version_history import PublishedVersion, published_changes, published_versions
from sitegen.reading.validation.did_you_mean import did_you_mean
from sitegen.reading.yaml.marks import Marks
from sitegen.records.problems import Problem, Severity
from sitegen.records.store import Store
from sitegen.records.vehicle import Status
from sitegen.records.vehicle_record import PublishedChange, VehicleRecord


@dataclass(frozen=True)
class Before:
    """The ledger's lines of a store, and the day of the build."""

    store: Store
    lines: Sequence[Line]
    today: date

    def gone(self, facts: Mapping[str, bytes]) -> Iterator[Problem]:
        """Yield a problem for each disclosure that was removed, reduced or improved without a reason.

        It is compared with the last publication. Changes that do not block the build are yielded as warnings.
        """
        for vehicle in self.store.vehicles:
            about = self._published(vehicle.record)
            # The facts are loaded on access, so they are not read for a vehicle that the ledger does not mention.
            now = facts.get(vehicle.record.stock) if about else None
            if now is None or sha256(now).hexdigest() == about[-1].record:
                continue
            kept = self._facts_of(about[-1])
            if kept is None:
                continue
            told, since = json.loads(now), day_of(about[-1], self._zone)
            found = [(loss, Severity.ERROR) for loss in removed_disclosures(kept, told)]
            found += [(loss, Severity.WARNING) for loss in warned_changes(kept, told)]
            if found:
                marks, path = marks_of(vehicle).located(("history",))
                place = marks.value_place(path)
                for loss, severity in found:
                    yield self._problem(loss, severity, since, (marks.file, place.line, place.column))
        yield from self._withdrawn(facts)

    def _problem(self, loss: Loss, severity: Severity, since: date, place: tuple[str, int, int]) -> Problem:
        found = f"{loss.about} differs from what was published on {since}: {loss.words}"
        if severity is Severity.WARNING:
            expected, mend = "what was published", "restore it, if it should not have changed; the ledger has it"
        else:
            expected = "the reason for the change"
            mend = (
                f"restore the value, or give the reason in history: {{on: {self.today}, what: ..., "
                f"about: [{loss.about}]}}; list renewed parts under work_done"
            )
        return Problem(*place, "history", found, expected, mend, severity)

    def all_unknown_corrections(self) -> Iterator[Problem]:
        """Yield the unknown corrections of every vehicle."""
        for vehicle in self.store.vehicles:
            if any(event.about for event in vehicle.record.history):
                yield from self.unknown_corrections(vehicle.record, marks_of(vehicle))

    def unknown_corrections(self, record: VehicleRecord, marks: Marks) -> Iterator[Problem]:
        """Yield an error for each defect that an event in `history` corrects and that nobody ever noted or published.

        A defect that was noted by mistake is no longer in the record, so the published records are searched too.
        """
        ids = set(record.defects_ever())
        for number, event in enumerate(record.history):
            for place, about in enumerate(event.about):
                kind, _, path = about.partition(".")
                name = path.partition(".")[0]
                if kind != "defects" or not name or name in ids:
                    continue
                ids |= self._defects_published(record)
                if name not in ids:
                    mend = did_you_mean(name, ids, "name a defect that the page showed, or leave this out")
                    expected = "defects. and the id of a defect that this vehicle has or had"
                    yield marks.problem(("history", number, "about", place), expected, mend)

    def _defects_published(self, record: VehicleRecord) -> set[str]:
        facts = (self._facts_of(line) for line in self._published(record))
        looks = [look for each in facts if each is not None for look in (each, *each.get("earlier_inspections", ()))]
        return {str(defect.get("id")) for look in looks for defect in look.get("defects") or () if defect != "none"}

    def _withdrawn(self, facts: Mapping[str, bytes]) -> Iterator[Problem]:
        """Yield a warning for each vehicle that was published unsold and is no longer on the site."""
        vins = {vehicle.record.vin for vehicle in self.store.vehicles if vehicle.record.stock in facts}
        present = {vehicle.record.stock for vehicle in self.store.vehicles}
        for stock, about in self._by_vehicle.items():
            last = about[-1]
            is_left_out = stock not in present and (self.store.folder / "vehicles" / stock).is_dir()
            if last.record is None or stock in facts or last.vin in vins or is_left_out:
                continue
            kept = self._facts_of(last)
            if kept is not None and kept.get("status") != Status.SOLD:
                since = day_of(last, self._zone)
                found = f"no page of {stock}, which was published on {since}: {kept.get('status')}"
                mend = f"restore its folder; if it was sold, then run: sitegen status STORE {stock} sold"
                yield Problem(
                    f"vehicles/{stock}", 0, 0, "", found, "the vehicle, or its sale", mend, Severity.WARNING
                )

    def versions(self, record: VehicleRecord, digest: str) -> tuple[PublishedVersion, ...]:
        """Return all versions of a vehicle's disclosure, oldest first. The last one has the SHA-256 `digest`."""
        return published_versions(self._about(record), digest, self.today, self._zone)

    def past(self, facts: Mapping[str, bytes]) -> dict[str, tuple[PublishedChange, ...]]:
        """Return each vehicle's published changes for the feed, by stock."""
        found = {}
        for vehicle in self.store.vehicles:
            now, about = facts.get(vehicle.record.stock), self._about(vehicle.record)
            if now is not None and about:
                told = published_changes(about, self._facts_of, now, self.today, self._zone)
                if told:
                    found[vehicle.record.stock] = told
        return found

    def renamed(self, facts: Mapping[str, bytes]) -> dict[str, str]:
        """Return the new stock number of each vehicle that the ledger lists under another one, by the old number.

        Vehicles are matched by VIN.
        """
        now = {vehicle.record.vin: vehicle.record.stock for vehicle in self.store.vehicles}
        return {
            line.stock: now[line.vin]
            for line in self.lines
            if line.stock is not None and line.vin in now and line.stock not in facts and now[line.vin] in facts
        }

    @cached_property
    def _zone(self) -> ZoneInfo:
        return ZoneInfo(self.store.settings.time_zone)

    @cached_property
    def _by_vehicle(self) -> Mapping[str, tuple[Line, ...]]:
        return lines_by_vehicle(self.lines)

    @cached_property
    def _left(self) -> Mapping[str | None, tuple[Line, ...]]:
        """Return the ledger lines of each vehicle whose stock number the store no longer has, by VIN.

        Of two without a VIN, only the last is in it.
        """
        present = {vehicle.record.stock for vehicle in self.store.vehicles}
        return {about[-1].vin: about for stock, about in self._by_vehicle.items() if stock not in present}

    def _published(self, record: VehicleRecord) -> tuple[Line, ...]:
        """Return the lines of a vehicle that disclose a record.

        A vehicle that returns to the site is compared with those too.
        """
        return tuple(line for line in self._about(record) if line.record is not None)

    def _about(self, record: VehicleRecord) -> tuple[Line, ...]:
        """Return the lines of a vehicle. A vehicle with a new stock number is found by its VIN."""
        return self._by_vehicle.get(record.stock) or self._left.get(record.vin, ())

    def _facts_of(self, line: Line) -> Facts | None:
        return facts_of(self.store.folder, line) if line.record is not None else None


def stocks(lines: Sequence[Line]) -> frozenset[str]:
    """Return every stock number in the ledger."""
    return frozenset(line.stock for line in lines if line.stock is not None)


def addresses(lines: Sequence[Line]) -> set[str]:
    """Return the address of every page in the ledger."""
    return {page for line in lines for page in line.all_pages}

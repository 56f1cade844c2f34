"""The views that a vehicle's page and its printed sheets share, in one language. Each is built on first access."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

from sitegen.condition.basis.findings import Condition, TermsFinding
from sitegen.pages.frame.addresses import Address
from sitegen.pages.language.translator import Fact, Text, Translator
from sitegen.pages.vehicle.defects.defects import StationDefects, defects_by_station
from sitegen.pages.vehicle.defects.standing import damage_words
from sitegen.pages.vehicle.disclosure import QuietStations, StationChecks, checks_by_station, papers, quiet_stations
from sitegen.pages.vehicle.identity import Identity, identity
from sitegen.pages.vehicle.measured.batteries_fluids_paint import Panel, panels
from sitegen.pages.vehicle.measured.how_known import inspected
from sitegen.pages.vehicle.measured.tires_and_brakes import WheelSet, brake_set, tire_set
from sitegen.photos.planning.pictures import Pictures
from sitegen.records.reference import Vocabulary
from sitegen.records.vehicle_record import VehicleRecord


@dataclass(frozen=True)
class VehicleViews:
    """A vehicle with its findings, and the shared views of it."""

    record: VehicleRecord
    condition: Condition
    pictures: Pictures
    vocabulary: Vocabulary
    translator: Translator
    page: Address
    """The address of the vehicle's page. Its sheets are in the same folder, so relative links are the same."""

    @cached_property
    def identity(self) -> Identity:
        """Name, kind, price, odometer reading and terms."""
        return identity(self.record, self.translator)

    @cached_property
    def damages(self) -> tuple[str, ...]:
        """A sentence for each damage that is not repaired."""
        return damage_words(self.condition, self.translator)

    @cached_property
    def first_words(self) -> tuple[Text, ...]:
        """The gate's sentences, which come before everything else."""
        return self.translator.tell_sentences(self.condition.gate.first_words)

    @cached_property
    def inspected(self) -> Text:
        """The sentence about the inspection: day, odometer reading and inspector."""
        return inspected(self.record, self.translator)

    @cached_property
    def tires(self) -> WheelSet:
        """The tires of all wheels."""
        return tire_set(self.record, self.condition, self.translator)

    @cached_property
    def brakes(self) -> WheelSet:
        """The brakes of all wheels."""
        return brake_set(self.record, self.condition, self.translator)

    @cached_property
    def panels(self) -> tuple[Panel, ...]:
        """Batteries, fluids, paint and other measurements."""
        return panels(self.record, self.condition, self.translator)

    @cached_property
    def defects(self) -> tuple[StationDefects, ...]:
        """Every defect, grouped by station."""
        return defects_by_station(self.record, self.condition, self.pictures, self.page, self.translator)

    @cached_property
    def quiet(self) -> QuietStations:
        """The sentences about stations without findings."""
        return quiet_stations(self.record, self.vocabulary, self.translator)

    @cached_property
    def checks(self) -> tuple[StationChecks, ...]:
        """Every check point, grouped by station."""
        return checks_by_station(self.record, self.vocabulary, self.translator)

    @cached_property
    def window_form(self) -> str:
        """The name of the document that is binding for the terms of sale: the window form, or the contract."""
        has_form = all(finding.has_window_form for finding in self.condition.of(TermsFinding))
        return self.translator.say("papers.window_form" if has_form else "papers.no_window_form")

    @cached_property
    def papers(self) -> tuple[Fact, ...]:
        """Title, recalls and odometer statement."""
        return papers(self.record, self.condition, self.translator)

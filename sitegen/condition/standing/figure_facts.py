"""Turn a figure of the record into a standing fact, by its rule in `standing.yaml`."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from sitegen.condition.basis.facts import FactKind, FactPlace, Harm, HowKnown, Path, StandingFact
from sitegen.condition.basis.values import Said
from sitegen.condition.standing.repairs import is_repair, promises_about
from sitegen.condition.standing.seen import noted
from sitegen.condition.standing.words import is_called_harmless
from sitegen.records.disclosure import Station
from sitegen.records.figures import Figures
from sitegen.records.standing.rules import FigureRule, Rule
from sitegen.records.vehicle import Wheel
from sitegen.records.vehicle_record import VehicleRecord


@dataclass(frozen=True)
class FigureFact:
    """A figure at or past a limit: its rule, its path in the record, and its sentence."""

    rule: FigureRule
    path: Path
    said: Said
    wheel: Wheel | None = None
    harm: Harm = Harm.CAN_HURT


@dataclass(frozen=True)
class Figured:
    """Makes standing facts of the figures of one inspection."""

    record: VehicleRecord
    figures: Figures

    def facts(self, found: FigureFact, part: str) -> Iterator[StandingFact]:
        """Yield the fact about a figure, unless its part was replaced or `harmless` gives a reason against it."""
        if is_replaced(self.record, part, self.figures, ".".join(map(str, found.path))):
            return
        if found.rule.rule is Rule.QUESTION and is_called_harmless(found.path, self.record) is not None:
            return
        yield StandingFact(
            kind=FactKind.FIGURE,
            harm=found.harm,
            rule=found.rule.rule,
            path=found.path,
            short=Said(found.said.key.replace("gate.", "standing."), found.said.figures),
            said=found.said,
            place=_place(found.wheel),
            known=HowKnown.MEASURED,
            answers=promises_about(self.record, self.figures, part=part),
            **noted(self.record, part),
        )

    def unmeasured(self, path: Path, said: Said, wheel: Wheel | None = None) -> StandingFact:
        """Return the fact that a safety-related part was not measured."""
        return StandingFact(
            kind=FactKind.NOT_LOOKED_AT,
            harm=Harm.UNKNOWN,
            rule=Rule.LIST,
            path=path,
            short=said,
            said=said,
            place=_place(wheel),
            known=HowKnown.NOT_KNOWN,
            **noted(self.record),
        )


def _place(wheel: Wheel | None) -> FactPlace:
    return FactPlace(Station.WHEELS if wheel else None, wheel)


def is_replaced(record: VehicleRecord, part: str, figures: Figures, figure: str | None = None) -> bool:
    """Return whether work renewed a part after it was measured. The work must state how, or name a repair in words.

    `figure` is the path of one measured value of the part. Without it, all its values count.
    """
    measured_on = record.look_at(figure or part).on
    return any(
        work.on >= measured_on
        and any(part == name or part.startswith(f"{name}.") for name in work.renews)
        and (work.by is not None or is_repair(work, figures))
        for work in record.work_done
    )

"""What the outlook costs, in words: a figure to plan with, least and most of each year, and what is left out."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal

from sitegen.condition.basis.checks import points_with_attention
from sitegen.condition.basis.forecast import CostRange, Outlook, WindowCost
from sitegen.condition.outlook.plan import plan_of
from sitegen.pages.language.translator import Text, Translator, within_a_sentence
from sitegen.pages.vehicle.defects.defects import standing_defects
from sitegen.pages.vehicle.outlook_bars import MoneyBar, money_bars
from sitegen.pages.vehicle.summary import defect_named
from sitegen.records.disclosure import Affects
from sitegen.records.reference import Vocabulary
from sitegen.records.vehicle_record import VehicleRecord

LEFT_OUT = ("not_priced", "no_basis", "any_time", "at_once", "no_record")
"""What a sum leaves out or counts in its own way, in the order in which it is said."""
CARRIED_WORDS = (
    *("plan_in_brief", "plan_first_year", "plan_whole", "plan_cost", "plan_cost_likely", "no_plan_cost", "announced"),
    *("announced_no_plan", *(f"left_out_{reason}" for reason in LEFT_OUT)),
)


@dataclass(frozen=True)
class PlanView:
    """A figure to plan with: as sentences, and for a place that has room for a figure alone."""

    first_year: str
    """"Plan for about $950 in the first year. In 8 of 10 cases: $450 to $1,500."."""
    whole: str
    about: str
    """Of the first year: "about $950"."""
    likely: str
    """Of the first year, 8 in 10: "$450–$1,500"."""


@dataclass(frozen=True)
class YearView:
    """The cost of one year, or of all three: the least, the middle and the most."""

    name: str
    least: str
    about: str | None
    most: str
    bar: MoneyBar


def plan_view(outlook: Outlook, translator: Translator) -> PlanView | None:
    """Return the figure to plan with; None where the odometer does not allow one."""
    first, whole = plan_of(outlook.years[0]), plan_of(outlook.whole)
    if first is None or first.likely is None or whole is None or whole.likely is None:
        return None
    return PlanView(
        first_year=_planned("first_year", first.about, first.likely, translator),
        whole=_planned("whole", whole.about, whole.likely, translator),
        about=translator.say("outlook.plan_cost", about=_money(first.about, translator)),
        likely=cost_words(first.likely, translator),
    )


def year_views(outlook: Outlook, translator: Translator) -> tuple[YearView, ...]:
    """Return a row for each year and one for all three."""
    rows = zip((1, 2, 3, "all"), (*outlook.years, outlook.whole), money_bars(outlook), strict=True)
    return tuple(_year(str(name), cost, bar, translator) for name, cost, bar in rows)


def left_out_words(outlook: Outlook, translator: Translator) -> tuple[str, ...]:
    """Say what the sums leave out, or count in a way that a reader should know: a sentence for each reason."""
    return tuple(
        translator.say(
            f"outlook.left_out_{reason}",
            items=translator.listed(within_a_sentence(translator.say(f"item.{key}")) for key in keys),
        )
        for reason in LEFT_OUT
        if (keys := getattr(outlook.left_out, reason))
    )


def repairs_words(record: VehicleRecord, vocabulary: Vocabulary, translator: Translator) -> Text | None:
    """Name what is wrong and not put right, for no sum holds its repair unless it has a line of its own.

    What affects looks alone calls for no repair.
    """
    broken = [defect for defect in standing_defects(record) if defect.affects is not Affects.LOOKS]
    wrong = [defect_named(defect, translator) for defect in broken]
    wrong += [Text(translator.choice("point", point), None) for point in points_with_attention(record, vocabulary)]
    return translator.tell("outlook.repairs", items=translator.tell_list(wrong)) if wrong else None


def cost_words(cost: CostRange, translator: Translator) -> str:
    """Return a range of hundredths as money."""
    return translator.formats.money_range(Decimal(cost.low) / 100, Decimal(cost.high) / 100)


def _planned(window: str, about: int, likely: CostRange, translator: Translator) -> str:
    low, high = _money(likely.low, translator), _money(likely.high, translator)
    return translator.say(f"outlook.plan_{window}", about=_money(about, translator), low=low, high=high)


def _year(name: str, cost: WindowCost, bar: MoneyBar, translator: Translator) -> YearView:
    plan = plan_of(cost)
    return YearView(
        name=translator.say(f"outlook.year.{name}"),
        least=_money(cost.least, translator),
        about=None if plan is None else translator.say("outlook.plan_cost", about=_money(plan.about, translator)),
        most=_money(cost.most, translator),
        bar=bar,
    )


def _money(cents: int, translator: Translator) -> str:
    return translator.formats.money(Decimal(cents) / 100)

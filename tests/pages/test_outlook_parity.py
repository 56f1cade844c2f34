"""The outlook in the browser is the outlook in Python: the same whole numbers, and the same words in each language.

Two implementations in two languages, written from one description (the docstrings of sitegen/condition/outlook),
check each other. So do the number and date forms of Babel and of Node's `Intl`, both made from the Unicode Common
Locale Data Repository. Node runs the theme's modules as a browser does, once for all cases.
"""

from __future__ import annotations

import json
import random
import subprocess
from collections.abc import Iterable
from dataclasses import replace
from datetime import date, timedelta
from fractions import Fraction
from functools import cache
from itertools import cycle
from pathlib import Path
from typing import Any

from sitegen.condition.basis.findings import Condition
from sitegen.condition.basis.forecast import (
    CostRange,
    ItemFacts,
    NeedFacts,
    Outlook,
    OutlookFacts,
    OutlookLine,
    PlanFigure,
)
from sitegen.condition.basis.values import KnownBy, Said, WholeSpan
from sitegen.condition.outlook.outlook import outlook, outlook_facts
from sitegen.condition.outlook.spreads import spreads
from sitegen.pages.language.catalog import read_catalog
from sitegen.pages.language.formats import Formats
from sitegen.pages.language.translator import Translator
from sitegen.pages.vehicle.outlook import outlook_view
from sitegen.records.figures import DistanceUnit
from sitegen.records.quantities import METRES_PER_MILE, Distance
from sitegen.shared_data import content_folder, themes_folder
from tests.builders import units_of
from tests.condition.judged import US, judged

CASES = 500
EDGES = (1_000, 12_000, 13_476, 39_999, 40_000)
SPREADS = spreads(US.outlook)
ANY_VEHICLE = judged()
LANGUAGES = ("en", "es")
ITEMS = sorted(
    key.removeprefix("item.") for key in read_catalog(content_folder(), "en").messages if key.startswith("item.")
)
BASES = (Said("outlook.traction_battery.not_measured"), Said("outlook.brakes.pair"))
"""What lines may rest on: it was not measured, or it was and that does not help."""
READ_ON = date(2026, 9, 7)
RUN = """
import { readFileSync } from 'node:fs'
const [{ outlookFor }, { speaker }] = await Promise.all(process.argv.slice(1).map((module) => import(module)))
const worded = (say, outlook, aYear, later, done) => ({
  introduction: say.introduction(aYear, later),
  sums: say.sums(outlook),
  inBrief: say.inBrief(outlook),
  rows: say.rows(outlook),
  notIncluded: say.notIncluded(outlook.named),
  notes: say.notes(outlook.named),
  items: outlook.items
    .filter(({ key }) => !done.includes(key))
    .map((item) => [item.key, say.when(item), say.time(item, later)]),
})
const answers = JSON.parse(readFileSync(0, 'utf8')).map(({ facts, aYear, later, done, carried }) => {
  const outlook = outlookFor(facts, aYear, later, done)
  return { outlook, words: carried.map((each) => worded(speaker({ ...each, facts }), outlook, aYear, later, done)) }
})
process.stdout.write(JSON.stringify(answers))
"""


def a_span(dice: random.Random, largest: int, least: int = 0) -> WholeSpan | None:
    """Return a span or none; now and then an open one, one of no width, or one that starts at zero."""
    if dice.random() < 0.25:
        return None
    low = dice.choice((least, dice.randint(least, largest)))
    high = dice.choice((None, low, dice.randint(low, 2 * largest)))
    return WholeSpan(low, high)


def a_need(dice: random.Random) -> NeedFacts:
    return NeedFacts(
        distance=a_span(dice, 12_000_000),
        days=a_span(dice, 4_500),
        own_wear=dice.random() < 0.4,
        most_distance=a_span(dice, 20_000_000),
    )


def a_cost(dice: random.Random) -> CostRange:
    return CostRange(*sorted(dice.randint(0, 200_000) for _ in range(2)))


def an_item(dice: random.Random, key: str) -> ItemFacts:
    cost = dice.choice((None, a_cost(dice), a_cost(dice)))
    return ItemFacts(
        key=key,
        need=a_need(dice),
        again_distance=a_span(dice, 10_000_000, least=100_000),
        again_months=a_span(dice, 120, least=1),
        cost=cost,
        no_record=dice.random() < 0.3,
        not_measured=dice.random() < 0.2,
        worst=dice.choice((None, a_need(dice))),
        worst_cost=None if cost is None else dice.choice((None, a_cost(dice))),
    )


def some_cases(count: int, seed: int = 570) -> list[tuple[OutlookFacts, int, int, list[str]]]:
    """Return generated facts, each with a distance a year, how many days later it is looked at, and what is done."""
    dice = random.Random(seed)
    cases = []
    for _ in range(count):
        items = tuple(an_item(dice, key) for key in dice.sample(ITEMS, dice.randint(1, 6)))
        facts = OutlookFacts(dice.choice((DistanceUnit.MILES, DistanceUnit.KILOMETRES)), items, SPREADS)
        a_year = dice.choice((*EDGES, dice.randint(1_000, 40_000)))
        later = dice.choice((0, dice.randint(1, 1_500)))
        done = [item.key for item in items if dice.random() < 0.3] if dice.random() < 0.3 else []
        cases.append((facts, a_year, later, done))
    return cases


def as_script_gives_it(found: Outlook) -> dict[str, Any]:
    """Return Python's outlook in the shape that the script gives."""
    return {
        "items": [
            {
                "key": item.key,
                "bandFrom": str(item.band_from),
                "bandTo": str(item.band_to),
                "months": None if item.months is None else [item.months.low, item.months.high],
                "budgetNow": item.budget_now,
                "byTime": item.by_time,
                "notMeasured": item.not_measured,
            }
            for item in found.items
        ],
        "firstYear": {"due": figure(found.first_year.due), "total": figure(found.first_year.total)},
        "whole": {"due": figure(found.whole.due), "total": figure(found.whole.total)},
        "noRecord": figure(found.no_record),
        "named": {
            "notPriced": list(found.named.not_priced),
            "noBasis": list(found.named.no_basis),
            "notMeasured": list(found.named.not_measured),
            "atWorst": list(found.named.at_worst),
            "noRecord": list(found.named.no_record),
        },
    }


def figure(plan: PlanFigure) -> dict[str, int]:
    return {"about": plan.about, "low": plan.low, "high": plan.high}


@cache
def translator(language: str, unit: DistanceUnit) -> Translator:
    """Return what says the pages of a store in the United States, or of one in the European Union, by its unit."""
    region, currency, country = ("us", "USD", "US") if unit is DistanceUnit.MILES else ("eu", "EUR", None)
    formats = Formats(language, currency, units=units_of(region), territory=country)
    return Translator(read_catalog(content_folder(), language, region), formats, "en")


def a_condition(facts: OutlookFacts, found: Outlook, later: int) -> Condition:
    """Return the condition of a vehicle of which only the outlook is generated, counted from `later` days on."""
    left = tuple(replace(item, need=replace(item.need, days=_after(item.need.days, later))) for item in facts.items)
    lines = tuple(
        OutlookLine(item, KnownBy.MEASURED, (basis,), ()) for item, basis in zip(left, cycle(BASES), strict=False)
    )
    as_of = READ_ON + timedelta(days=later)
    return replace(ANY_VEHICLE, as_of=as_of, lines=lines, facts=replace(facts, items=left), outlook=found)


def _after(days: WholeSpan | None, later: int) -> WholeSpan | None:
    if days is None:
        return None
    return WholeSpan(max(days.low - later, 0), None if days.high is None else max(days.high - later, 0))


def said_in_python(condition: Condition, say: Translator, later: int) -> tuple[dict[str, Any], dict[str, Any]]:
    """Return what the page says when it is built, in the shape that the script gives; and what it carries for it."""
    unit = METRES_PER_MILE if condition.facts.unit is DistanceUnit.MILES else Fraction(1_000)
    a_year = Distance(condition.outlook.a_year * unit, "")
    view = outlook_view(condition, a_year, say, False, None)
    carried = {**json.loads(view.carried), "facts": None, "counted_from": READ_ON.isoformat()}
    lines = {line.key: line for group in view.groups for line in group.lines}
    told: dict[str, Any] = {
        "introduction": view.introduction[0],
        "notIncluded": view.not_included or "",
        "notes": list(view.notes),
        "items": [[item.key, lines[item.key].when, lines[item.key].time or ""] for item in condition.outlook.items],
    }
    if later:
        told["introduction"] = say.say("outlook.introduction_today", distance=a_year, day=condition.as_of)
    if view.plan is not None:
        names = ("key", "about", "likely", "note")
        told["inBrief"] = view.plan.in_brief
        told["rows"] = [list(row.sums) for row in view.years]
        told["sums"] = [{name: getattr(each, name) or "" for name in names} for each in view.plan.sums]
    return told, carried


def run_node(script: str, modules: Iterable[str], given: Any) -> Any:
    """Return what a script of Node answers to some JSON; it gets the addresses of modules of the outlook."""
    folder: Path = themes_folder() / "daylight" / "components" / "outlook"
    answered = subprocess.run(
        ["node", "--input-type=module", "-e", script, *((folder / module).as_uri() for module in modules)],
        input=json.dumps(given),
        capture_output=True,
        text=True,
        check=True,
    )
    return json.loads(answered.stdout)


def check_parity(count: int, seed: int = 570) -> None:
    """Compare figures and words of generated outlooks; fail with the case that differs."""
    cases = []
    for facts, a_year, later, done in some_cases(count, seed):
        found = outlook(facts, a_year, later, done)
        condition = a_condition(facts, found, later)
        said = [said_in_python(condition, translator(language, facts.unit), later) for language in LANGUAGES]
        carried = [each for _, each in said]
        for told, _ in said:  # a line that is done is said by the page's own script
            told["items"] = [item for item in told["items"] if item[0] not in done]
        given = {"facts": outlook_facts(facts), "aYear": a_year, "later": later, "done": done, "carried": carried}
        cases.append((given, as_script_gives_it(found), [words for words, _ in said]))
    answers = run_node(RUN, ("outlook-arithmetic.mjs", "outlook-words.mjs"), [given for given, _, _ in cases])
    for (given, figures, words), answered in zip(cases, answers, strict=True):
        assert answered["outlook"] == figures, given
        for mine, its in zip(words, answered["words"], strict=True):
            assert {name: its[name] for name in mine} == mine, given


def test_the_browser_computes_and_words_the_same_outlook():
    """Generated vehicles on any day, exactly equal: bands, months, order, both sums, their ranges, what is named. All
    of it in words too, in English and in Spanish, for the United States and the European Union.
    """
    check_parity(CASES)

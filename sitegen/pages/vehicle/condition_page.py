"""The condition page of one vehicle: assembles the views of all sections in the order of the page."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from markupsafe import Markup

from sitegen.condition.basis.findings import Condition, RustFinding
from sitegen.pages.frame.frame import Surroundings
from sitegen.pages.kept.versions import Version
from sitegen.pages.language.catalog import Term
from sitegen.pages.language.markdown_text import Prose, page_html
from sitegen.pages.language.translator import Fact, Text, Translator
from sitegen.pages.vehicle.buying.costs import CostsView, costs_view
from sitegen.pages.vehicle.contact_links import Ways, ask_about_defect, ask_about_figures, ask_about_vehicle
from sitegen.pages.vehicle.defects.body_plan import BodyPlan, body_plan
from sitegen.pages.vehicle.defects.defects import StationDefects, counted_by_effect
from sitegen.pages.vehicle.defects.pictures import PictureView, Slot, picture_view
from sitegen.pages.vehicle.defects.standing import headline
from sitegen.pages.vehicle.disclosure import (
    AdditionView,
    NothingListed,
    StationChecks,
    WorkView,
    additions,
    earlier_readings,
    harmless_words,
    no_defects_words,
    nothing_listed,
    promised_work,
    work_done,
)
from sitegen.pages.vehicle.film import FilmView, film_view
from sitegen.pages.vehicle.first_screen import FirstScreen, first_screen
from sitegen.pages.vehicle.identity import EXPLAINED_TERMS, Identity, terms_keys
from sitegen.pages.vehicle.measured.batteries_fluids_paint import Panel
from sitegen.pages.vehicle.measured.tires_and_brakes import WheelSet
from sitegen.pages.vehicle.outlook import OutlookView, outlook_view
from sitegen.pages.vehicle.page_history import EventView, history
from sitegen.pages.vehicle.since import SinceView, since_view
from sitegen.pages.vehicle.summary import KeyFigure, distance_a_year, key_figures, summary
from sitegen.pages.vehicle.views import VehicleViews
from sitegen.records.disclosure import Affects
from sitegen.records.quantities import Distance
from sitegen.records.reference import Vocabulary
from sitegen.records.vehicle_record import VehicleRecord

RUST_TERMS = ("surface-rust",)
PAPER_TERMS = ("title-brand", "recall", "odometer-statement", "vin")
SEEN_AT_A_GLANCE = 7
SECTIONS = (
    "defects",
    "measured",
    "outlook",
    "papers",
    "checks",
    "video",
    "ask",
)


@dataclass(frozen=True)
class Section:
    """An entry of the page's table of contents."""

    anchor: str
    heading: str


@dataclass(frozen=True)
class MeasuredSection:
    """The section with measured figures: tires, brakes, batteries, fluids and paint."""

    introduction: Text
    sets: tuple[WheelSet, ...]
    panels: tuple[Panel, ...]
    terms: tuple[Term, ...]
    """The explainers of the section's texts, without duplicates."""


@dataclass(frozen=True)
class ConditionPage:
    """The view of the condition page: everything that the template places."""

    identity: Identity
    hero: PictureView | None
    first_words: tuple[Text, ...]
    summary: tuple[Text, ...]
    key_figures: tuple[KeyFigure, ...]
    headline: str | None
    """The worst standing fact in a few words. None if nothing worse than looks stands."""
    first: FirstScreen
    distance_a_year: str | None
    sections: tuple[Section, ...]
    measured: MeasuredSection
    since: SinceView | None
    defects_introduction: str
    defect_counts: tuple[tuple[Affects, str], ...]
    is_long_list: bool
    """Whether there are so many defects that the page offers to filter them by effect."""
    body_plan: BodyPlan | None
    defects: tuple[StationDefects, ...]
    defect_terms: tuple[Term, ...]
    harmless: tuple[Text, ...]
    """Words that sound dangerous, each with the reason why nobody can be hurt."""
    no_defects_at: str | None
    partly_looked_at: str | None
    not_looked_at: str | None
    film: FilmView | None
    outlook: OutlookView
    costs: CostsView | None
    promised: tuple[Text, ...]
    work: tuple[WorkView, ...]
    checks_introduction: str
    checks: tuple[StationChecks, ...]
    has: tuple[Text, ...]
    lacks: tuple[Text, ...]
    additions: tuple[AdditionView, ...]
    nothing: NothingListed
    photos: tuple[PictureView, ...]
    papers: tuple[Fact, ...]
    earlier_readings: tuple[Fact, ...]
    history: tuple[EventView, ...]
    notes: Prose | None
    cautions: Markup
    ask: str
    ask_ways: Ways
    defect_ways: Mapping[str, Ways]
    """The contact links about each defect, by its anchor."""
    figure_ways: Mapping[str, Ways]
    """The contact links about each figure and each line of the outlook, by its anchor."""
    paper_terms: tuple[Term, ...]
    window_form: str


def condition_page(
    views: VehicleViews, a_year: Distance, versions: Sequence[Version], around: Surroundings
) -> ConditionPage:
    """Return the view of a vehicle's condition page. `a_year` is the distance that the outlook starts with."""
    record, condition, pictures, vocabulary = views.record, views.condition, views.pictures, views.vocabulary
    translator, settings, at = around.translator, around.settings, views.page
    hero, *others = record.photos or (None,)
    notes = translator.text(record.notes) if record.notes else None
    sets = tuple(wheel_set for wheel_set in (views.tires, views.brakes) if wheel_set.wheels)
    sale_terms = dict.fromkeys(EXPLAINED_TERMS[key] for key in terms_keys(record))
    paper_terms = translator.catalog.explained(*sale_terms, *PAPER_TERMS)
    defect_terms = translator.catalog.explained(*(RUST_TERMS if condition.of(RustFinding) else ()))
    stations = views.defects
    film = film_view(record, around.store.film_of(record.stock), pictures, stations, views.checks, at, translator)
    left_out = set() if film else {"video"}
    quiet = views.quiet
    is_average, prices = settings.miles_a_year is None, around.store.prices
    prices_as_of = prices.as_of if prices else None
    outlook = outlook_view(condition, a_year, translator, is_average, prices_as_of)
    explained: tuple[WheelSet | Panel, ...] = (*sets, *views.panels)
    terms = {term.slug: term for measured in explained for term in measured.terms}
    return ConditionPage(
        identity=views.identity,
        hero=picture_view(pictures, record.stock, hero, at, translator, Slot.HERO, eager=True) if hero else None,
        first_words=views.first_words,
        summary=summary(record, condition, vocabulary, translator),
        key_figures=key_figures(record, condition, translator),
        headline=headline(condition, translator),
        first=first_screen(record, condition, sets, outlook, vocabulary, translator),
        distance_a_year=distance_a_year(condition, translator),
        sections=tuple(Section(name, translator.say(f"short.{name}")) for name in SECTIONS if name not in left_out),
        measured=MeasuredSection(
            introduction=views.inspected,
            sets=sets,
            panels=views.panels,
            terms=tuple(terms.values()),
        ),
        since=since_view(condition, translator),
        defects_introduction=_defects_introduction(record, condition, vocabulary, translator),
        defect_counts=counted_by_effect(record, condition, translator),
        is_long_list=len(record.defects) > SEEN_AT_A_GLANCE,
        body_plan=body_plan(record, condition, around.theme.bodies, translator),
        defects=stations,
        defect_terms=defect_terms,
        harmless=harmless_words(record, translator),
        no_defects_at=quiet.no_defects_at,
        partly_looked_at=quiet.partly_looked_at,
        not_looked_at=quiet.not_looked_at,
        film=film,
        outlook=outlook,
        costs=costs_view(record, condition, stations, settings, translator),
        promised=promised_work(record, translator),
        work=work_done(record, translator),
        checks_introduction=translator.say("checks.introduction"),
        checks=views.checks,
        has=tuple(translator.text(item) for item in record.equipment.has),
        lacks=tuple(translator.text(item) for item in record.equipment.lacks),
        additions=additions(record, translator),
        nothing=nothing_listed(record, translator),
        photos=tuple(picture_view(pictures, record.stock, photo, at, translator, Slot.GALLERY) for photo in others),
        papers=views.papers,
        earlier_readings=earlier_readings(record, translator),
        history=history(record, versions, translator),
        notes=Prose(page_html(notes.text), notes.language) if notes else None,
        cautions=translator.catalog.text("cautions"),
        ask=translator.say("ask.words"),
        ask_ways=ask_about_vehicle(record, at, settings, translator),
        defect_ways={
            defect.anchor: ask_about_defect(defect, record, at, settings, translator)
            for station in stations
            for defect in station.defects
        },
        figure_ways=ask_about_figures(sets, views.panels, outlook, record, at, settings, translator),
        paper_terms=paper_terms,
        window_form=views.window_form,
    )


def _defects_introduction(
    record: VehicleRecord, condition: Condition, vocabulary: Vocabulary, translator: Translator
) -> str:
    count = len(record.defects)
    if not count:
        return no_defects_words(record, condition, vocabulary, translator)
    return translator.count("defects.introduction", count)

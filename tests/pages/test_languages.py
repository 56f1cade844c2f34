"""Every language is whole: no message, explainer or long text is missing, and none lies unused.

The messages are read by polib, which shares no code with the reader of the pages.
"""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator, Mapping
from enum import StrEnum
from functools import cache
from pathlib import Path
from string import Formatter

import gsm0338
import polib
import pytest
import yaml
from babel import Locale

from sitegen.condition.basis.forecast import Band
from sitegen.pages.language.catalog import read_catalog
from sitegen.pages.language.explained_words import ExplainedPage
from sitegen.records.disclosure import Affects, CheckResult, Station
from sitegen.records.store import Region
from sitegen.records.vehicle import (
    Body,
    Drive,
    Fuel,
    OdometerStatement,
    OtherCoverage,
    PlainTerms,
    Status,
    Transmission,
    Wheel,
)
from sitegen.records.wear import HealthMethod
from sitegen.shared_data import content_folder
from tests.conftest import REPOSITORY

CONTENT = content_folder()
FIRST = "en"
OTHERS = sorted(folder.name for folder in CONTENT.iterdir() if folder.name != FIRST and any(folder.rglob("*.po")))
LANGUAGES = [FIRST, *OTHERS]


@cache
def messages(language: str) -> Mapping[str, polib.POEntry]:
    paths = sorted(path for path in (CONTENT / language).rglob("*.po") if "regions" not in path.parts)
    entries = [entry for path in paths for entry in polib.pofile(str(path))]
    assert len({entry.msgid for entry in entries}) == len(entries), "a message is there twice"
    return {entry.msgid: entry for entry in entries}


def forms(entry: polib.POEntry) -> list[str]:
    return [entry.msgstr_plural[number] for number in sorted(entry.msgstr_plural)] or [entry.msgstr]


def placeholders(text: str) -> set[str]:
    return {name for _, name, _, _ in Formatter().parse(text) if name is not None}


def test_there_is_a_second_language():
    assert "es" in OTHERS


@pytest.mark.parametrize("language", OTHERS)
def test_every_language_has_the_same_catalogs_and_messages(language: str):
    def by_file(folder: str) -> dict[str, list[str]]:
        return {
            str(path.relative_to(CONTENT / folder)): [entry.msgid for entry in polib.pofile(str(path))]
            for path in (CONTENT / folder).rglob("*.po")
            if "regions" not in path.parts
        }

    assert by_file(language) == by_file(FIRST)


@pytest.mark.parametrize("language", LANGUAGES)
def test_no_message_is_empty_fuzzy_or_obsolete(language: str):
    unfinished = [
        key
        for key, entry in messages(language).items()
        if "fuzzy" in entry.flags or entry.obsolete or not all(form.strip() or form == ", " for form in forms(entry))
    ]
    assert not unfinished


@pytest.mark.parametrize("language", LANGUAGES)
def test_each_plural_has_the_forms_of_its_language(language: str):
    """Which count takes which: as CLDR parts them, through Babel, for every count that a store could have."""
    counted = {key: forms(entry) for key, entry in messages(language).items() if entry.msgid_plural}
    assert counted
    form, category = read_catalog(CONTENT, language).plural_form, Locale.parse(language, sep="-").plural_form
    pairs = {(category(count), form(count)) for count in range(10_000)}
    assert len(pairs) == len({name for name, _ in pairs}) == len({index for _, index in pairs})
    assert {len(texts) for texts in counted.values()} == {len(pairs)}
    assert set(counted) == {key for key, entry in messages(FIRST).items() if entry.msgid_plural}


@pytest.mark.parametrize("language", OTHERS)
def test_a_message_has_the_same_figures_in_every_language(language: str):
    """A form for one may leave the count out; nothing else may be left out, and nothing added."""
    for key, entry in messages(language).items():
        first = set().union(*(placeholders(form) for form in forms(messages(FIRST)[key])))
        for form in forms(entry):
            assert first - {"count"} <= placeholders(form) | {"count"}, key
            assert placeholders(form) <= first | ({"count"} if entry.msgid_plural else set()), key


@pytest.mark.parametrize("language", OTHERS)
@pytest.mark.parametrize("kind", ["terms", "texts"])
def test_every_explainer_and_long_text_exists_in_every_language(language: str, kind: str):
    def written(folder: str) -> dict[str, str]:
        return {path.name: path.read_text("utf-8") for path in (CONTENT / folder / kind).glob("*.md")}

    here, first = written(language), written(FIRST)
    assert set(here) == set(first)
    assert not [name for name, text in here.items() if text == first[name]], "not translated"
    if kind == "terms":
        assert not [name for name, text in here.items() if not re.fullmatch(r"# \S.*\n\n\S.*\n", text)]
        marked = yaml.safe_load((CONTENT / language / kind / "words.yaml").read_text("utf-8"))
        assert {f"{slug}.md" for slug in marked} == set(here)


@pytest.mark.parametrize(
    ("text", "opened"),
    [
        ("Se vende como está: sin garantía de la tienda", {"as-is"}),
        ("El título, visto ayer, no lleva marcas como salvamento o inundación.", {"title-brand"}),
        ("Los documentos no muestran ninguna marca de daños anteriores.", {"title-brand"}),
        ("«former rental», tal como está impreso en el título.", set()),
        ("Un concesionario de la marca pone una etiqueta nueva sin costo.", set()),
    ],
)
def test_a_spanish_word_with_two_meanings_opens_the_right_explainer(text: str, opened: set[str]):
    """Sold "como está" is a term of sale, printed "tal como está" is not; a "marca" is a title's brand or a make."""
    page = ExplainedPage()
    page.section(read_catalog(CONTENT, "es").explained("as-is", "title-brand")).mark(text)
    assert {term.slug for term in page.marked} == opened


def test_spanish_quotations_use_guillemets():
    """As the Ortografía of 2010 recommends first: « and »."""
    told = [
        form for path in (CONTENT / "es").rglob("*.po") for entry in polib.pofile(str(path)) for form in forms(entry)
    ]
    assert any("«" in form for form in told)
    assert not [form for form in told if re.search("[“”]", form)]


def values(kind: type[StrEnum]) -> set[str]:
    return {str(value).replace(" ", "_") for value in kind}


def keys_of(reference: str) -> set[str]:
    listed = yaml.safe_load((CONTENT / "reference" / reference).read_text("utf-8"))
    return {key.replace(" ", "_") for key in listed}


SERVICES = yaml.safe_load((CONTENT / "reference" / "services.yaml").read_text("utf-8"))
PARTS_THAT_WEAR = {
    "front_tires",
    "rear_tires",
    "all_tires",
    "front_brakes",
    "rear_brakes",
    "battery",
    "traction_battery",
}
CHOICES = {
    "affects": values(Affects),
    "at_wheel": values(Wheel),
    "band": values(Band),
    "body": values(Body),
    "drive": values(Drive),
    "finding": values(CheckResult),
    "fuel": values(Fuel),
    "item": PARTS_THAT_WEAR | {*SERVICES["scheduled"], *SERVICES["by_looking"]},
    "kind": keys_of("defect_kinds.yaml"),
    "method": values(HealthMethod),
    "point": keys_of("check_points.yaml"),
    "station": values(Station),
    "status": values(Status),
    "terms": {*values(PlainTerms), *values(OtherCoverage), "warranty", "warranty_full", "warranty_limited"},
    "transmission": values(Transmission),
    "use.statement": values(OdometerStatement),
    "wheel": values(Wheel),
}


@pytest.mark.parametrize("group", CHOICES)
def test_every_choice_of_a_record_has_a_message(group: str):
    named = {key.removeprefix(f"{group}.") for key in messages(FIRST) if key.startswith(f"{group}.")}
    assert named == CHOICES[group]


def sources() -> dict[Path, ast.Module]:
    return {path: ast.parse(path.read_text("utf-8")) for path in (REPOSITORY / "sitegen").rglob("*.py")}


def said_in_templates() -> set[str]:
    texts = [path.read_text("utf-8") for path in (REPOSITORY / "themes").rglob("*.html")]
    return {key for text in texts for key in re.findall(r"""\bsay\(\s*["']([^"']+)["']\s*[,)]""", text)}


SAYING = ("say", "count", "tell", "tell_count", "Said", "Word")


def said_in_code() -> set[str]:
    """Return every key that stands whole as the first argument of what says, or as one of two chosen there."""
    calls = [
        node for tree in sources().values() for node in ast.walk(tree) if isinstance(node, ast.Call) and node.args
    ]
    said = [
        node.args[0] for node in calls if (getattr(node.func, "attr", "") or getattr(node.func, "id", "")) in SAYING
    ]
    chosen = [branch for node in said if isinstance(node, ast.IfExp) for branch in (node.body, node.orelse)]
    texts = {str(node.value) for node in [*said, *chosen] if isinstance(node, ast.Constant)}
    return {text for text in texts if re.fullmatch(r"\w+(\.[\w-]+)+", text)}


def test_every_message_that_the_code_names_exists():
    missing = (said_in_code() | said_in_templates()) - set(messages(FIRST))
    assert not missing


def texts_in(node: ast.AST) -> set[str]:
    return {part.value for part in ast.walk(node) if isinstance(part, ast.Constant) and isinstance(part.value, str)}


def pieces_of_keys() -> set[str]:
    """Return every text that stands somewhere in code, templates or data, as a piece that keys may be made of."""
    pieces = set().union(*(texts_in(tree) for tree in sources().values())) | said_in_templates()
    for path in [*(CONTENT / "reference").rglob("*.yaml"), *(REPOSITORY / "themes").rglob("*.yaml")]:
        pieces |= set(re.findall(r"[\w.-]+", path.read_text("utf-8")))
    return pieces | {token for piece in pieces for token in re.split("[ _]", piece)}


def patterns() -> list[re.Pattern[str]]:
    """Return each key that the code composes, as a pattern: what is filled in may be anything."""
    nodes = [node for tree in sources().values() for node in ast.walk(tree) if isinstance(node, ast.JoinedStr)]
    composed = [
        "".join(re.escape(str(part.value)) if isinstance(part, ast.Constant) else "(.+)" for part in node.values)
        for node in nodes
        if any("." in text or "_" in text for text in texts_in(node))
    ]
    # Where nothing but the dot is given, the first piece is a whole group: tires.place, mark.across.
    return [re.compile(text if re.search(r"\w\w", text) else r"(.+\..+)\.(.+)") for text in composed]


def bay_keys() -> Iterator[str]:
    """Yield each key that the scripts of the bay page name: whole, or composed as in `metal_${metal}`."""
    folder = REPOSITORY / "themes/daylight/bay"
    scripts = "\n".join(path.read_text("utf-8") for path in folder.rglob("*.js") if path.parent.name != "vendor")
    beginnings, pieces = tuple(re.findall(r"say\[`(\w+)\$\{", scripts)), pieces_of_keys()
    names = pieces | set(re.findall(r"\w+", scripts))
    for key in messages(FIRST):
        group, _, name = key.partition(".")
        if group == "bay" and (name in names or name.startswith(beginnings)):
            yield key


def test_no_message_of_a_catalog_is_unused():
    """A key is used if it stands whole somewhere, or is composed of pieces that do; choices are held to above."""
    pieces, composed = pieces_of_keys(), patterns()

    def is_known(piece: str) -> bool:
        return piece in pieces or set(piece.split("_")) <= pieces or is_composed(piece)

    def is_composed(key: str) -> bool:
        found = [match for pattern in composed if (match := pattern.fullmatch(key))]
        return any(all(is_known(group) for group in match.groups()) for match in found)

    chosen = {f"{group}.{value}" for group, values_of_it in CHOICES.items() for value in values_of_it}
    used = pieces | chosen | set(bay_keys())
    unused = [key for key in messages(FIRST) if key not in used and not is_composed(key)]
    assert not unused


def test_no_explainer_is_unused():
    words = set().union(*(texts_in(tree) for tree in sources().values()))
    unused = {path.stem for path in (CONTENT / FIRST / "terms").glob("*.md")} - words
    assert not unused


# 3GPP TS 23.038, the default alphabet, by the library gsm0338: a letter outside it cuts a message from 160 to 70.
@pytest.mark.parametrize("language", LANGUAGES)
@pytest.mark.parametrize("key", ["ask.message", "ask.defect_message"])
def test_prepared_text_messages_use_the_default_alphabet(language: str, key: str):
    said = forms(messages(language)[key])[0]
    assert gsm0338.Codec().encode(re.sub(r"\{.*?\}", "", said))


def test_no_spanish_list_ends_before_the_sound_i():
    """The last of a list follows "y"; before the sound i it would have to be "e" (RAE, Ortografía)."""
    groups = ("item", "kind", "point", "station")
    named = {key: forms(entry)[0].lower() for key, entry in messages("es").items() if key.split(".")[0] in groups}
    assert len(named) > 100
    assert not [key for key, name in named.items() if re.match(r"h?[ií](?![aeo])", name)]


@pytest.mark.parametrize("language", LANGUAGES)
@pytest.mark.parametrize("region", [region for region in Region if region is not Region.UNITED_STATES])
def test_a_region_overrides_existing_messages_only(language: str, region: Region):
    """What a region says stands in the place of what is there, and names no other figures."""
    folder = CONTENT / language / "regions" / region.value
    entries = [entry for path in folder.glob("*.po") for entry in polib.pofile(str(path))]
    assert len(entries) > 10
    for entry in entries:
        assert placeholders(entry.msgstr) <= placeholders(messages(language)[entry.msgid].msgstr), entry.msgid
    own = {path.relative_to(folder) for path in folder.rglob("*.md")}
    assert own <= {path.relative_to(CONTENT / language) for path in (CONTENT / language).rglob("*.md")}
    assert own == {
        path.relative_to(CONTENT / FIRST / "regions" / region.value)
        for path in (CONTENT / FIRST / "regions" / region.value).rglob("*.md")
    }


@pytest.mark.parametrize("language", OTHERS)
def test_texts_of_files_exist_in_every_language_with_the_same_figures(language: str):
    first = {path.name: placeholders(path.read_text("utf-8")) for path in (CONTENT / FIRST / "texts").glob("*.txt")}
    other = {
        path.name: placeholders(path.read_text("utf-8")) for path in (CONTENT / language / "texts").glob("*.txt")
    }
    assert first
    assert other == first

"""A cold build: read, judge, make the pictures, compose, add to the ledger, publish."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path

from sitegen.commands.shared.composition import BuildRequest, BuildResult, compose, opened_engine
from sitegen.commands.shared.left_out import is_of, last_good_files, published_sitemap
from sitegen.commands.shared.terminal import Terminal
from sitegen.ledger.ledger_files import add, clock_warnings, facts_of, note_head
from sitegen.ledger.new_lines import PublicationHistory, latest_lines, lines_to_add
from sitegen.ledger.sealing import PAGE, disclosures_of, last_of_vehicles, sealed, shown_files
from sitegen.publishing.marker import published_pages
from sitegen.publishing.publication import Published, publish
from sitegen.records.problems import Problem


@dataclass(frozen=True)
class PublishedBuild:
    """The result of a build. If there was an error, nothing is published."""

    composed: BuildResult
    published: Published | Problem | None = None
    digests: Mapping[str, str] = field(default_factory=dict)
    """The digest of each published page, by path."""
    staying: frozenset[str] = frozenset()
    """Vehicles that were left out and whose last published files stay."""


def build_anew(
    request: BuildRequest, terminal: Terminal, to: Path, untouched: Mapping[str, str] | None = None
) -> PublishedBuild:
    """Publish the present state of a store to a folder.

    `untouched` holds the digests of the pages in that folder, if nobody has changed them since they were published.
    """
    with opened_engine(request, terminal) as engine:
        composed = compose(request, terminal, published_pages(to), published_sitemap(to), engine=engine)
        if composed.site is None:
            return PublishedBuild(composed)
        built = _publish(composed, request, to, terminal, untouched)
        engine.note_linked()
        return built


def _publish(
    composed: BuildResult, request: BuildRequest, to: Path, terminal: Terminal, untouched: Mapping[str, str] | None
) -> PublishedBuild:
    """Publish a composed site. Its ledger lines are written before the site becomes visible."""
    site, material, read = composed.site, composed.material, composed.store
    assert site is not None
    assert material is not None
    assert read is not None
    disclosures = disclosures_of(site, material, read)
    others = {path for path in site.pages if path.endswith(PAGE)} - {
        page for one in disclosures for page in one.pages
    }
    time = request.moment.strftime("%Y-%m-%dT%H:%M:%SZ")
    lines = composed.lines
    kept = PublicationHistory(lines, lambda line: facts_of(request.folder, line), material.facts, composed.left_out)
    added = lines_to_add(kept, disclosures, others, time)
    all_lines = (*lines, *added)
    whole = sealed(site, latest_lines(disclosures, all_lines), last_of_vehicles(all_lines))

    def write_down() -> None:
        add(request.folder, added, material.facts, site.pages, shown_files(material, read))
        if all_lines:
            note_head(request.folder, all_lines[-1])
        terminal.tell(clock_warnings(lines, added))

    staying = last_good_files(to, composed.left_out)
    published = publish(whole.besides(staying), to, request.moment.date(), write_down, untouched)
    still_there = frozenset(stock for stock in composed.left_out if any(is_of(path, {stock}) for path in staying))
    return PublishedBuild(composed, published, whole.page_digests, still_there)

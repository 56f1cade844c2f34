"""The texts of `sitegen help record`, `settings`, `hosting` and `theme`.

They come from the JSON Schemas, the shipped documents and the files of the default theme.
"""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

from sitegen.commands.topics.keys import as_markdown, as_text, parts_of
from sitegen.commands.topics.names import check_points, defect_kinds, services
from sitegen.commands.topics.tables import joined, table
from sitegen.reading.schemas import schemas
from sitegen.shared_data import documents_folder, themes_folder

_ABOUT_RECORD = """\
# Keys of the files

What each file of a store may contain. `sitegen help record > .docs/record.md` writes this page from the schemas, so
it is never out of date; `sitegen schema` prints the schemas themselves, for editors.

A value with a unit must have its unit: `7/32 in`, `5.6 mm`, `88,900 mi`. Any text may be one text, in the store's
first language, or one per language: `{en: Rust, es: Óxido}`. What is left out is shown as *not measured*, *not
checked* or *not noted*, and never as an answer."""
_FOLDERS = {
    "bay": "bay page",
    "components": "parts of pages, each with a README",
    "desk": "the salesperson's pages",
    "fonts": "typefaces",
    "gallery": "page of all components",
    "icons": "icon of the site",
    "layouts": "frame of every page",
    "pages": "one template for each kind of page",
    "scripts": "scripts that start a page",
    "styles": "style sheets, joined in the order of their names",
}


def record_reference() -> str:
    """Return the reference of all files in Markdown: every key, and the names that each key accepts."""
    files = (part for name, schema in schemas().items() for part in _file_reference(name, schema))
    names = (("Defect kinds", defect_kinds()), ("Check points", check_points()), ("Services", services()))
    lists = (part for title, rows in names for part in (f"## {title}", rows.as_markdown()))
    return joined([_ABOUT_RECORD, *files, *lists])


def settings() -> str:
    """Return the reference of `site.yaml` as text for a terminal."""
    return as_text(parts_of(schemas()["site"]))


def hosting() -> str:
    """Return the document about web hosts."""
    return _document("hosting.md")


def theme() -> str:
    """Return the document about branding, followed by a list of the files of the default theme."""
    folder = themes_folder() / "daylight"
    return joined([_document("branding.md"), "## Files of the theme daylight", *_folders_of(folder)])


def _file_reference(name: str, schema: dict[str, object]) -> Iterator[str]:
    yield f"## {name}.yaml"
    yield as_markdown(parts_of(schema))


def _document(name: str) -> str:
    return (documents_folder() / name).read_text("utf-8").rstrip()


def _folders_of(theme_folder: Path) -> Iterator[str]:
    """Yield one table for each folder of a theme, with a row for each file.

    A component is one row, with its purpose.
    """
    for folder in sorted(path for path in theme_folder.iterdir() if path.is_dir()):
        about = _FOLDERS.get(folder.name, "")
        yield f"{folder.name}/  {about}".rstrip()
        if folder.name == "components":
            rows = ((f"  {part.name}", _purpose(part)) for part in sorted(folder.iterdir()) if part.is_dir())
            yield table(("  component", "purpose"), rows).as_text()
        else:
            names = (path.relative_to(folder).as_posix() for path in sorted(folder.rglob("*")) if path.is_file())
            yield "\n".join(f"  {name}" for name in names)
    yield "\n".join(path.name for path in sorted(theme_folder.iterdir()) if path.is_file())


def _purpose(component: Path) -> str:
    """Return the first sentence of a component's README."""
    text = " ".join(
        (component / "README.md").read_text("utf-8").partition("\n")[2].strip().partition("\n\n")[0].split()
    )
    return f"{text.partition('. ')[0].rstrip('.')}."

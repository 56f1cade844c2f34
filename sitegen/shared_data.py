"""The folders of data that all stores share: inside the package when installed, or at the top of a working copy."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

_PACKAGE = Path(__file__).resolve().parent


def content_folder() -> Path:
    """Return the folder of message catalogs and reference figures."""
    return _shared("content")


def themes_folder() -> Path:
    """Return the folder of themes."""
    return _shared("themes")


def documents_folder() -> Path:
    """Return the folder of documents that the program prints."""
    installed = _PACKAGE / "documents"
    return installed if installed.is_dir() else _PACKAGE.parent / ".docs"


def _shared(name: str) -> Path:
    installed = _PACKAGE / name
    return installed if installed.is_dir() else _PACKAGE.parent / name


@dataclass(frozen=True)
class ThemeFolders:
    """The two folders of a theme: the store's own and the shared one.

    A file in the store's own folder takes precedence.
    """

    own: Path
    shared: Path

    def files(self, pattern: str = "**/*") -> dict[str, Path]:
        """Return the files that match a pattern, sorted by their path in the theme."""
        found = {**_files(self.shared, pattern), **_files(self.own, pattern)}
        return {path: found[path] for path in sorted(found)}

    def own_files(self) -> dict[str, Path]:
        """Return the files of the store's own folder, by their path in the theme."""
        return _files(self.own, "**/*")

    def has_own_templates(self) -> bool:
        """Return whether the store has its own templates or drawing data.

        These may fail when a page is rendered.
        """
        return any(path.endswith((".html", ".yaml")) for path in self.own_files())

    def shared_files(self) -> dict[str, Path]:
        """Return the files of the shared theme, by their path in it."""
        return _files(self.shared, "**/*")

    def shown_as(self, path: str) -> str:
        """Return how messages name a file of the theme. A missing file counts as one of the shared theme."""
        if (self.own / path).exists():
            return f"{self.own.name}/{path}"
        return f"themes/{self.shared.name}/{path}"


def theme_folders(theme: str, store: Path) -> ThemeFolders:
    """Return the folders of a theme for a store. `store` is the store's folder."""
    return ThemeFolders(store / "theme", themes_folder() / theme)


def _files(folder: Path, pattern: str) -> dict[str, Path]:
    """Return the files that match a pattern by their path in a folder. Names that begin with a dot are skipped."""
    found = ((path.relative_to(folder), path) for path in sorted(folder.glob(pattern)) if path.is_file())
    return {path.as_posix(): file for path, file in found if not any(part.startswith(".") for part in path.parts)}

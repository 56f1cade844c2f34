"""Where what every store shares is kept: beside the code in an installed wheel, at the top of a working copy."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

_PACKAGE = Path(__file__).resolve().parent


def content_folder() -> Path:
    """Return the folder of words and reference figures."""
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
    """The folders of a theme: the store's own, and the shared one; a file of the store's own is taken first."""

    own: Path
    shared: Path

    def files(self, pattern: str = "**/*") -> dict[str, Path]:
        """Return the files of a pattern by their path in the theme, sorted by that."""
        found = {**_files(self.shared, pattern), **_files(self.own, pattern)}
        return {path: found[path] for path in sorted(found)}

    def own_files(self) -> dict[str, Path]:
        """Return the files of the store's own folder, by their path in the theme."""
        return _files(self.own, "**/*")

    def has_own_templates(self) -> bool:
        """Tell whether the store has templates of its own, or data that they draw by: these may fail on a page."""
        return any(path.endswith((".html", ".yaml")) for path in self.own_files())

    def shared_files(self) -> dict[str, Path]:
        """Return the files of the shared theme, by their path in it."""
        return _files(self.shared, "**/*")

    def shown_as(self, path: str) -> str:
        """Return what messages call a file of the theme, by its path in it; one that is nowhere is the theme's."""
        if (self.own / path).exists():
            return f"{self.own.name}/{path}"
        return f"themes/{self.shared.name}/{path}"


def theme_folders(theme: str, store: Path) -> ThemeFolders:
    """Return the folders of a theme for the store in a folder."""
    return ThemeFolders(store / "theme", themes_folder() / theme)


def _files(folder: Path, pattern: str) -> dict[str, Path]:
    """Return the files of a pattern by their path in a folder. What begins with a dot is none of ours."""
    found = ((path.relative_to(folder), path) for path in sorted(folder.glob(pattern)) if path.is_file())
    return {path.as_posix(): file for path, file in found if not any(part.startswith(".") for part in path.parts)}

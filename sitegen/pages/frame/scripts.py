"""Makes plain scripts of a theme's modules, so that they run wherever a page is opened.

In a theme every script is a module of its own, which Node and editors understand. A page that was opened from a
folder may load no modules (browsers take each file there for a stranger to every other), but it may load plain
scripts. So what starts a page goes out as one script with all that it takes, and so does what is loaded later.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping

from sitegen.scripts import Script, name_on_site

_BRING = """\
const here = document.currentScript.src;
const bring = (file) => new Promise((resolve, reject) => {
const found = () => globalThis.sitegenBrought?.[file]
if (found()) return resolve(found())
const script = document.createElement('script')
script.src = new URL(file, here)
script.onload = () => (found() ? resolve(found()) : reject(new Error(file)))
script.onerror = () => reject(new Error(file))
document.head.append(script)
});
"""
"""What `import()` becomes: a script element that leaves what it gives under its own name."""


def plain_scripts(modules: Mapping[str, str], starts: Iterable[str]) -> Mapping[str, str]:
    """Return the scripts that a site publishes, by the name they have there.

    `modules` are the texts of all modules by file name, and `starts` those that pages name. What is loaded later is
    published besides. What others wrote (`.js`) keeps its comments, which may hold a license. Raises KeyError if a
    module names one that is not there, and RecursionError if modules take each other in a circle; the reading of a
    theme tells both before.
    """
    scripts = {
        name: Script(text) if name.endswith(".js") else Script(text).without_comments()
        for name, text in modules.items()
    }
    published, waiting = {}, list(starts)
    while waiting:
        name = waiting.pop()
        if name in published:
            continue
        needed = list(dict.fromkeys(_needed(name, scripts)))
        published[name] = _joined(name, needed, scripts)
        waiting += [later for each in needed for later in sorted(scripts[each].brought)]
    return {name_on_site(name): text for name, text in sorted(published.items())}


def _needed(name: str, scripts: Mapping[str, Script]) -> Iterator[str]:
    """Yield what a module takes, and at last itself: each after all that it needs."""
    for taken in scripts[name].taken:
        yield from _needed(taken, scripts)
    yield name


def _joined(name: str, needed: Iterable[str], scripts: Mapping[str, Script]) -> str:
    """Return one script of a module and all that it needs, in their order, each in a scope of its own."""
    script, site_name = scripts[name], name_on_site(name)
    parts = [_part(each, scripts[each]) for each in needed]
    bring = _BRING if any(scripts[each].brought for each in needed) else ""
    kept = f"(globalThis.sitegenBrought ??= {{}})['{site_name}'] = made['{name}'];\n" if script.given else ""
    return "".join(["(() => {\n'use strict';\nconst made = {};\n", bring, *parts, kept, "})();\n"])


def _part(name: str, script: Script) -> str:
    taken = "".join(f"const {_named(names)} = made['{file}'];\n" for file, names in script.taken.items())
    text = script.plain(lambda file: f"bring('{name_on_site(file)}')")
    return f"made['{name}'] = (() => {{\n{taken}{text}\nreturn {_named(script.given)};\n}})();\n"


def _named(names: Mapping[str, str]) -> str:
    return f"{{ {', '.join(f'{there}: {here}' for there, here in names.items())} }}"

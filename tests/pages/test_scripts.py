"""Bundled scripts do what their modules do in Node, and style sheets keep their rules.

Sources: ECMA-262, 16.2 (Modules), as Node runs them; CSS Syntax Module Level 3, 4.3.6 (url tokens).
"""

from __future__ import annotations

import subprocess
from pathlib import Path

import pytest

from sitegen.bundling import BundlingError, bundled_scripts, minified_script, minified_style

PROGRAMS = {
    "names": {
        "start.mjs": """import { one, two as second } from './parts/numbers.mjs'
import Shape, { side } from './parts/shapes.min.mjs'
import * as all from "./parts/numbers.mjs";
const here = 'a name that another module uses too'
console.log(one, second(1), new Shape().sides, side, not_one(), here.length, Object.keys(all).sort().join())
function not_one() { return "import { x } from './y.mjs'" }
""",
        "parts/numbers.mjs": "const here = 0\nexport const one = 1\nexport function two(n) { return one + n + here }",
        "parts/shapes.min.mjs": "/* of others */class t{sides=4}const s='left';export{t as default,s as side};",
    },
    "a comment before a statement": {
        "start.mjs": "/** @type {boolean} */ const isOpen = false\nconsole.log(isOpen)\n",
    },
    "texts that look like comments": {
        "start.mjs": """// first
const a = `one
// two
/** three */
four` // five
  // six
console.log(a, 'https://example.com/', /[/]\\/\\*(?<n>\\p{L})/u.test('//*x'), 6 /*/ 2 /*/ / 3)
""",
    },
    "a circle": {
        "start.mjs": "import { a } from './a.mjs'; console.log(a())",
        "a.mjs": "import { b } from './b.mjs'; export function a() { return 'a' + b(0) } export const q = 7",
        "b.mjs": "import { a, q } from './a.mjs'; export function b(n) { return n ? a() : `b${q}` }",
    },
    "order and side effects": {
        "start.mjs": "import './a.mjs'; import { b } from './b.mjs'; console.log('start', b)",
        "a.mjs": "import './c.mjs'; console.log('a')",
        "b.mjs": "import './c.mjs'; export let b = 1; console.log('b'); b += 1",
        "c.mjs": "console.log('c')",
    },
    "strict, and not global": {
        "start.mjs": "const name = 1; function f() { return this } console.log(f(), typeof globalThis.name, name)",
    },
    "newer syntax": {
        "start.mjs": "import { g, Late } from './a.mjs'; for await (const v of g()) console.log(v, new Late().is)",
        "a.mjs": "export async function* g() { yield 1 } export class Late { is = 9; #p = 1; static { this.z = 1 } }",
    },
}  # fmt: skip


def run_node(script: Path) -> str:
    return subprocess.run(["node", script], capture_output=True, text=True, check=True).stdout


@pytest.mark.parametrize("program", PROGRAMS.values(), ids=PROGRAMS)
def test_a_bundle_does_what_the_modules_do(program: dict[str, str], tmp_path: Path):
    program = {path: text.replace("for await", "(async () => { for await") for path, text in program.items()}
    program = {path: text + (" })()" if "(async () =>" in text else "") for path, text in program.items()}
    for path, text in program.items():
        (tmp_path / path).parent.mkdir(exist_ok=True)
        (tmp_path / path).write_text(text, "utf-8")
    bundles = bundled_scripts(["start.mjs"], program)
    assert list(bundles) == ["start.js"]
    bundle = tmp_path / "start.cjs"
    bundle.write_text(bundles["start.js"], "utf-8")
    assert run_node(bundle) == run_node(tmp_path / "start.mjs") != ""
    assert bundled_scripts(["start.mjs"], program) == bundles, "the same input gives the same bytes"


def test_no_rule_is_lost_beside_an_address_that_looks_like_a_comment():
    style = minified_style("a{background:url(//x/*.png)} b{color:teal} /* last */ d{color:tan}")
    assert style == "a{background:url(//x/*.png)}b{color:teal}d{color:tan}"


@pytest.mark.parametrize(
    ("minified", "text", "place"),
    [
        (minified_script, "const a = {\n  b: 1,,\n}\n", (2, 8)),
        (minified_script, "const a = 1\n  const a = 2\n", (2, 9)),
        (minified_style, "a { color: teal }\nb { width: calc(1px + }\n", (2, 23)),
        (minified_style, "a { color: teal }\n.b: { color: tan }\n", (2, 5)),
    ],
)
def test_a_syntax_error_is_named_with_its_place(minified, text: str, place: tuple[int, int]):
    with pytest.raises(BundlingError) as error:
        minified(text)
    assert (error.value.line, error.value.column) == place


@pytest.mark.parametrize(
    ("text", "found"),
    [
        ("import { a } from './gone.mjs'\na()", "failed to resolve ./gone.mjs"),
        ("await 3", "a form that a classic script does not have"),
        ("export const a = 1", "a form that a classic script does not have"),
    ],
)
def test_a_module_that_cannot_become_a_classic_script_is_rejected(text: str, found: str):
    with pytest.raises(BundlingError, match=found):
        bundled_scripts(["start.mjs"], {"start.mjs": text})

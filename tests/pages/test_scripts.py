"""Plain scripts made of modules give what the modules give. Source: ECMA-262, 16.2 (Modules), as Node runs them."""

from __future__ import annotations

import subprocess
from pathlib import Path

from sitegen.pages.frame.scripts import plain_scripts
from sitegen.scripts import Script

MODULES = {
    "start.mjs": """import { one, two as second } from './numbers.mjs'
import Shape, { side } from './shapes.min.js'
const later = () => import('./later.mjs')
const here = 'a name that the joining uses too'
const say = ({ Late, told }) =>
  console.log(one, second(1), new Shape().sides, side, not_one(), told(here), new Late().is)
later().then(say)
function not_one() { return "import { x } from './y.mjs'" }
""",
    "numbers.mjs": "export const one = 1\nexport function two(more) {\n  return one + more\n}\n",
    "shapes.min.js": "/* of others */class t{sides=4}const s='left';export{t as default,s as side};",
    "later.mjs": """import {
  one,
} from './numbers.mjs'
export class Late { is = one + 9 }
export async function* never() {}
export const told = (words) => words.length
""",
}


def ran(script: Path) -> str:
    return subprocess.run(["node", script], capture_output=True, text=True, check=True).stdout


def test_plain_scripts_give_what_the_modules_give(tmp_path: Path):
    for name, text in MODULES.items():
        (tmp_path / name.replace(".min.js", ".min.mjs")).write_text(text.replace(".min.js", ".min.mjs"), "utf-8")
    as_modules = ran(tmp_path / "start.mjs")

    plain = plain_scripts(MODULES, ["start.mjs"])
    assert sorted(plain) == ["later.js", "start.js"]
    document = "const document = { currentScript: { src: 'file:///site/start.js' } };\n"
    joined = tmp_path / "joined.cjs"
    joined.write_text(plain["later.js"] + document + plain["start.js"], "utf-8")
    assert ran(joined) == as_modules
    assert as_modules == "1 2 4 left import { x } from './y.mjs' 32 10\n"


def test_forms_that_no_plain_script_can_be_made_of_are_found_where_they_stand():
    forms = [
        "import * as all from './a.mjs'",
        "export default 4",
        "export let x = 1",
        "await x",
        "import.meta",
        "import(u)",
    ]
    assert [found for found, _ in Script("\n".join(forms)).unknown()] == forms
    assert not [found for text in MODULES.values() for found, _ in Script(text).unknown()]


def test_comments_stay_in_the_theme_and_texts_stay_whole():
    text = """// first
/** Says
 * more. */
const a = `one
// two
/** three */
four` // five
  // six
/** Seven. */
export const b = 'https://example.com/'
"""
    kept = "const a = `one\n// two\n/** three */\nfour` // five\nexport const b = 'https://example.com/'\n"
    assert Script(text).without_comments().text == kept

"""The command line as a person meets it: help, wrong usage, exit codes, and no traceback for anybody's mistake."""

from __future__ import annotations

import json
import re
import subprocess
import sys

import jsonschema
import pytest
import yaml

from sitegen import __version__
from sitegen.commands import main
from sitegen.commands.entry import COMMANDS, RECORDS, STATUSES
from sitegen.reading.schemas import schemas
from sitegen.records.vehicle import Body, Drive, Fuel, Status
from tests.conftest import REPOSITORY


class CoreSchema(yaml.SafeLoader):
    """YAML as editors read it: the core schema of YAML 1.2.2, section 10.3.2, where `on` is a word."""


CoreSchema.yaml_implicit_resolvers = {}
for kind, pattern, first in (
    ("null", r"~|null|Null|NULL|", ["~", "n", "N", ""]),
    ("bool", r"true|True|TRUE|false|False|FALSE", list("tTfF")),
    ("int", r"[-+]?[0-9]+", list("-+0123456789")),
    ("float", r"[-+]?(\.[0-9]+|[0-9]+(\.[0-9]*)?)([eE][-+]?[0-9]+)?", list("-+.0123456789")),
):
    CoreSchema.add_implicit_resolver(f"tag:yaml.org,2002:{kind}", re.compile(f"^(?:{pattern})$"), first)


def test_help_names_every_command_and_shows_examples(capsys):
    assert main(["--help"]) == 0
    shown = capsys.readouterr().out
    for command in ("build", "check", "preview", "schema"):
        assert f"sitegen {command}" in shown
    assert "0 good, 1 problems in the store's files, 2 wrong usage" in shown


@pytest.mark.parametrize("command", ["build", "check", "preview", "schema"])
def test_every_command_has_help(capsys, command):
    assert main([command, "--help"]) == 0
    assert capsys.readouterr().out.startswith(f"usage: sitegen {command}")


def test_the_version_is_printed(capsys):
    assert main(["--version"]) == 0
    assert capsys.readouterr().out == f"sitegen {__version__}\n"


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        ([], "the following arguments are required: COMMAND"),
        (["polish"], f"sitegen: there is no command 'polish'; there are {', '.join(COMMANDS)}\n"),
        (["buidl", "demo_site"], "sitegen: there is no command 'buidl'; did you mean build?\n"),
        (["--vers"], "the following arguments are required: COMMAND"),
        (
            ["build", "demo_site", "--job", "2"],
            "sitegen build: there is no option '--job'; did you mean --jobs?",
        ),
        (
            ["build", "--job", "2", "demo_site"],
            "sitegen build: there is no option '--job'; did you mean --jobs?",
        ),
        (
            ["ledger", "demo_site", "verify", "--all"],
            "sitegen ledger STORE verify: there is no option '--all'",
        ),
        (["build"], "the following arguments are required: STORE"),
        (["build", "no/such/folder"], "there is no folder 'no/such/folder'"),
        (["build", "tests"], "'tests' is not a store's folder: it holds no site.yaml"),
        (["build", "demo_site", "--jobs", "0"], "expected a whole number from 1 to 1000, found '0'"),
        (["preview", "demo_site", "--port", "http"], "expected a whole number from 0 to 65535, found 'http'"),
        (["check", "demo_site", "--format", "xml"], "invalid choice: 'xml'"),
        (["schema", "tire"], "invalid choice: 'tire'"),
    ],
)
def test_wrong_usage_says_what_is_wrong_and_exits_with_2(capsys, monkeypatch, arguments, words):
    monkeypatch.chdir(REPOSITORY)
    assert main(arguments) == 2
    assert words in capsys.readouterr().err


@pytest.mark.parametrize("arguments", [["--version"], ["--help"], ["build", "--help"], ["schema", "--help"]])
def test_help_and_version_import_little(arguments):
    """What takes long to import is what a command needs, not its help; the bench `command_line` says how long."""
    heavy = {"pydantic", "PIL", "jinja2", "babel", "rich", "yaml", "asyncio", "watchfiles", "markdown"}
    script = (
        "import sys; from sitegen.commands import main; main(sys.argv[1:]); sys.stderr.write(' '.join(sys.modules))"
    )
    ran = subprocess.run(
        [sys.executable, "-c", script, *arguments], cwd=REPOSITORY, capture_output=True, text=True, check=True
    )
    assert ran.stdout
    assert not heavy & set(ran.stderr.split())


@pytest.mark.parametrize(
    ("written", "words"),
    [
        ("yesterday", "SOURCE_DATE_EPOCH should be whole seconds since 1970, but is 'yesterday'"),
        ("9" * 20, f"SOURCE_DATE_EPOCH should be seconds since 1970, but {'9' * 20} is too many"),
    ],
)
def test_an_invalid_source_date_epoch_is_wrong_usage(capsys, monkeypatch, written, words):
    """The SOURCE_DATE_EPOCH specification: an ASCII number of seconds; anything else should be an error."""
    monkeypatch.setenv("SOURCE_DATE_EPOCH", written)
    assert main(["check", str(REPOSITORY / "demo_site")]) == 2
    assert capsys.readouterr().err == f"sitegen: {words}\n"


def test_a_closed_output_pipe_is_no_error():
    """As `sitegen schema | head -1` does; POSIX, write(): EPIPE."""
    command = [sys.executable, "-m", "sitegen", "schema"]
    with subprocess.Popen(
        command, cwd=REPOSITORY, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True
    ) as process:
        process.stdout.close()
        assert process.stderr.read() == ""


@pytest.mark.parametrize("name", ["inspection", "site", "services"])
def test_the_demo_files_fit_the_printed_schemas(capsys, name):
    """Held by `jsonschema`, an independent implementation of JSON Schema 2020-12."""
    assert main(["schema", name]) == 0
    schema = json.loads(capsys.readouterr().out)
    jsonschema.Draft202012Validator.check_schema(schema)
    validator = jsonschema.Draft202012Validator(schema)
    files = list((REPOSITORY / "demo_site").rglob(f"{name}.yaml"))
    assert files
    for file in files:
        plain = yaml.load(file.read_text("utf-8"), CoreSchema)
        assert not [f"{file}: {fault.json_path}: {fault.message}" for fault in validator.iter_errors(plain)]
    assert list(validator.iter_errors({"no_such_key": 1}))


def test_every_schema_can_be_printed_by_name():
    assert list(RECORDS) == list(schemas())


def test_all_schemas_at_once_are_named_by_file(capsys):
    assert main(["schema"]) == 0
    assert list(json.loads(capsys.readouterr().out)) == ["inspection.yaml", "site.yaml", "services.yaml"]


def test_the_help_of_intake_names_every_body_drive_and_fuel(capsys):
    """It is written out there, since help must not load the records."""
    assert main(["intake", "--help"]) == 0
    help_text = " ".join(capsys.readouterr().out.split())
    assert not [key.value for kind in (Body, Drive, Fuel) for key in kind if key.value not in help_text]
    assert tuple(STATUSES) == tuple(Status)

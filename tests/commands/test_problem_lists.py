"""Long lists of problems are shortened, and `check` can be limited to errors or to one vehicle."""

from __future__ import annotations

import re
import shutil
from collections import Counter
from pathlib import Path

from hypothesis import given
from hypothesis import strategies as st

from sitegen.commands.shared.problem_lists import FEW, MOST_ALIKE, kind_of, printed_lines, summary
from sitegen.records.problems import Problem, Severity
from tests.conftest import run_sitegen

PROBLEMS = st.lists(
    st.builds(
        Problem,
        file=st.sampled_from(["vehicles/K101/inspection.yaml", "vehicles/K102/inspection.yaml", "site.yaml"]),
        line=st.integers(1, 400),
        column=st.just(1),
        where=st.sampled_from(["defects[1].photos", "defects[2].photos", "price", ""]),
        found=st.just("a thing"),
        expected=st.sampled_from(["2 photos", "3 photos", "a day"]),
        mend=st.just("add it"),
        severity=st.sampled_from(Severity),
    ),
    max_size=150,
).map(lambda problems: sorted(set(problems)))


@given(PROBLEMS)
def test_every_error_is_printed_and_every_warning_is_printed_or_counted(problems: list[Problem]):
    lines = list(printed_lines(problems))
    stood_for = sum(int(more[1]) for line in lines if (more := re.search(r"\(and (\d+) more like it", line)))
    assert len(lines) + stood_for == len(problems)
    assert [p.as_line() for p in problems if p.severity is Severity.ERROR] == [
        line for line in lines if ": warning: " not in line
    ]
    kinds = Counter((kind_of(p), p.expected[-6:]) for p in problems if p.severity is Severity.WARNING)
    assert len([line for line in lines if ": warning: " in line]) == sum(
        count if count <= MOST_ALIKE else 1 for count in kinds.values()
    )


@given(PROBLEMS)
def test_a_summary_counts_every_problem_once_by_vehicle_and_once_by_kind(problems: list[Problem]):
    lines = list(summary(problems))
    assert bool(lines) == (len(problems) > FEW)
    for line in lines:
        assert sum(int(number) for number in re.findall(r" (\d+)(?:,|$)", line)) == len(problems)


def test_check_is_limited_to_errors_or_to_one_vehicle(built_store: Path, tmp_path: Path):
    store = shutil.copytree(built_store, tmp_path / "store", ignore=shutil.ignore_patterns("published"))
    for stock in ("K900", "K901"):
        record = store / "vehicles" / stock / "inspection.yaml"
        record.write_text(re.sub("(?m)^price: .*", "price: soon", record.read_text("utf-8")), "utf-8")
    whole = run_sitegen("check", store).stderr
    assert "vehicles/K900/" in whole
    assert "vehicles/K901/" in whole
    one = run_sitegen("check", store, "--vehicle", "K901", "--only", "errors")
    assert one.returncode == 1
    assert "vehicles/K901/inspection.yaml" in one.stderr
    assert "K900" not in one.stderr
    assert "warning" not in one.stderr
    assert "Not shown: " in one.stdout
    unknown = run_sitegen("check", store, "--vehicle", "K9")
    assert (unknown.returncode, "no folder vehicles/K9" in unknown.stderr) == (2, True)
    inside = run_sitegen("check", store / "vehicles" / "K901" / "inspection.yaml")
    assert (inside.returncode, f"inside the store '{store}'" in inside.stderr) == (2, True)

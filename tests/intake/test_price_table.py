"""A supplier's table of prices comes into services.yaml: all of it or nothing, and every other line stays."""

from __future__ import annotations

import pytest

from sitegen.commands.entry import main
from sitegen.reading.validation.record_files import read_file
from sitegen.records.money.prices import PriceList

LIST = """\
# What we charge.
prices:
  tire: 90-350 from memory    # a guess
  coolant: 120-180

labor_rate: 110
for_some:
  - {service: tire, name: Wide, rim_from: 18, price: 150-200}
"""


@pytest.fixture
def store(tmp_path):
    (tmp_path / "site.yaml").touch()
    (tmp_path / "services.yaml").write_text(LIST, encoding="utf-8")
    return tmp_path


def imported(store, table: bytes) -> int:
    (store / "supplier.csv").write_bytes(table)
    return main(["services", str(store), str(store / "supplier.csv")])


@pytest.mark.parametrize("sign", [",", ";"])
@pytest.mark.parametrize("mark", [b"", b"\xef\xbb\xbf"])
def test_prices_come_in_and_every_other_line_stays(store, sign, mark):
    """RFC 4180, also with semicolons as spreadsheets of many countries write it, and with a byte order mark."""
    rows = [
        ["service", "price", "name", "rim_from", "cylinders", "hours", "parts"],
        ["tire", "110-150", "", "", "", "", ""],
        ["battery", "180", "", "", "", "", ""],
        ["tire", "190-240", f'"18 inches{sign} and more"', "18", "", "", ""],
        ["spark_plugs", "", "Six or eight", "", "6|8", "2-3", "90"],
    ]
    assert imported(store, mark + "".join(f"{sign.join(row)}\r\n" for row in rows).encode()) == 0
    written = (store / "services.yaml").read_text("utf-8")
    assert written.startswith("# What we charge.\nprices:\n  tire: 110-150    # a guess\n  coolant: 120-180\n")
    found = read_file(PriceList, store / "services.yaml", "services.yaml").record
    assert found is not None
    assert {service: (int(price.low), int(price.high)) for service, price in found.prices.items()} == {
        "tire": (110, 150),
        "coolant": (120, 180),
        "battery": (180, 180),
    }
    wide, plugs = found.for_some  # the entry for the same wheels is replaced
    assert wide.rim_from == 18
    assert wide.price is not None
    assert int(wide.price.high) == 240
    assert plugs.cylinders == (6, 8)


@pytest.mark.parametrize(
    ("table", "message"),
    [
        ("service,price\ntire,110\nbattery,18o\n", "supplier.csv:3:9: prices.battery: found 18o; expected a price"),
        ("service,price\ntyre,110\n", 'supplier.csv:2:1: prices.tyre: found the key "tyre"; expected a service'),
        ("service,cost\ntire,110\n", "supplier.csv:1:9: found the column 'cost'; expected a key of a price"),
        ("service,price\ntire,110\ntire,120\n", "supplier.csv:3:1: found tire a second time; expected each service"),
        ("service,price\ntire,110,4\n", "supplier.csv:2:10: found 3 cells; expected 2 cells"),
        ('service,price\ntire,"110\n', "supplier.csv:1:1: found no table"),
    ],
)
def test_one_wrong_cell_is_named_with_line_and_column_and_nothing_changes(store, capsys, table, message):
    assert imported(store, table.encode()) == 1
    assert message in "".join(capsys.readouterr())
    assert (store / "services.yaml").read_text("utf-8") == LIST


def test_the_same_table_again_changes_nothing(store):
    table = b"service,price,name,fuels\ncoolant,130,,\nengine_oil,105,Diesel engines,diesel\n"
    assert imported(store, table) == 0
    first = (store / "services.yaml").read_bytes()
    assert imported(store, table) == 0
    assert (store / "services.yaml").read_bytes() == first

"""Records that share equal values are unchanged and use less memory.

Each record is compared with a copy that shares nothing. Memory is measured by tracemalloc.
"""

from __future__ import annotations

import pickle
import tracemalloc

from sitegen.reading.intern_pool import InternPool
from sitegen.records.vehicle_record import VehicleRecord
from tests.builders import a_vehicle, looked_at_again
from tests.inventories import varied_vehicles

PLENTY = 60


def test_interning_does_not_change_a_record():
    alone = looked_at_again(a_vehicle(inspection={"done_on": "2026-08-04"}), a_vehicle())
    shared: VehicleRecord = pickle.loads(pickle.dumps(alone))
    one = InternPool()
    for record in (a_vehicle(), shared):
        one.share(record)
    assert shared == alone
    assert shared.earlier == alone.earlier
    assert shared.model_dump_json(exclude_unset=True) == alone.model_dump_json(exclude_unset=True)
    assert repr(shared) == repr(alone)
    changed = shared.model_copy(update={"price": None})
    assert (changed.price, changed.model_fields_set) == (None, {*alone.model_fields_set, "price"})
    assert shared == alone, "a copy changed what it was made of"


def test_interned_records_use_less_than_half_the_memory():
    packed = [pickle.dumps(a_vehicle(**changes)) for changes in varied_vehicles(PLENTY)]

    def room(one: InternPool | None) -> int:
        tracemalloc.start()
        records = [pickle.loads(each) for each in packed]
        for record in records if one else ():
            one.share(record)
        taken, _ = tracemalloc.get_traced_memory()
        tracemalloc.stop()
        return taken

    assert room(InternPool()) < 0.5 * room(None)

"""Where one batch fits, by hand on the tiny workshop: Monday is day 0, weekends 5-6, 12-13 ..."""

from dataclasses import replace
from fractions import Fraction

from planner.draft.bench import Bench, empty_bench
from planner.draft.capacity import HANDS
from planner.draft.daysets import ascending
from planner.draft.jobs import Job, Jobs, jobs_of
from planner.draft.placing import Openings, Placed, place
from planner.workshop import Lot, Material, Mould, Packaging, Place, Tray, Unit, Workshop
from tests.draft.pieces import free_amounts, rooms, with_bar
from tests.workshops import tiny


class Shop:
    """A workshop's bench, with one job to place on it."""

    def __init__(self, workshop: Workshop) -> None:
        self.bench: Bench = empty_bench(workshop)
        self.jobs: Jobs = jobs_of(workshop, self.bench.workdays, self.bench.pantry)
        self.job: Job = self.jobs.batches["bar"][0]

    def days(self) -> dict[int, int]:
        """Pour day -> pack day, wherever the batch fits."""
        found = Openings(self.bench, self.jobs, self.job)
        return {day: found.pack(day) for day in found.all()}

    def leave(self, minutes: int, day: int) -> None:
        """So many minutes of a day are free, whatever was."""
        hands = self.bench.free[HANDS]
        hands.take(day, day + 1, hands.amounts[day] - minutes)

    def put(self, day: int) -> Placed | None:
        found = Openings(self.bench, self.jobs, self.job)
        return place(self.bench, self.jobs, self.job, found, [day])


def test_pour_unmould_and_pack_fall_on_working_days() -> None:
    days = Shop(tiny()).days()
    # poured on Monday 0: unmoulded on 1, cured on Sunday 6, packed on Monday 7
    assert days[0] == 7
    # poured on Friday 4: unmoulded on Monday 7, packed on Saturday 12 -> Monday 14
    assert days[4] == 14
    assert 5 not in days
    # the last: poured on Wednesday 23, unmoulded on 24, packed on the last day
    assert (max(days), days[23]) == (23, 29)


def test_moulds_are_held_until_the_unmould_day() -> None:
    shop = Shop(tiny(moulds={"block": Mould(id="block", count=1, cavities=10)}))
    shop.put(4)
    # held from Friday 4 to Sunday 6, free again on Monday 7
    assert [day for day in range(2, 9) if day in shop.days()] == [2, 3, 7, 8]


def test_fillings_of_a_mould_emptied_on_the_same_day() -> None:
    workshop = with_bar(set_days=0).changed(
        moulds={"block": Mould(id="block", count=1, cavities=10, turns_per_day=2)}
    )
    shop = Shop(workshop)
    shop.put(3)
    assert 3 in shop.days()
    shop.put(3)
    assert 3 not in shop.days()
    assert 4 in shop.days()


def test_a_place_holds_moulds_of_all_kinds() -> None:
    shop = Shop(with_bar(place="shelf").changed(places={"shelf": Place(id="shelf", moulds=1)}))
    shop.put(1)
    assert 1 not in shop.days()
    assert 2 in shop.days()


def test_trays_are_held_from_unmoulding_to_packing() -> None:
    shop = Shop(tiny(trays={"tray": Tray(id="tray", count=1)}))
    shop.put(7)
    # on the tray from 8 up to Sunday 13: the next is packed by 8, or unmoulded on 14
    assert [day for day in range(0, 16) if day in shop.days()] == [0, 1, 2, 11, 14, 15]


def test_packing_waits_for_hands() -> None:
    shop = Shop(tiny())
    shop.leave(9, day=7)
    assert shop.days()[0] == 8
    shop.leave(10, day=7)
    assert shop.days()[0] == 7


def test_hands_on_one_day_add_up() -> None:
    workshop = with_bar(set_days=0, cure_days=0)
    shop = Shop(workshop)
    for day in ascending(shop.bench.workdays.works):
        shop.leave(79, day)
    # 60 min to make, 10 to unmould, 10 to pack: one minute too many, so it is packed a day later
    assert shop.days()[0] == 1
    shop.leave(80, day=0)
    assert shop.days()[0] == 0
    shop.leave(69, day=0)
    assert 0 not in shop.days()


def test_the_vessels_minutes_and_batches_a_day() -> None:
    shop = Shop(with_bar(vessel_minutes=200))
    shop.put(0)
    shop.put(0)
    assert 0 not in shop.days()
    once = Shop(with_bar(max_batches_per_day=1))
    once.put(0)
    assert 0 not in once.days()


def test_parts_must_be_there_on_the_pour_day() -> None:
    shop = Shop(tiny())
    # base for one batch; 1 kg more can be there from day 2 on
    shop.put(1)
    assert [day for day in range(4) if day in shop.days()] == [2, 3]
    assert min(Shop(tiny(lots=())).days()) == 2


def test_packaging_must_be_there_on_the_pack_day() -> None:
    box = Material(id="box", kind="packaging", unit=Unit.PIECE)
    workshop = tiny()
    bar = replace(
        workshop.products["bar"], packaging=(Packaging(material="box", per_bar=Fraction(1)),)
    )
    boxes = (
        Lot(item="box", lot="a", amount=9),
        Lot(item="box", lot="b", amount=1, usable=9, use_by=10),
    )
    shop = Shop(
        workshop.changed(
            materials={**workshop.materials, "box": box},
            products={"bar": bar},
            lots=(*workshop.lots, *boxes),
        )
    )
    # the tenth box comes on Wednesday 9 and is gone after Thursday 10
    assert shop.days() == {0: 9, 1: 9, 2: 9, 3: 9}
    assert shop.put(3) is not None
    assert shop.days() == {}


def test_a_batch_that_does_not_fit_leaves_the_bench_as_it_was() -> None:
    box = Packaging(material="base", per_bar=Fraction(100_000))
    lots = (Lot(item="base", lot="a", amount=1_500_000),)
    shop = Shop(with_bar(packaging=(box,)).changed(lots=lots, offers={}))
    before = free_amounts(shop.bench)
    assert shop.put(0) is None
    assert free_amounts(shop.bench) == before
    assert rooms(shop.bench) == [[1_500_000] * 30]

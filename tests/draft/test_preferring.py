"""On which of the days that fit a batch is tried first; day 0 of the tiny workshop is a Monday."""

from dataclasses import replace
from fractions import Fraction
from random import Random

from planner.draft.bench import Task, empty_bench
from planner.draft.capacity import HANDS, Take, tray_key
from planner.draft.jobs import jobs_of
from planner.draft.placing import Openings
from planner.draft.preferring import Preference, as_given, as_kept, shuffled, snuggest, tidiest
from planner.workshop import Tray, Workshop
from tests.draft.pieces import with_bar


def order(
    workshop: Workshop,
    prefer: Preference,
    pours: list[int],
    taken: dict[int, int],
    resource: str = HANDS,
) -> list[int]:
    """The pour days as preferred, where so much of a resource is taken on some days."""
    bench = empty_bench(workshop)
    takes = tuple(Take(resource, day, day + 1, amount) for day, amount in taken.items())
    bench.do(Task(takes=takes))
    jobs = jobs_of(workshop, bench.workdays, bench.pantry)
    job = jobs.batches["bar"][0]
    found = Openings(bench, jobs, job)
    assert set(pours) <= set(found.all())
    return list(prefer(bench, jobs, job, found, pours))


def test_the_rules_order_is_left_as_it_is() -> None:
    assert order(with_bar(), as_given, [8, 3, 2], {3: 60}) == [8, 3, 2]


def test_any_order_can_come_and_the_same_draw_gives_the_same() -> None:
    pours = [0, 1, 2, 3]
    orders = [order(with_bar(), shuffled(Random(seed)), pours, {}) for seed in range(30)]
    assert all(sorted(one) == pours for one in orders)
    assert len({tuple(one) for one in orders}) > 10
    assert orders[3] == order(with_bar(), shuffled(Random(3)), pours, {})


def test_the_days_of_a_kept_plan_come_first_for_the_same_product_and_size() -> None:
    missing = {("bar", 10, 2), ("bar", 10, 0), ("bar", 20, 1), ("other", 10, 1)}
    assert order(with_bar(), as_kept(missing), [3, 2, 1, 0], {}) == [2, 0, 3, 1]
    assert order(with_bar(), as_kept(()), [3, 2, 1, 0], {}) == [3, 2, 1, 0]


def with_steps(make: int, unmould: int, pack: int) -> Workshop:
    """Poured on s, a batch is unmoulded on s + 1 and packed on s + 6, on these working days."""
    return with_bar(
        make_minutes=make, unmould_minutes=unmould, pack_minutes_per_bar=Fraction(pack, 10)
    )


def test_a_day_on_which_making_would_waste_minutes_comes_last() -> None:
    """Steps of 155 and 250: of 250 left on day 1, making would leave 95 to waste.

    Of 480 on day 2 three steps of 155 fill 465, before as after.
    """
    workshop = with_steps(155, 0, 250)
    assert order(workshop, tidiest, [1, 2], {}) == [1, 2]
    assert order(workshop, tidiest, [1, 2], {1: 230}) == [2, 1]


def test_a_pack_day_that_packing_just_fills_comes_first() -> None:
    """Poured on 2 the batch is packed on 8, where 250 are left: packing takes all of them."""
    workshop = with_steps(155, 0, 250)
    assert order(workshop, tidiest, [1, 2], {8: 230}) == [2, 1]


def test_an_unmould_day_counts_too() -> None:
    """Of 155 left on day 2, unmoulding for 40 would waste 35; making there takes all."""
    assert order(with_steps(155, 40, 250), tidiest, [1, 2], {2: 325}) == [2, 1]


def test_made_and_unmoulded_on_one_day_is_one_step() -> None:
    """Steps of 195 and 250: 195 left on day 2 are filled, 250 left on day 1 lose 55."""
    workshop = with_bar(
        set_days=0, make_minutes=155, unmould_minutes=40, pack_minutes_per_bar=Fraction(25)
    )
    assert order(workshop, tidiest, [1, 2], {1: 230, 2: 285}) == [2, 1]


def test_days_on_trays_beside_which_others_leave_none_free_come_first() -> None:
    """A batch needs two of nine trays: poured on 1 from day 2 up to 7, poured on 9 from 10 to 15.

    Beside it count days 1 and 7, or 9 and 15.
    """
    workshop = replace(with_bar(bars_per_tray=5), trays={"tray": Tray(id="tray", count=9)})
    trays = tray_key("tray")
    assert order(workshop, snuggest, [1, 9], {}, trays) == [1, 9]
    assert order(workshop, snuggest, [1, 9], {9: 7}, trays) == [1, 9]
    assert order(workshop, snuggest, [1, 9], {9: 8}, trays) == [9, 1]
    assert order(workshop, snuggest, [9, 1], {7: 9}, trays) == [1, 9]
    assert order(workshop, snuggest, [1, 9], {7: 8, 9: 9}, trays) == [9, 1]
    assert order(workshop, snuggest, [1, 9], {8: 9}, trays) == [1, 9]


def test_nothing_is_free_beside_the_first_and_the_last_day() -> None:
    """Made and on trays on day 0: there is no day before it."""
    workshop = with_bar(set_days=0, bars_per_tray=5)
    assert order(workshop, snuggest, [3, 0], {}, tray_key("tray")) == [0, 3]

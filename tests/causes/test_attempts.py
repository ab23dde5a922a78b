"""One batch more: its size, its days, and what stands in its way on each of them."""

from dataclasses import replace

from planner.account import Account
from planner.causes import Cause
from planner.causes.attempts import Attempts
from planner.causes.room import Room
from planner.replay import replay
from planner.workshop import Lot, Mould, Product, Workshop
from tests.causes.cases import KG, base, busy, shop, with_bar
from tests.replay.plans import batch, plan
from tests.replay.rows import BAR


def idle(workshop: Workshop) -> Account:
    """The account of a plan that does nothing."""
    return replay(workshop, plan())


def causes(
    workshop: Workshop, facts: Account, last: int, first: int = 0, bars: int = 10
) -> dict[int, list[Cause]]:
    """Pour day -> what stands in the way of a batch."""
    product = workshop.products["bar"]
    tried = Attempts(workshop, facts).tried(product, bars, first, last)
    return {attempt.batch.pour: [block.cause for block in attempt.blocks] for attempt in tried}


def test_the_smallest_size_that_gives_enough_good_bars() -> None:
    workshop = with_bar(shop(), sizes=(10, 1, 5), keep_bars=1)
    attempts = Attempts(workshop, idle(workshop))

    def size(bars: int, product: Product = workshop.products["bar"]) -> int | None:
        return attempts.size_for(product, bars)

    assert (size(1), size(4), size(5), size(9), size(10), size(500)) == (5, 5, 10, 10, 10, 10)
    # a batch of one bar is kept whole
    kept = with_bar(shop(), sizes=(1,), keep_bars=1)
    assert Attempts(kept, idle(kept)).size_for(kept.products["bar"], 1) is None


def test_the_days_on_which_a_pour_is_in_time() -> None:
    # gone by day 9: poured on day 0 or 1 and packed on day 7, or on day 2 and packed on day 8
    assert list(causes(shop(), idle(shop()), last=9)) == [2, 1, 0]
    assert list(causes(shop(), idle(shop()), last=8)) == [1, 0]
    assert causes(shop(), idle(shop()), last=7) == {}


def test_bars_keep_to_the_first_day_on_which_they_are_wanted() -> None:
    keeping = with_bar(shop(), shelf_life_days=8)
    assert list(causes(keeping, idle(keeping), last=9, first=9)) == [2, 1]


def test_a_batch_is_packed_on_the_first_day_with_hands_for_it() -> None:
    workshop = shop()
    full = busy(idle(workshop), "hands", range(7, 8))  # Monday, day 7
    assert causes(workshop, full, last=8)[0] == [Cause.HANDS]
    assert causes(workshop, full, last=9)[0] == []
    next_day = busy(full, "hands", range(8, 9), 470)
    assert causes(workshop, next_day, last=9)[0] == []
    just = busy(idle(workshop), "hands", range(7, 8), 470)  # ten minutes are left, as needed
    assert causes(workshop, just, last=8)[0] == []
    assert causes(workshop, busy(full, "hands", range(7, 8), 471), last=8)[0] == [Cause.HANDS]


def test_trays_are_held_until_the_batch_is_packed() -> None:
    workshop = shop()
    taken = busy(idle(workshop), "tray", range(7, 8))
    assert causes(workshop, taken, last=9)[0] == []  # packed on day 7
    late = busy(taken, "hands", range(7, 8))
    assert causes(workshop, late, last=9)[0] == [Cause.TRAYS]  # packed on day 8
    for day in (1, 4, 6):
        held = busy(idle(workshop), "tray", range(day, day + 1))
        assert causes(workshop, held, last=8)[0] == [Cause.TRAYS]
    assert causes(workshop, busy(idle(workshop), "tray", range(1)), last=8)[0] == []


def test_moulds_are_held_up_to_the_unmould_day_or_filled_once() -> None:
    workshop = shop(moulds={"block": Mould(id="block", count=2, cavities=5, turns_per_day=3)})
    facts = idle(workshop)
    # two moulds over night take six of six fillings
    assert causes(workshop, busy(facts, "mould", range(1), 1), last=8)[0] == [Cause.MOULDS]
    assert causes(workshop, busy(facts, "mould", range(1, 2)), last=8)[0] == []
    quick = with_bar(workshop, set_days=0)
    facts = idle(quick)
    assert causes(quick, busy(facts, "mould", range(1), 4), last=8)[0] == []
    assert causes(quick, busy(facts, "mould", range(1), 5), last=8)[0] == [Cause.MOULDS]


def test_steps_of_one_day_share_its_hands() -> None:
    # made and unmoulded on day 0: 60 and 10 minutes
    quick = with_bar(shop(), set_days=0)
    facts = idle(quick)
    assert causes(quick, busy(facts, "hands", range(1), 410), last=8)[0] == []
    assert causes(quick, busy(facts, "hands", range(1), 411), last=8)[0] == [Cause.HANDS]


def test_the_daily_limit_counts_the_batches_of_the_plan() -> None:
    workshop = with_bar(shop(lots=base(3 * KG)), max_batches_per_day=1)
    facts = replay(workshop, plan(batch()))
    assert causes(workshop, facts, last=9) == {2: [], 1: [], 0: [Cause.DAILY_LIMIT]}


def test_the_first_day_on_which_bars_can_leave() -> None:
    workshop = shop()
    attempts = Attempts(workshop, idle(workshop))
    assert attempts.first_leaving_day(BAR) == 8
    assert attempts.first_leaving_day(replace(BAR, set_days=0, cure_days=0)) == 1
    assert attempts.first_leaving_day(replace(BAR, cure_days=40)) is None
    assert attempts.first_leaving_day(replace(BAR, set_days=40)) is None
    shut = shop(minutes=(0,) * 30)
    assert Attempts(shut, idle(shut)).first_leaving_day(BAR) is None


def test_the_fullest_day_is_told_and_nothing_needs_no_room() -> None:
    workshop = shop(lots=(Lot(item="base", lot="a", amount=KG),))
    facts = busy(busy(idle(workshop), "tray", range(2, 9), 8), "tray", range(5, 6), 9)
    room = Room(workshop, facts)
    block = room.block("tray", "tray", range(0, 9), 2)
    assert block is not None
    assert block.need == "2 trays (tray) on Sat 5 Sep: 1 of 10 are free"
    assert room.block("tray", "tray", range(0, 9), 1) is None
    overfull = Room(workshop, busy(idle(workshop), "tray", range(9), 12))
    assert overfull.block("tray", "tray", range(9), 0) is None
    crowded = overfull.block("tray", "tray", range(9), 1)
    assert crowded is not None
    assert crowded.need == "1 tray (tray) on Mon 31 Aug: 0 of 10 are free"

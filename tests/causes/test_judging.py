"""One cause for batches that did not fit, each from a plan with some days made full by hand.

Bars for day 14 can be poured on days 0 to 3. A batch poured on day 0 holds its tray on days 1 to 6,
one poured on day 1 on days 2 to 6, on day 2 on days 3 to 7, on day 3 on days 4 to 8.
"""

from planner.account import Account
from planner.causes import Cause
from planner.causes.attempts import Attempts
from planner.causes.filling import MOST_BATCHES, Want, Wants
from planner.causes.judging import judge
from planner.causes.records import Verdict
from planner.replay import replay
from planner.workshop import Mould, Tray, Workshop
from tests.causes.cases import KG, base, busy, shop, with_bar
from tests.replay.plans import plan
from tests.replay.rows import BAR

SHOP = shop(lots=base(9 * KG))
ONE_MOULD = SHOP.changed(moulds={"block": Mould(id="block", count=1, cavities=10)})


def idle(workshop: Workshop = SHOP) -> Account:
    return replay(workshop, plan())


def judged(account: Account, bars: int, workshop: Workshop = SHOP) -> Verdict:
    """The verdict on bars that are missing on day 14."""
    wants = Wants(product=BAR, rows=(Want(first=14, last=14, bars=bars),), whole=False)
    verdict = judge(workshop, Attempts(workshop, account), wants)
    assert verdict is not None
    return verdict


def test_of_things_that_help_alike_the_one_that_stops_most_days_is_the_cause() -> None:
    # day 0 has no mould, day 1 no pot, days 2 and 3 no tray
    full = busy(busy(busy(idle(), "mould", range(1)), "vessel", range(1, 2)), "tray", range(7, 8))
    cause, sentence = judged(full, 10)
    assert cause is Cause.TRAYS
    # told of the latest day on which it decides
    assert sentence == (
        "10 more bars of bar, poured on Thu 3 Sep, need 1 tray (tray) on Mon 7 Sep: "
        "0 of 10 are free"
    )


def test_what_helps_most_is_the_cause_though_it_stops_fewer_days() -> None:
    # As before, but 30 bars are missing and there is one mould: with trays without end days 2 and
    # 3 give 20 bars, with moulds without end day 0 gives them all.
    full = busy(idle(ONE_MOULD), "mould", range(1))
    full = busy(busy(full, "vessel", range(1, 2)), "tray", range(7, 8))
    assert judged(full, 20, ONE_MOULD).cause is Cause.TRAYS
    assert judged(full, 30, ONE_MOULD).cause is Cause.MOULDS


def test_where_nothing_alone_stands_in_the_way_things_are_named_together() -> None:
    full = busy(busy(idle(), "mould", range(4)), "vessel", range(1, 4))
    full = busy(full, "tray", range(7))
    # day 0: moulds and trays; days 1 to 3: vessel as well
    cause, sentence = judged(full, 10)
    assert cause is Cause.SEVERAL
    assert sentence == (
        "10 more bars of bar, poured on Mon 31 Aug, need together 1 mould (block) on Mon 31 Aug: "
        "0 of 10 are free, and 1 tray (tray) on Tue 1 Sep: 0 of 10 are free"
    )


def test_a_batch_fits_but_not_the_second_one() -> None:
    # day 0 has no mould, day 1 no pot, days 2 and 3 have a tray together
    full = busy(busy(idle(), "mould", range(1)), "vessel", range(1, 2))
    cause, sentence = judged(busy(full, "tray", range(7, 8), 9), 20)
    assert cause is Cause.TRAYS
    assert sentence == (
        "10 more bars of bar, poured on Thu 3 Sep, would fit and give 10 of the 20 bars; "
        "10 more bars of bar, poured on Thu 3 Sep, need 1 tray (tray) on Mon 7 Sep: "
        "0 of 10 are free"
    )


def test_nothing_stands_in_the_way_of_all_that_is_missing() -> None:
    cause, sentence = judged(busy(idle(), "mould", range(3)), 10)
    assert cause is Cause.BETTER_PLAN
    assert sentence == (
        "nothing stands in the way of 10 more bars of bar, poured on Thu 3 Sep: "
        "a better plan than this one may exist"
    )
    days = judged(idle(ONE_MOULD), 40, ONE_MOULD).sentence
    assert "40 more bars of bar, poured on Mon 31 Aug, Tue 1 Sep, Wed 2 Sep and 1 day more" in days


def test_more_batches_than_show_what_is_scarce_are_not_tried() -> None:
    ample = SHOP.changed(lots=base(99 * KG), trays={"tray": Tray(id="tray", count=10)})
    cause, sentence = judged(idle(ample), 1000, ample)
    assert cause is Cause.TRAYS
    assert "would fit and give 100 of the 1,000 bars" in sentence
    ample = ample.changed(trays={"tray": Tray(id="tray", count=99)})
    cause, sentence = judged(idle(ample), 1000, ample)
    assert cause is Cause.BETTER_PLAN
    assert f"{10 * MOST_BATCHES} more bars of bar" in sentence


def test_no_batch_can_be_in_time() -> None:
    wants = Wants(product=BAR, rows=(Want(first=7, last=7, bars=1),), whole=False)
    assert judge(SHOP, Attempts(SHOP, idle()), wants) is None


def test_what_spoils_before_it_is_asked_for_is_no_help() -> None:
    keeping = with_bar(SHOP, shelf_life_days=12)
    product = keeping.products["bar"]
    full = busy(idle(keeping), "vessel", range(2, 4))
    wants = Wants(product=product, rows=(Want(first=14, last=14, bars=10),), whole=False)
    verdict = judge(keeping, Attempts(keeping, full), wants)
    assert verdict is not None
    assert verdict.cause is Cause.VESSEL  # day 0 and 1 are too early: used by day 12 and 13

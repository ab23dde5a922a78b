"""Batches more, one after the other: which are poured, and what they leave missing."""

from dataclasses import replace

from planner.causes.adding import Pour, Taking
from planner.causes.attempts import Attempts
from planner.causes.filling import Filled, Want, Wants, fill
from planner.recipes import recipe_of
from planner.replay import replay
from planner.workshop import Workshop
from tests.causes.cases import KG, base, shop, with_bar
from tests.replay.plans import plan
from tests.replay.rows import BAR

SHOP = shop(lots=base(9 * KG))
TWO_SIZES = with_bar(SHOP, sizes=(10, 3))


def poured(pour: int, pack: int, bars: int = 10) -> Pour:
    recipe = recipe_of(TWO_SIZES, "bar", bars)
    return Pour(recipe=recipe, pour=pour, unmould=pour + 1, pack=pack, taking=Taking())


def lost(*rows: tuple[int, int], whole: bool = False, workshop: Workshop = SHOP) -> Wants:
    """Bars missing on single days."""
    wants = tuple(Want(first=day, last=day, bars=bars) for day, bars in rows)
    return Wants(product=workshop.products["bar"], rows=wants, whole=whole)


def filled(workshop: Workshop, wants: Wants) -> Filled:
    return fill(Attempts(workshop, replay(workshop, plan())), wants)


def poured_as(result: Filled) -> list[tuple[int, int]]:
    return [(batch.pour, batch.recipe.bars) for batch in result.batches]


def test_bars_go_where_they_are_missing_first_from_the_day_after_packing() -> None:
    wants = lost((7, 4), (8, 4), (9, 4), (10, 4))
    left = wants.without(poured(0, 7))
    assert [want.bars for want in left.rows] == [4, 0, 0, 2]
    assert (wants.served_by(poured(0, 7)), wants.served_by(poured(0, 9))) == (10, 4)
    assert wants.served_by(poured(0, 10)) == 0


def test_bars_past_their_date_serve_nobody() -> None:
    keeping = replace(BAR, shelf_life_days=9)
    wants = replace(lost((9, 4), (10, 4)), product=keeping)
    assert [want.bars for want in wants.without(poured(0, 7)).rows] == [0, 4]
    # an order that was due on day 9 could still have been met on day 10
    order = Want(first=9, last=29, bars=4)
    assert replace(wants, rows=(order,)).served_by(poured(0, 7)) == 4


def test_the_smallest_batch_that_gives_most_is_poured_on_the_latest_day() -> None:
    assert poured_as(filled(TWO_SIZES, lost((9, 3), workshop=TWO_SIZES))) == [(2, 3)]
    assert poured_as(filled(TWO_SIZES, lost((9, 12), workshop=TWO_SIZES))) == [(2, 10), (2, 3)]


def test_an_order_is_served_by_batches_large_enough() -> None:
    short = TWO_SIZES.changed(lots=base(KG // 2))  # base for three bars, not for ten
    for whole, batches in ((False, [(2, 3)]), (True, [])):
        wants = lost((9, 4), whole=whole, workshop=short)
        assert poured_as(filled(short, wants)) == batches


def test_pouring_ends_when_nothing_is_missing_or_nothing_fits() -> None:
    result = filled(SHOP, lost((9, 15)))
    assert (len(result.batches), result.wants.bars) == (2, 0)
    scarce = SHOP.changed(lots=base(KG))
    result = filled(scarce, lost((9, 15)))
    assert (len(result.batches), result.wants.bars) == (1, 5)

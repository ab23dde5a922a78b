"""What a plan leaves on the shelf for one use more, read from books of ten days made by hand."""

from dataclasses import replace
from fractions import Fraction
from itertools import accumulate

from planner.account import Account, BatchFacts, Flow, Load, Peg
from planner.causes import Cause
from planner.causes.records import Block
from planner.causes.room import Room
from planner.causes.stocks import Stocks
from planner.workshop import Delivery, Part, Preparation, Unit, Workshop
from tests.accounts import account
from tests.replay.plans import SHOP_OFFER
from tests.workshops import tiny

DAYS = 10


def books(
    opening: int,
    arrived: dict[int, int] | None = None,
    used: dict[int, int] | None = None,
    wasted: dict[int, int] | None = None,
) -> Flow:
    """The flow of an item over ten days."""
    came, went, spoiled = (
        tuple((moves or {}).get(day, 0) for day in range(DAYS)) for moves in (arrived, used, wasted)
    )
    changes = (a - b - c for a, b, c in zip(came, went, spoiled, strict=True))
    on_hand = tuple(accumulate(changes, initial=opening))[1:]
    return Flow(arrived=came, used=went, wasted=spoiled, on_hand=on_hand)


HANDS = Load(kind="hands", name="hands", unit="min", used=(0,) * DAYS, capacity=(480,) * DAYS)


def shop(*usable: int, **changes: object) -> Workshop:
    """Ten days of work; base is ordered on day 0 and usable on the given days."""
    offers = {
        f"offer {day}": replace(
            tiny().offers[SHOP_OFFER],
            id=f"offer {day}",
            deliveries=(Delivery(order=0, arrive=day, usable=day),),
        )
        for day in usable
    }
    return tiny(days=DAYS, minutes=(480,) * DAYS, offers=offers, **changes)


def block(workshop: Workshop, flow: Flow, amount: int, day: int, **more: object) -> Block | None:
    """What stops the use of `amount` of base on a day."""
    facts = account(**{"flows": {"base": flow}, "loads": (HANDS,), **more})
    return Stocks(workshop, facts, Room(workshop, facts)).block("base", amount, day)


def cause(workshop: Workshop, flow: Flow, amount: int, day: int) -> Cause | None:
    """Its cause alone."""
    found = block(workshop, flow, amount, day)
    return None if found is None else found.cause


def test_spare_is_what_no_later_day_needs() -> None:
    # 10 there, 4 used on day 5, 3 come on day 7: 6 on hand on days 5 and 6, then 9
    flow = books(10, arrived={7: 3}, used={5: 4})
    assert cause(shop(), flow, 6, 0) is None
    assert cause(shop(), flow, 7, 0) is Cause.MATERIAL
    assert cause(shop(), flow, 9, 7) is None
    assert cause(shop(), flow, 10, 7) is Cause.MATERIAL


def test_what_would_be_wasted_is_spare() -> None:
    # 10 there, of which 6 are waste on day 4: all of them can be used before that
    flow = books(10, wasted={4: 6})
    assert cause(shop(), flow, 10, 3) is None
    assert cause(shop(), flow, 4, 4) is None
    assert cause(shop(), flow, 5, 4) is Cause.MATERIAL
    # 4 are used on day 6: 6 are spare before
    flow = books(10, wasted={4: 6}, used={6: 4})
    assert cause(shop(), flow, 6, 3) is None
    assert cause(shop(), flow, 7, 3) is Cause.MATERIAL


def test_more_must_come_by_the_day_the_lack_is_felt() -> None:
    # 10 there, 8 used on day 5; 10 taken on day 1 are missing on day 5, not before
    flow = books(10, used={5: 8})
    assert cause(shop(5), flow, 10, 1) is None
    assert cause(shop(6), flow, 10, 1) is Cause.MATERIAL  # it is there, but promised elsewhere
    assert cause(shop(1), flow, 11, 1) is None
    assert cause(shop(2), flow, 11, 1) is Cause.LEAD_TIME  # more than ever was there by then


def test_the_lack_is_felt_once_waste_is_used_up() -> None:
    # 6 of 10 are waste on day 2, 3 are used on day 6: 7 can be taken on day 1, an eighth is missing
    # on day 6
    flow = books(10, wasted={2: 6}, used={6: 3})
    assert cause(shop(), flow, 7, 1) is None
    assert cause(shop(6), flow, 8, 1) is None
    assert cause(shop(7), flow, 8, 1) is Cause.MATERIAL
    # what was waste before the day itself is of no use; but 2 are there until day 6
    assert cause(shop(), flow, 2, 2) is Cause.MATERIAL
    assert cause(shop(6), flow, 2, 2) is None


def test_only_what_is_lacking_has_to_be_bought() -> None:
    # 400 g there, 1 kg wanted; a pack of 600 g is enough, one of 599 g is not
    workshop = shop(2)
    offer = replace(workshop.offers["offer 2"], max_packs=1, amount=600_000)
    flow = books(400_000)
    assert cause(workshop.changed(offers={"a": offer}), flow, 1_000_000, 2) is None
    less = replace(offer, amount=599_999)
    assert cause(workshop.changed(offers={"a": less}), flow, 1_000_000, 2) is Cause.MATERIAL


def test_lead_time_or_material_depends_on_what_had_come() -> None:
    # opening 5 and 5 on day 3, of which 2 are waste on day 0 and 6 are used on day 3
    flow = books(5, arrived={0: 1, 3: 5}, used={0: 1, 3: 6}, wasted={0: 2})
    # by day 3 eleven had come in all
    assert cause(shop(4), flow, 11, 3) is Cause.MATERIAL
    assert cause(shop(4), flow, 12, 3) is Cause.LEAD_TIME
    # by day 2 six
    assert cause(shop(4), flow, 6, 2) is Cause.MATERIAL
    assert cause(shop(4), flow, 7, 2) is Cause.LEAD_TIME


def _batch(product: str, day: int) -> BatchFacts:
    return BatchFacts(
        pour=day,
        product=product,
        bars=1,
        unmould=day,
        pack=day,
        lot=f"{product} {day}",
        in_progress=False,
        mass=1,
        sound=1,
        good=1,
        moulds=1,
        trays=1,
        parts={},
    )


def facts_of(uses: dict[tuple[str, int], int]) -> dict[str, object]:
    """Batches and pegs: (product, day) -> what it takes of base."""
    pegs = tuple(
        Peg(day=day, item="base", lot="a", use=f"{product} {day}", amount=amount)
        for (product, day), amount in uses.items()
    )
    return {"batches": tuple(_batch(*use) for use in uses), "pegs": pegs}


def test_the_takers_before_the_lack_ends_are_named_the_largest_first() -> None:
    uses = {("a", 0): 1, ("b", 1): 3, ("c", 2): 2, ("d", 3): 2, ("e", 6): 9}
    flow = books(8, arrived={6: 20}, used={day: amount for (_, day), amount in uses.items()})
    found = block(shop(), flow, 5, 3, **facts_of(uses))
    # from day 6 on 11 are left; what e takes on that day is no reason
    assert found == Block(
        Cause.MATERIAL,
        "0.005 g of base, missing from Thu 3 Sep until Sun 6 Sep: it goes into b, c, d",
    )


def test_what_is_lacking_is_less_than_what_is_wanted() -> None:
    found = block(shop(), books(10, used={1: 8}), 5, 3)  # 2 are spare
    assert found is not None
    assert found.need == "0.003 g of base, missing from Thu 3 Sep to the end of the plan"


def test_a_lack_ends_with_the_first_delivery_that_can_be_ordered() -> None:
    flow = books(8, arrived={8: 20}, used={1: 8})
    found = block(shop(6), flow, 5, 3, **facts_of({("a", 1): 8}))
    assert found is not None
    assert "until Sun 6 Sep: it goes into a" in found.need  # day 6, before day 8
    found = block(shop(9), flow, 5, 3, **facts_of({("a", 1): 8}))
    assert found is not None
    assert "until Tue 8 Sep" in found.need
    # a delivery on the very day would be in time; one before it may not keep so long
    spoiled = shop(2)
    offer = replace(spoiled.offers["offer 2"], shelf_life_days=0)
    found = block(spoiled.changed(offers={"a": offer}), flow, 5, 3)
    assert found is not None
    assert "until Tue 8 Sep" in found.need


# Preparations

TEA = Preparation(
    id="tea",
    unit=Unit.GRAM,
    charge=100,
    make_minutes=60,
    ready_days=2,
    formula=(Part(item="base", share=Fraction(1)),),
)


def tea_block(
    tea: Preparation = TEA,
    *,
    base: Flow | None = None,
    hands: Load = HANDS,
    amount: int = 100,
    day: int = 5,
    had: Flow | None = None,
) -> Block | None:
    """What stops the use of tea on a day."""
    workshop = shop(preparations={"tea": tea}, values={})
    flows = {"base": base or books(10_000), "tea": had or books(0)}
    facts: Account = account(flows=flows, loads=(hands,))
    return Stocks(workshop, facts, Room(workshop, facts)).block("tea", amount, day)


def busy_but(*free: int) -> Load:
    """Hands that have time on these days only."""
    return replace(HANDS, used=tuple(0 if day in free else 480 for day in range(DAYS)))


def test_a_lot_is_ready_on_its_day_and_keeps_to_its_last() -> None:
    assert tea_block(hands=busy_but(3)) is None
    assert tea_block(hands=busy_but(4)) is not None
    keeps = replace(TEA, shelf_life_days=4)
    assert tea_block(keeps, hands=busy_but(1)) is None
    stale = tea_block(keeps, hands=busy_but(0))
    assert stale is not None
    assert stale.cause is Cause.HANDS


def test_enough_lots_are_made_at_once() -> None:
    # 8 lots of an hour fill a day, 9 are too many; 50 are there already
    assert tea_block(amount=800) is None
    assert tea_block(amount=801) is not None
    assert tea_block(amount=850, had=books(50)) is None
    assert tea_block(amount=800, base=books(800)) is None
    assert tea_block(amount=800, base=books(799)) is not None


def test_the_latest_day_with_the_fewest_hindrances_is_told() -> None:
    # base is there from day 2 on, hands are free on days 0 and 1 only: one hindrance on each day
    found = tea_block(base=books(0, arrived={2: 100}), hands=busy_but(0, 1))
    assert found is not None
    assert found.cause is Cause.HANDS
    assert "on Thu 3 Sep" in found.need
    # with neither on days 2 and 3 the best days are those on which only base is missing
    found = tea_block(base=books(0, arrived={4: 100}), hands=busy_but(0, 1))
    assert found is not None
    assert found.cause is Cause.MATERIAL


def test_tea_too_late_or_taken() -> None:
    found = tea_block(day=1)
    assert found is not None
    assert found.cause is Cause.LEAD_TIME
    assert "made now it is ready on Wed 2 Sep" in found.need
    taken = tea_block(day=1, had=books(100, used={0: 100}))
    assert taken is not None
    assert taken.cause is Cause.MATERIAL


def test_nobody_works_at_all() -> None:
    workshop = tiny(days=DAYS, minutes=(0,) * DAYS, preparations={"tea": TEA}, values={})
    facts = account(flows={"tea": books(0)}, loads=(HANDS,))
    found = Stocks(workshop, facts, Room(workshop, facts)).block("tea", 1, 5)
    assert found is not None
    assert found.cause is Cause.HANDS

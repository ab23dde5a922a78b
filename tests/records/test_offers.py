"""Records of suppliers and of what they offer."""

from dataclasses import replace
from datetime import date
from decimal import Decimal

from planner.tables.rows import (
    Tables,
)
from planner.tables.values import (
    YearlyDay,
)
from planner.workshop import (
    Delivery,
    Offer,
    PriceStep,
)
from tests.checks.good import GOOD, added, changed
from tests.records.built import built


def test_suppliers() -> None:
    mill, printer = built().suppliers["Mill"], built().suppliers["Print"]
    assert (mill.freight, mill.free_freight_from, mill.minimum_order) == (1450, 25_000, 3000)
    assert (mill.pay_days, mill.lead_days, mill.lead_counts) == (30, 8, "working")
    assert (printer.freight, printer.free_freight_from, printer.minimum_order) == (0, None, None)


def offer(name: str, tables: Tables = GOOD) -> Offer:
    return built(tables).offers[name]


def test_rows_with_price_breaks_are_one_offer() -> None:
    drum = offer("Mill/wax/25 kg")
    assert drum.amount == 25_000_000
    assert drum.pack == "25 kg"
    assert drum.steps == (PriceStep(packs=1, price=19_000), PriceStep(packs=4, price=18_000))
    assert (drum.min_packs, drum.max_packs) == (1, None)
    assert list(built().offers) == [
        "Mill/wax/25 kg",
        "Mill/glycerin/5 kg",
        "Mill/petals/1 lb",
        "Print/box/500 ea",
    ]


def test_packs_in_other_units() -> None:
    assert offer("Mill/petals/1 lb").amount == 453_592
    # 5 kg of glycerin at 1.26 g/ml are 3,968.254 ml.
    assert offer("Mill/glycerin/5 kg").amount == 3_968_254


def test_steps_below_the_least_packs_are_taken_up_to_it() -> None:
    tables = changed("offers", 0, min_packs=2)
    assert offer("Mill/wax/25 kg", tables).steps == (
        PriceStep(packs=2, price=19_000),
        PriceStep(packs=4, price=18_000),
    )
    tables = changed("offers", 0, min_packs=5)
    assert offer("Mill/wax/25 kg", tables).steps == (PriceStep(packs=5, price=18_000),)


def test_steps_may_stand_in_any_order() -> None:
    tables = replace(GOOD, offers=tuple(reversed(GOOD.offers)))
    assert offer("Mill/wax/25 kg", tables).steps == offer("Mill/wax/25 kg").steps


def test_lead_times_of_offer_and_supplier() -> None:
    drum = offer("Mill/wax/25 kg")
    assert (drum.lead_days, drum.lead_days_late) == (8, 12)
    own = offer("Mill/wax/25 kg", changed("offers", 1, lead_days=10, lead_days_late=20))
    assert (own.lead_days, own.lead_days_late) == (10, 20)
    slow = offer("Mill/wax/25 kg", changed("offers", 0, lead_days=15))
    assert (slow.lead_days, slow.lead_days_late) == (15, 15), "never sooner than usual"
    assert offer("Print/box/500 ea").lead_days_late is None


def test_ids_of_offers_are_unique() -> None:
    seasonal = {"first_day": YearlyDay(9, 1), "last_day": YearlyDay(9, 30)}
    tables = changed("offers", 1, price_from_packs=1, **seasonal)
    tables = added(
        "offers", replace(tables.offers[1], first_day=date(2026, 10, 1), last_day=None), tables
    )
    assert [name for name in built(tables).offers if "wax" in name] == [
        "Mill/wax/25 kg",
        "Mill/wax/25 kg from --09-01",
        "Mill/wax/25 kg from 2026-10-01",
    ]


def test_pack_sizes_are_written_without_needless_zeros() -> None:
    tables = changed("offers", 3, pack_size=Decimal("0.500"))
    assert offer("Mill/petals/0.5 lb", tables).pack_size == "0.5"
    tables = changed("offers", 4, pack_size=Decimal("1E+2"))
    assert offer("Print/box/100 ea", tables).amount == 100


def test_delivery_days_by_hand() -> None:
    # Mill counts its own working days, Monday to Friday without 7 and 8 September. Ordered on
    # Monday 31 August (day 0), the 8th working day after it is Monday 14 September (day 14), a
    # working day of the workshop; wax is released one working day later, on Wednesday.
    drum = offer("Mill/wax/25 kg")
    assert drum.deliveries[0] == Delivery(order=0, arrive=14, usable=16)
    # Tuesday + 8 is Tuesday 15 September; the workshop works on Wednesday.
    assert drum.deliveries[1] == Delivery(order=1, arrive=16, usable=21)
    orders = [one.order for one in drum.deliveries]
    assert 5 not in orders, "no order day on Saturday"
    assert 7 not in orders, "Mill is closed"
    # Glycerin is usable on its arrival.
    assert offer("Mill/glycerin/5 kg").deliveries[0] == Delivery(order=0, arrive=14, usable=14)
    # Print counts calendar days: Monday 21 September, released on Wednesday.
    boxes = offer("Print/box/500 ea")
    assert boxes.deliveries[0] == Delivery(order=0, arrive=21, usable=23)
    assert all(one.usable < 60 for one in boxes.deliveries)
    assert boxes.deliveries[-1] == Delivery(order=35, arrive=56, usable=58)


def test_an_offer_that_cannot_be_used_stays_with_no_delivery() -> None:
    assert offer("Print/box/500 ea", changed("suppliers", 1, lead_days=100)).deliveries == ()

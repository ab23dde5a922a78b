"""From tables to the workshop: every rule by which a row becomes a record."""

from dataclasses import replace
from datetime import date
from decimal import Decimal
from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from planner.build import build
from planner.tables.columns import Column, Kind
from planner.tables.reader import read_folder
from planner.tables.rows import (
    ClosureRow,
    DemandRow,
    InProgressRow,
    MaterialRow,
    OfferRow,
    StockRow,
    Tables,
)
from planner.tables.schema import all_tables
from planner.tables.values import (
    MaterialKind,
    OrderStatus,
    Per,
    StockStatus,
    Weekday,
    YearlyDay,
)
from planner.units import known_units
from planner.workshop import (
    Budget,
    Delivery,
    Demand,
    DemandKind,
    Lot,
    Mould,
    Offer,
    Packaging,
    Part,
    Place,
    PriceStep,
    Tray,
    Underway,
    Unit,
    Vessel,
    Workshop,
)
from tests.checks.good import GOOD, TODAY, added, changed, without

DATA = Path(__file__).parent.parent / "data"


def built(tables: Tables = GOOD, today: date = TODAY) -> Workshop:
    workshop, findings = build(tables, today)
    assert workshop is not None, findings
    return workshop


# The workshop itself


def test_name_days_and_money() -> None:
    workshop = built()
    assert (workshop.name, workshop.currency, workshop.currency_digits) == ("Brook", "EUR", 2)
    assert (workshop.first_day, workshop.days) == (TODAY, 60)
    assert len(workshop.minutes) == 60


def test_the_same_tables_give_the_same_workshop() -> None:
    assert built() == built()
    assert repr(built()) == repr(built())


def test_hands_closures_holidays_and_extra_days() -> None:
    minutes = built().minutes
    assert minutes[0:7] == (300, 0, 300, 0, 0, 0, 0), "Ada on Monday, Ada and Ben on Wednesday"
    assert minutes[9] == 0, "the workshop is closed on Wednesday 9 September"
    assert minutes[12] == 100, "Ada works on Saturday 12 September"
    assert minutes[16] == 300


def test_a_public_holiday_closes_the_workshop() -> None:
    tables = changed("hands", 0, weekday=Weekday.SATURDAY)
    assert built(tables).minutes[33] == 0, "3 October 2026, a Saturday, is a holiday in Germany"
    abroad = changed("workshop", 0, tables, country=None)
    assert built(abroad).minutes[33] == 300


def test_a_person_on_holiday() -> None:
    away = ClosureRow(who="Ada", first_day=date(2026, 8, 31), last_day=date(2026, 9, 2))
    assert built(added("closures", away)).minutes[0:3] == (0, 0, 60)


def test_costs_and_their_defaults() -> None:
    costs = built().costs
    assert (costs.capital, costs.safety) == (Fraction(1, 10), Fraction(1, 1000))
    assert (costs.clean_down, costs.frozen_days) == (0, 0)
    tables = changed("workshop", 0, clean_down=Decimal("3.50"), capital_percent=Decimal("7.5"))
    assert built(tables).costs.clean_down == 350
    assert built(tables).costs.capital == Fraction(75, 1000)


def test_a_currency_without_decimals() -> None:
    workshop = built(changed("workshop", 0, currency="JPY"))
    assert workshop.currency_digits == 0
    assert workshop.products["rose"].price == 10
    assert workshop.products["mint"].price == 13, "12.50 is rounded half up, with a warning"


# What is made


def test_materials() -> None:
    glycerin = built().materials["glycerin"]
    assert (glycerin.kind, glycerin.unit) == ("ingredient", Unit.MILLILITRE)
    assert glycerin.density == Fraction(126, 100)
    assert glycerin.safety_stock == 500_000, "thousandths of a ml"
    assert glycerin.receive_days == 0
    assert built().materials["wax"].receive_days == 1, "as in the table workshop"
    slow = changed("workshop", 0, receive_days=3)
    assert built(slow).materials["wax"].receive_days == 3


def test_preparations() -> None:
    glycerite = built().preparations["glycerite"]
    assert glycerite.charge == 1_000_000
    assert glycerite.yields == Fraction(4, 5)
    assert glycerite.formula == (
        Part(item="glycerin", share=Fraction(9, 10)),
        Part(item="petals", share=Fraction(1, 10)),
    )
    assert (glycerite.vessel, glycerite.vessel_minutes) == ("pot", 30)
    toner = built().preparations["toner"]
    assert (toner.vessel, toner.vessel_minutes, toner.shelf_life_days) == (None, 0, None)
    assert toner.density == Fraction(11, 10)


def test_products() -> None:
    mint = built().products["mint"]
    assert (mint.pour_mg, mint.net_mg) == (82_000, 75_000)
    assert (mint.price, mint.wholesale_price) == (1250, 625)
    assert mint.sizes == (48, 96)
    assert (mint.loss, mint.reject, mint.keep_bars) == (Fraction(1, 50), Fraction(3, 100), 2)
    assert mint.pack_minutes_per_bar == Fraction(3, 2)
    assert mint.packaging == (Packaging(material="box", per_bar=Fraction(1)),)
    assert (mint.place, mint.importance) == ("fridge", Fraction(1))
    rose = built().products["rose"]
    assert rose.packaging == (Packaging(material="box", per_bar=Fraction(1, 2)),)
    assert (rose.place, rose.wholesale_price, rose.shelf_life_days) == (None, None, None)


def test_packaging_kept_in_g_counts_in_milligrams() -> None:
    film = MaterialRow(material="film", kind=MaterialKind.PACKAGING, unit=Unit.GRAM)
    tables = changed(
        "packaging", 0, replace(added("materials", film), in_progress=()), material="film"
    )
    tables = changed("packaging", 0, tables, quantity_per_bar=Decimal("1.5"))
    assert built(tables).products["mint"].packaging[0].per_bar == 1500


def test_equipment() -> None:
    workshop = built()
    assert workshop.moulds["six"] == Mould(id="six", count=4, cavities=6, turns_per_day=2)
    assert workshop.vessels["pot"] == Vessel(
        id="pot", count=1, capacity_mg=8_200_000, minutes_per_day=400
    )
    assert workshop.places == {"fridge": Place(id="fridge", moulds=8)}
    assert workshop.trays == {"rack": Tray(id="rack", count=12)}


# Suppliers and offers


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


# Stock


def lots(tables: Tables = GOOD) -> dict[str, Lot]:
    return {lot.lot: lot for lot in built(tables).lots}


def test_lots_on_hand() -> None:
    assert lots()["W1"] == Lot(
        item="wax",
        lot="W1",
        amount=10_000_000,
        use_by=(date(2028, 3, 1) - TODAY).days,
        supplier="Mill",
    )
    assert lots()["M1"].amount == 40, "bars"
    assert lots()["B1"].use_by is None


def test_quarantine_ends_after_its_receive_days() -> None:
    # Received on Monday, day 0; the next working day is Wednesday.
    assert lots()["P1"].usable == 2
    assert lots(changed("stock", 1, received=None))["P1"].usable == 2
    assert lots(changed("stock", 1, received=date(2026, 8, 26)))["P1"].usable == 0
    assert lots(changed("stock", 1, received=date(2026, 8, 27)))["P1"].usable == 2
    assert lots(changed("stock", 1, received=date(2010, 1, 1)))["P1"].usable == 0
    assert lots(changed("stock", 1, item="glycerin"))["P1"].usable == 0
    assert lots(changed("stock", 1, item="mint"))["P1"].usable == 2, "as in the table workshop"


def test_blocked_and_empty_lots() -> None:
    workshop = built(changed("stock", 0, status=StockStatus.BLOCKED))
    assert [lot.lot for lot in workshop.blocked] == ["W1"]
    assert [lot.lot for lot in workshop.lots] == ["P1", "M1", "B1", "G1"]
    assert "B1" not in lots(changed("stock", 3, quantity=Decimal(0)))


def test_a_lot_past_its_use_by_date_is_kept_to_be_wasted() -> None:
    assert lots(changed("stock", 0, use_by=date(2026, 8, 30)))["W1"].use_by == -1


def test_open_orders() -> None:
    (receipt,) = built().receipts
    assert receipt.amount == 25_000_000
    # Expected on Friday 4 September: arrives on Monday, released on Saturday 12 September, as
    # Wednesday 9 September is a closure.
    assert (receipt.expected, receipt.arrive, receipt.usable) == (4, 7, 12)
    assert receipt.confirmed


def test_an_overdue_order_arrives_on_the_first_day() -> None:
    tables = changed("open_orders", 0, expected=date(2026, 8, 22), status=OrderStatus.UNCONFIRMED)
    (receipt,) = built(tables).receipts
    assert (receipt.expected, receipt.arrive, receipt.usable) == (-9, 0, 2)
    assert not receipt.confirmed


def test_an_open_order_far_beyond_the_plan_has_its_days() -> None:
    (receipt,) = built(changed("open_orders", 0, expected=date(2027, 8, 31))).receipts
    assert (receipt.arrive, receipt.usable) == (366, 371), "Wednesday 1 and Monday 6 September"


# Under way


def underway(tables: Tables = GOOD) -> dict[str, Underway]:
    return {one.lot: one for one in built(tables).underway}


def test_batches_under_way() -> None:
    assert underway()["M2"] == Underway(
        lot="M2", product="mint", bars=96, pour=-7, unmould=-6, in_mould=False
    )
    assert underway()["M3"] == Underway(
        lot="M3", product="mint", bars=48, pour=-1, unmould=0, in_mould=True
    )


def test_a_batch_in_its_moulds_leaves_them_on_a_working_day_that_is_not_past() -> None:
    assert underway(changed("products", 0, set_days=2))["M3"].unmould == 2, "1 is a Tuesday"
    long_ago = changed("in_progress", 1, poured=date(2026, 7, 1))
    assert underway(long_ago)["M3"].unmould == 0
    closed = ClosureRow(who="workshop", first_day=TODAY, last_day=TODAY)
    assert underway(added("closures", closed, long_ago))["M3"].unmould == 2


def test_a_batch_without_a_night_in_the_mould_is_out_of_it() -> None:
    batch = InProgressRow(lot="R1", product="rose", bars=24, poured=date(2026, 8, 29))
    assert underway(added("in_progress", batch))["R1"] == Underway(
        lot="R1", product="rose", bars=24, pour=-2, unmould=-2, in_mould=False
    )


def test_a_preparation_under_way_is_a_lot() -> None:
    assert lots()["G1"] == Lot(item="glycerite", lot="G1", amount=700_000, usable=3, use_by=189)
    ready = changed("in_progress", 2, poured=date(2026, 8, 1))
    assert lots(ready)["G1"].usable == 0
    for_ever = changed("preparations", 0, shelf_life_days=None)
    assert lots(for_ever)["G1"].use_by is None


# Demand


def demand(name: str, tables: Tables = GOOD) -> Demand:
    return {row.id: row for row in built(tables).demand}[name]


def test_loss_weights_by_hand() -> None:
    """In thousandths of a cent: a mint bar costs 12.50, wholesale 6.25, a rose bar 10.00."""
    shop, inn = demand("shop"), demand("inn")
    assert (shop.weight, shop.unmet) == (1_250_000, 0), "each bar lost"
    assert (inn.weight, inn.unmet) == (300_000, 15_000_000), "2 % of 24 x 6.25 for each late day"
    opening, shelf = demand("opening"), demand("shelf")
    assert (opening.weight, opening.unmet) == (30_000_000, 30_000_000), "all of 30 x 10.00"
    assert (shelf.weight, shelf.unmet) == (12_500, 0), "1 % of the price for each bar and day"


def test_importance_of_product_and_row() -> None:
    tables = changed("products", 0, importance=Decimal("1.5"))
    tables = changed("demand", 3, tables, importance=Decimal(2))
    assert demand("shop", tables).weight == 1_875_000
    assert demand("inn", tables).weight == 900_000
    assert demand("inn", tables).importance == 3


def test_weights_are_rounded_half_up() -> None:
    tables = changed("demand", 0, importance=Decimal("0.0000004"))
    assert demand("shop", tables).weight == 1, "half a thousandth of a cent"
    tables = changed("demand", 0, importance=Decimal("0.00000039"))
    assert demand("shop", tables).weight == 0


def test_costs_of_late_orders_and_launches() -> None:
    tables = changed(
        "workshop",
        0,
        late_percent=Decimal(5),
        launch_percent=Decimal(250),
        restock_percent=Decimal("0.5"),
    )
    assert demand("inn", tables).weight == 750_000
    assert demand("opening", tables).weight == 75_000_000
    assert demand("shelf", tables).weight == 6_250
    assert demand("shop", tables).weight == 1_250_000


def test_an_order_without_a_wholesale_price_is_worth_the_retail_price() -> None:
    assert demand("inn", changed("products", 0, wholesale_price=None)).unmet == 30_000_000
    assert demand("inn", changed("products", 0, wholesale_price=Decimal(0))).unmet == 0


def test_days_of_demand() -> None:
    assert (demand("shop").day, demand("shop").last_day) == (0, None)
    assert (demand("shelf").day, demand("shelf").last_day) == (1, 20)
    began = changed("demand", 0, day=date(2026, 8, 1))
    assert demand("shop", began).day == -30
    late = changed("demand", 3, day=date(2026, 8, 29))
    assert demand("inn", late).day == -2
    lasting = changed("demand", 4, last_day=date(2026, 10, 29))
    assert demand("shelf", lasting).last_day == 59
    assert demand("shelf", changed("demand", 4, last_day=date(2026, 10, 30))).last_day is None


def test_launches_and_names() -> None:
    opening = demand("opening")
    assert (opening.kind, opening.launch, opening.day) == (DemandKind.LAUNCH, "Roses", 30)
    assert demand("inn").customer == "the inn"
    assert demand("shop", changed("demand", 0, launch="Roses")).launch == ""


def launch_of_mint(day: date) -> Tables:
    return added(
        "demand",
        DemandRow(
            demand="second",
            kind=DemandKind.LAUNCH,
            product="mint",
            quantity=5,
            day=day,
            launch="Roses",
        ),
    )


def test_all_rows_of_a_launch_have_its_latest_day() -> None:
    tables = launch_of_mint(date(2026, 10, 5))
    assert demand("opening", tables).day == demand("second", tables).day == 35


def test_demand_after_the_plan_is_left_out() -> None:
    def ids(tables: Tables) -> list[str]:
        return [row.id for row in built(tables).demand]

    assert ids(GOOD) == ["shop", "opening", "rose shop", "inn", "shelf"]
    assert "inn" in ids(changed("demand", 3, day=date(2026, 10, 29)))
    assert "inn" not in ids(changed("demand", 3, day=date(2026, 10, 30)))
    late_launch = changed("demand", 1, day=date(2026, 10, 30))
    assert ids(late_launch) == ["shop", "inn", "shelf"], "nor is rose sold before its launch"
    assert ids(launch_of_mint(date(2026, 10, 30))) == ["inn", "shelf"]
    assert "shop" not in ids(changed("demand", 0, day=date(2026, 8, 1), last_day=date(2026, 8, 30)))


def test_rows_of_no_bars_are_left_out_but_a_launch_says_when_retail_begins() -> None:
    empty = changed("demand", 3, changed("demand", 1, quantity=0), quantity=0)
    assert [row.id for row in built(empty).demand] == ["shop", "opening", "rose shop", "shelf"]


def test_budgets() -> None:
    assert built().budgets == (Budget(month="2026-09", first=1, last=30, amount=90_000),)


# Values


def test_values_by_hand() -> None:
    """Thousandths of a cent per 1,000 smallest units or bars."""
    values = built().values
    # Wax: from 4 drums on 180.00 for 25,000,000 mg.
    assert values["wax"] == 18_000 * 1000 * 1000 // 25_000_000 == 720
    # Glycerin: 26.00 for 3,968,254 thousandths of a ml.
    assert values["glycerin"] == round(Fraction(2600 * 1_000_000, 3_968_254)) == 655
    # Petals: 15.00 for 453,592 mg. Boxes: 230.00 for 500.
    assert values["petals"] == round(Fraction(1500 * 1_000_000, 453_592)) == 3307
    assert values["box"] == 46_000_000
    assert values["gloves"] == 0, "nobody offers them"


def test_value_of_preparations_by_hand() -> None:
    values = built().values
    # Glycerite: 900,000 mg of glycerin = 714,286 thousandths of a ml, and 100,000 mg of petals;
    # 800,000 mg of it can be used.
    glycerite = Fraction(714_286 * 655 + 100_000 * 3307, 1000)
    assert values["glycerite"] == round(glycerite * 1000 / 800_000) == 998
    # Toner: 550,000 mg of glycerite give 500,000 thousandths of a ml.
    assert values["toner"] == round(Fraction(550_000 * 998, 500_000)) == 1098


def test_value_of_products_by_hand() -> None:
    # Mint, 96 bars: 8,032,654 mg, 90.5 % wax, 9.5 % glycerite, 93 boxes; 91 bars can be sold.
    mass = 8_032_654
    wax, glycerite = -(-mass * 905 // 1000), -(-mass * 95 // 1000)
    cost = Fraction(wax * 720 + glycerite * 998 + 93 * 46_000_000, 1000)
    assert built().values["mint"] == round(cost * 1000 / 91)


def test_the_cheapest_offer_gives_the_value() -> None:
    cheap = OfferRow(
        supplier="Print",
        material="wax",
        pack_size=Decimal(1),
        pack_unit="kg",
        price=Decimal("7.10"),
    )
    assert built(added("offers", cheap)).values["wax"] == 710


# Whole workshops


@pytest.mark.parametrize("folder", ["demo", "first"])
def test_the_ready_made_workshops_have_no_error(folder: str) -> None:
    tables, findings = read_folder(DATA / folder)
    assert findings == ()
    workshop = built(tables)
    assert set(workshop.values) == {
        *workshop.materials,
        *workshop.preparations,
        *workshop.products,
    }


def test_a_workshop_with_required_columns_only() -> None:
    bare = replace(
        GOOD, closures=(), extra_days=(), stock=(), open_orders=(), in_progress=(), demand=(),
        sales=(), budget=(), cash=(), places=(),
    )  # fmt: skip
    workshop = built(changed("products", 0, bare, place=None))
    assert (workshop.lots, workshop.underway, workshop.demand) == ((), (), ())


NAMES = ("wax", "glycerite", "toner", "box", "mint", "rose", "pot", "Mill", "Ada", "workshop", "?")


def cells(column: Column) -> st.SearchStrategy[Any]:
    """Cells that the reader would let pass, at and between the column's bounds."""
    if column.kind in (Kind.WHOLE, Kind.NUMBER):
        numbers = st.sampled_from(_numbers(column))
        return numbers if column.kind is Kind.WHOLE else numbers.map(lambda one: Decimal(one))
    if column.choices:
        return st.sampled_from(column.choices).map(lambda text: _member(column, text))
    strategies: dict[Kind, st.SearchStrategy[Any]] = {
        Kind.DATE: st.dates(date(2026, 7, 1), date(2027, 7, 1)),
        Kind.YEARLY_DATE: st.sampled_from([date(2026, 9, 20), YearlyDay(2, 29), YearlyDay(9, 1)]),
        Kind.MONTH: st.sampled_from(["2020-01", "2026-09", "2199-12"]),
        Kind.UNIT: st.sampled_from(known_units()),
        Kind.CURRENCY: st.sampled_from(["EUR", "JPY", "KWD", "ZZZ"]),
        Kind.COUNTRY: st.sampled_from(["DE", "GB", "QX"]),
        Kind.SUBDIVISION: st.sampled_from(["BY", "QX"]),
    }
    return strategies.get(column.kind, st.sampled_from(NAMES))


def _numbers(column: Column) -> list[int]:
    """Whole numbers at and near the bounds of a column."""
    low = column.minimum if isinstance(column.minimum, int) else (column.above or 0) + 1
    high = column.maximum if isinstance(column.maximum, int) else (column.below or 0) - 1
    return sorted({low, min(low + 1, high), min(low + 40, high), high})


ENUMERATIONS = (DemandKind, Unit, MaterialKind, StockStatus, OrderStatus, Per, Weekday)


def _member(column: Column, text: str) -> Any:
    """The member of the enumeration that the column's choices come from."""
    if column.kind is Kind.WEEKDAYS:
        return (Weekday(text),)
    row = next(kind for kind in ENUMERATIONS if [str(one) for one in kind] == list(column.choices))
    return row(text)


@st.composite
def spoiled(draw: st.DrawFn) -> Tables:
    """The good tables with one to four cells replaced by others that can be read."""
    tables = GOOD
    places = [
        (name, index, column)
        for name, table in all_tables().items()
        for index in range(len(getattr(GOOD, name)))
        for column in table.columns
        if not column.choices or column.kind is Kind.WEEKDAYS or _has_member(column)
    ]
    for name, index, column in draw(st.lists(st.sampled_from(places), min_size=1, max_size=4)):
        blank = [] if column.required else [st.just(column.default)]
        value = draw(st.one_of(cells(column), *blank))
        tables = changed(name, index, tables, **{column.name: value})
    return tables


def _has_member(column: Column) -> bool:
    return any([str(one) for one in kind] == list(column.choices) for kind in ENUMERATIONS)


@settings(max_examples=50, deadline=None)
@given(tables=spoiled())
def test_spoiled_tables_give_findings_and_never_a_crash(tables: Tables) -> None:
    workshop, findings = build(tables, TODAY)
    assert (workshop is None) == any(finding.is_error for finding in findings)
    if workshop is not None:
        assert len(workshop.minutes) == workshop.days
        for one in workshop.offers.values():
            assert all(
                0 <= day.order <= day.arrive <= day.usable < workshop.days for day in one.deliveries
            )
            assert one.steps[0].packs == one.min_packs
            assert one.amount > 0
        assert all(row.day < workshop.days for row in workshop.demand)


def test_rows_left_out_by_the_reader_leave_no_workshop() -> None:
    workshop, findings = build(without("stock", 0), TODAY, complete=False)
    assert workshop is None
    assert findings == ()


def test_a_stock_row_without_a_unit_is_in_the_item_s_own() -> None:
    row = StockRow(item="toner", lot="T", quantity=Decimal("1.5"))
    assert lots(added("stock", row))["T"].amount == 1500

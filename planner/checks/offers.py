"""What suppliers offer: packs, prices, and days on which they can be had."""

from collections.abc import Iterator
from datetime import date
from fractions import Fraction
from itertools import pairwise

from planner.checks.faults import count, error, on, quoted, warning
from planner.days import date_of
from planner.findings import Finding
from planner.records.lookup import Records
from planner.records.making import receive_days_of
from planner.records.supply import offer_rows, offers_of, plain
from planner.tables.rows import OfferRow
from planner.tables.values import YearlyDay
from planner.workshop import Offer

TIMES_AS_DEAR = 10
"""A small pack costs up to five times the price of a drum per kg; common practice, no source."""

Rows = tuple[OfferRow, ...]


def _pack(row: OfferRow) -> str:
    return f"{plain(row.pack_size)} {row.pack_unit} of {quoted(row.material)}"


def check_supplier_terms(records: Records) -> Iterator[Finding]:
    """A supplier takes orders on some weekday; a late delivery comes no sooner than a usual one."""
    for row in records.tables.suppliers:
        if not row.order_days:
            yield error(
                "suppliers",
                row,
                "order_days",
                found="no weekday",
                expected="one weekday or more",
                action="leave the cell blank for Monday to Friday",
            )
        if row.lead_days_late is not None and row.lead_days_late < row.lead_days:
            yield error(
                "suppliers",
                row,
                "lead_days_late",
                found=f"{count(row.lead_days_late, 'day')}, sooner than the usual {row.lead_days}",
                expected=f"{row.lead_days} or more",
                action="exchange the two, or leave it blank",
            )


def check_offer_lead_days(records: Records) -> Iterator[Finding]:
    """A late delivery of an offer is no earlier than a usual one."""
    for rows, offer in offers_of(records):
        for row in rows:
            if row.lead_days_late is not None and row.lead_days_late < offer.lead_days:
                yield error(
                    "offers",
                    row,
                    "lead_days_late",
                    found=f"{count(row.lead_days_late, 'day')}, "
                    f"sooner than the usual {offer.lead_days}",
                    expected=f"{offer.lead_days} or more",
                    action="exchange the two, or leave it blank",
                )


def check_offer_windows(records: Records) -> Iterator[Finding]:
    """The days between which an offer can be ordered are both dates or both days of every year."""
    for rows in offer_rows(records):
        for row in rows:
            first, last = row.first_day, row.last_day
            yearly = [isinstance(day, YearlyDay) for day in (first, last) if day is not None]
            if any(yearly) and (not all(yearly) or len(yearly) == 1):
                yield error(
                    "offers",
                    row,
                    "last_day" if last is not None else "first_day",
                    found=f"{first or 'blank'} to {last or 'blank'}",
                    expected="two days of every year (--MM-DD), or dates (YYYY-MM-DD)",
                    action="write both in the same way; a season needs both",
                )
            elif isinstance(first, date) and isinstance(last, date) and last < first:
                yield error(
                    "offers",
                    row,
                    "last_day",
                    found=f"{last}, before the first day {first}",
                    expected="the first day or a later one",
                    action="exchange the two dates, or write --MM-DD for a season of every year",
                )


def check_offer_rows_agree(records: Records) -> Iterator[Finding]:
    """Rows of one offer differ in price and price_from_packs only."""
    columns = ("max_packs", "lead_days", "lead_days_late", "last_day", "shelf_life_days")
    for rows in offer_rows(records):
        for column in columns:
            given = [row for row in rows if getattr(row, column) is not None]
            yield from _disagreement(given, column)
        yield from _disagreement([row for row in rows if row.min_packs > 1], "min_packs")


def _disagreement(rows: list[OfferRow], column: str) -> Iterator[Finding]:
    for row in rows[1:]:
        if getattr(row, column) != getattr(rows[0], column):
            yield error(
                "offers",
                row,
                column,
                found=f"{getattr(row, column)} for {_pack(row)}, but "
                f"{getattr(rows[0], column)} in row {rows[0].row}",
                expected="the same on every row of one offer",
                action="write it on one row of the offer, or alike on all",
            )


def check_pack_bounds(records: Records) -> Iterator[Finding]:
    """min_packs is at most max_packs, and a price is known for every number of packs between."""
    for rows, offer in offers_of(records):
        first = rows[0]
        if offer.max_packs is not None and offer.max_packs < offer.min_packs:
            yield error(
                "offers",
                first,
                "max_packs",
                found=f"at most {offer.max_packs}, at least {count(offer.min_packs, 'pack')}",
                expected="max_packs no less than min_packs",
                action="exchange the two, or leave max_packs blank",
            )
            continue
        if first.price_from_packs > offer.min_packs:
            yield error(
                "offers",
                first,
                "price_from_packs",
                found=f"no price for fewer than {count(first.price_from_packs, 'pack')} "
                f"of {_pack(first)}",
                expected=f"a row with the price from {count(offer.min_packs, 'pack')} on",
                action=f"write {first.price_from_packs} in min_packs if fewer are not sold, "
                "or add the row, with the same first_day",
            )
        for row in rows:
            if offer.max_packs is not None and row.price_from_packs > offer.max_packs:
                yield warning(
                    "offers",
                    row,
                    "price_from_packs",
                    found=f"a price from {row.price_from_packs} packs on",
                    expected=f"at most max_packs, {offer.max_packs}: it can never be reached",
                    action="correct max_packs, or remove the row",
                )


def check_price_steps(records: Records) -> Iterator[Finding]:
    """More packs do not cost more each, and a pack costs something."""
    for rows in offer_rows(records):
        for fewer, more in pairwise(rows):
            if more.price > fewer.price:
                yield warning(
                    "offers",
                    more,
                    "price",
                    found=f"{plain(more.price)} from {more.price_from_packs} packs on, "
                    f"{plain(fewer.price)} from {fewer.price_from_packs}",
                    expected="a lower price for more packs",
                    action="exchange the prices; price is that of one pack, not of all",
                )
        for row in rows:
            if row.price == 0:
                yield warning(
                    "offers",
                    row,
                    "price",
                    found=f"0 for {_pack(row)}",
                    expected="the price of one pack; a free one is always bought first",
                    action="write the price, or leave it if it is a gift",
                )


def check_unit_prices(records: Records) -> Iterator[Finding]:
    """Packs of one material cost about the same per kg; ten times as much is a slip of the unit."""
    cheapest: dict[str, tuple[Fraction, OfferRow]] = {}
    for rows, offer in offers_of(records):
        price = _unit_price(rows[0], offer)
        known = cheapest.get(offer.material)
        if price > 0 and (known is None or price < known[0]):
            cheapest[offer.material] = (price, rows[0])
    for rows, offer in offers_of(records):
        price, row = _unit_price(rows[0], offer), rows[0]
        least, other = cheapest.get(offer.material, (Fraction(0), row))
        if price > least * TIMES_AS_DEAR > 0:
            yield warning(
                "offers",
                row,
                "pack_unit",
                found=f"{plain(row.price)} for {_pack(row)}, per unit "
                f"{plain(Fraction(round(price / least)))} times the price in row {other.row}",
                expected=f"less than {TIMES_AS_DEAR} times as much",
                action="check pack_size, pack_unit and price of both rows",
            )


def _unit_price(row: OfferRow, offer: Offer) -> Fraction:
    return Fraction(row.price) / offer.amount if offer.amount else Fraction(0)


def check_offers_can_be_used(records: Records) -> Iterator[Finding]:
    """An offer can be ordered on some day of the plan, and then arrive within it."""
    for rows, offer in offers_of(records):
        if offer.deliveries or not any(records.calendar.minutes):
            continue
        supplier = records.calendar.suppliers[offer.supplier]
        last = on(date_of(records.today, records.days - 1))
        open_days = any(supplier.takes_order(day) for day in range(records.days))
        yield warning(
            "offers",
            rows[0],
            "lead_days" if open_days else "supplier",
            found=f"{_pack(rows[0])} from {quoted(offer.supplier)}: ordered on any day of "
            "this plan, it could not be used within it",
            expected=f"a delivery that is released by {last}, the plan's last day",
            action="check lead_days, first_day and last_day, order_days and the supplier's "
            "closures; until then it is not planned with",
        )


def check_shelf_life_of_offers(records: Records) -> Iterator[Finding]:
    """What is bought can be used for at least a day after it is released."""
    for rows, offer in offers_of(records):
        waits = receive_days_of(records, offer.material)
        if offer.shelf_life_days is not None and offer.shelf_life_days < waits:
            yield error(
                "offers",
                next(row for row in rows if row.shelf_life_days is not None),
                "shelf_life_days",
                found=f"{count(offer.shelf_life_days, 'day')} from arrival, "
                f"{waits} of which pass until it is released",
                expected=f"{waits} or more",
                action="correct shelf_life_days, or receive_days of the material",
            )


def check_minimum_orders(records: Records) -> Iterator[Finding]:
    """Some order can reach a supplier's minimum."""
    for row in records.tables.suppliers:
        offers = [rows for rows, offer in offers_of(records) if offer.supplier == row.supplier]
        most = [(rows, _most_packs(rows)) for rows in offers]
        if row.minimum_order is None or not most or any(packs is None for _, packs in most):
            continue
        value = sum(packs * max(one.price for one in rows) for rows, packs in most if packs)
        if value < row.minimum_order:
            yield warning(
                "suppliers",
                row,
                "minimum_order",
                found=f"{plain(row.minimum_order)}, but all offers at max_packs come to "
                f"{plain(value)}",
                expected="a minimum that an order can reach",
                action="correct minimum_order, or max_packs in offers",
            )


def _most_packs(rows: Rows) -> int | None:
    given = [row.max_packs for row in rows if row.max_packs is not None]
    return given[0] if given else None


def check_materials_can_be_had(records: Records) -> Iterator[Finding]:
    """What is used can be bought, or some of it is there or on its way."""
    tables = records.tables
    had = dict.fromkeys(
        [row.material for row in tables.offers]
        + [row.item for row in tables.stock if row.quantity > 0 and row.status != "blocked"]
        + [row.material for row in tables.open_orders]
    )
    for row in tables.materials:
        if row.material in records.uses and row.material not in had:
            yield warning(
                "materials",
                row,
                "material",
                found=f"{quoted(row.material)} is used for "
                f"{quoted(records.uses[row.material][0])}, but there is none and no offer",
                expected="an offer, stock that is not blocked, or an open order",
                action="add who sells it to offers, or what there is to stock",
            )

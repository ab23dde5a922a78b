"""Records of what can be bought, what is there, and what is under way."""

from collections.abc import Iterator
from decimal import Decimal
from fractions import Fraction
from functools import lru_cache

from planner.days import Window, deliveries, receipt_days, release_day
from planner.records.lookup import Records
from planner.records.making import receive_days_of
from planner.tables.rows import (
    InProgressRow,
    OfferRow,
    OpenOrderRow,
    PreparationRow,
    ProductRow,
    StockRow,
    SupplierRow,
)
from planner.tables.values import OrderStatus, StockStatus
from planner.units import UnitError
from planner.workshop import Lot, Offer, PriceStep, Receipt, Supplier, Underway


def supplier_of(records: Records, row: SupplierRow) -> Supplier:
    """A supplier with its terms."""
    free_from, minimum = row.free_freight_from, row.minimum_order
    return Supplier(
        id=row.supplier,
        freight=records.money(row.freight),
        free_freight_from=None if free_from is None else records.money(free_from),
        minimum_order=None if minimum is None else records.money(minimum),
        pay_days=row.pay_days,
        lead_days=row.lead_days,
        lead_counts=row.lead_counts.value,
        note=row.note,
    )


# Offers


def offer_rows(records: Records) -> tuple[tuple[OfferRow, ...], ...]:
    """The rows of each offer, in the order of their prices' first pack.

    Rows with the same supplier, material, pack and first day are steps of one offer.
    """
    groups: dict[object, list[OfferRow]] = {}
    for row in records.tables.offers:
        key = (row.supplier, row.material, row.pack_size, row.pack_unit, row.first_day)
        groups.setdefault(key, []).append(row)
    return tuple(
        tuple(sorted(rows, key=lambda row: row.price_from_packs)) for rows in groups.values()
    )


@lru_cache(maxsize=4)
def offers_of(records: Records) -> tuple[tuple[tuple[OfferRow, ...], Offer], ...]:
    """Every offer with its rows; one whose supplier, material or unit is not known is left out."""
    found: list[tuple[tuple[OfferRow, ...], Offer]] = []
    for rows in offer_rows(records):
        offer = offer_of(records, rows, taken=tuple(offer.id for _, offer in found))
        if offer is not None:
            found.append((rows, offer))
    return tuple(found)


def offer_of(
    records: Records, rows: tuple[OfferRow, ...], taken: tuple[str, ...] = ()
) -> Offer | None:
    """The offer of some rows; None if its supplier, material or unit is not known.

    A cell given on any of the rows counts for all of them.
    """
    row = rows[0]
    supplier = records.suppliers.get(row.supplier)
    if supplier is None or row.material not in records.materials:
        return None
    try:
        amount = records.amount(row.material, row.pack_size, row.pack_unit)
    except UnitError:
        return None
    lead_days = lead_days_of(rows, supplier)
    min_packs = max(one.min_packs for one in rows)
    return Offer(
        id=_offer_id(row, taken),
        supplier=row.supplier,
        material=row.material,
        amount=amount,
        pack_size=plain(row.pack_size),
        pack_unit=row.pack_unit,
        steps=_steps(records, rows, min_packs),
        deliveries=deliveries(
            records.calendar.suppliers[row.supplier],
            records.calendar.working,
            window_of(rows),
            lead_days=lead_days,
            receive_days=receive_days_of(records, row.material),
            days=records.days,
        ),
        min_packs=min_packs,
        max_packs=given(rows, "max_packs"),
        lead_days=lead_days,
        lead_days_late=lead_days_late_of(rows, supplier),
        shelf_life_days=given(rows, "shelf_life_days"),
    )


def given(rows: tuple[OfferRow, ...], column: str) -> int | None:
    """The first cell of a column that is not blank on the rows of an offer."""
    found: Iterator[int] = (
        getattr(row, column) for row in rows if getattr(row, column) is not None
    )
    return next(found, None)


def window_of(rows: tuple[OfferRow, ...]) -> Window:
    """When an offer can be ordered."""
    last_days = [row.last_day for row in rows if row.last_day is not None]
    return Window(first=rows[0].first_day, last=last_days[0] if last_days else None)


def lead_days_of(rows: tuple[OfferRow, ...], supplier: SupplierRow) -> int:
    """An offer's lead time in days, or else its supplier's."""
    own = given(rows, "lead_days")
    return supplier.lead_days if own is None else own


def lead_days_late_of(rows: tuple[OfferRow, ...], supplier: SupplierRow) -> int | None:
    """An offer's late lead time in days, or else its supplier's, but never below its lead time."""
    own = given(rows, "lead_days_late")
    if own is not None:
        return own
    if supplier.lead_days_late is None:
        return None
    return max(supplier.lead_days_late, lead_days_of(rows, supplier))


def _steps(records: Records, rows: tuple[OfferRow, ...], min_packs: int) -> tuple[PriceStep, ...]:
    """The price steps that an order line of at least min_packs can reach, ascending."""
    reached = [row for row in rows if row.price_from_packs <= min_packs][-1:]
    later = [row for row in rows if row.price_from_packs > min_packs]
    return tuple(
        PriceStep(packs=max(row.price_from_packs, min_packs), price=records.money(row.price))
        for row in (*reached, *later)
    )


def _offer_id(row: OfferRow, taken: tuple[str, ...]) -> str:
    """Supplier/material/pack, with the first day or a number where that is not enough."""
    short = f"{row.supplier}/{row.material}/{plain(row.pack_size)} {row.pack_unit}"
    dated = f"{short} from {row.first_day}" if row.first_day is not None else short
    if short not in taken:
        return short
    names = (dated, *(f"{dated} ({number})" for number in range(2, len(taken) + 3)))
    return next(name for name in names if name not in taken)


def plain(number: Decimal | Fraction | int) -> str:
    """A number without needless zeros; one that does not end is rounded to three decimals."""
    if isinstance(number, Fraction):
        number = Decimal(round(number * 1000)) / 1000
    text = f"{Decimal(number):f}"
    return text.rstrip("0").rstrip(".") if "." in text else text


# Stock


def lot_of(records: Records, row: StockRow) -> Lot:
    """A lot on hand; in quarantine it can be used once its receive_days are over."""
    usable = 0
    if row.status is StockStatus.QUARANTINE:
        received = records.day(row.received or records.today)
        usable = release_day(records.calendar.working, received, receive_days_of(records, row.item))
    return Lot(
        item=row.item,
        lot=row.lot,
        amount=records.amount(row.item, row.quantity, row.unit),
        usable=usable,
        use_by=None if row.use_by is None else records.day(row.use_by),
        status=row.status.value,
        supplier=row.supplier or "",
        supplier_lot=row.supplier_lot,
    )


def receipt_of(records: Records, row: OpenOrderRow) -> Receipt:
    """An open order with the days of its arrival and release."""
    expected = records.day(row.expected)
    receive_days = receive_days_of(records, row.material)
    arrive, usable = receipt_days(records.calendar.working, expected, receive_days)
    return Receipt(
        reference=row.reference,
        supplier=row.supplier,
        material=row.material,
        amount=records.amount(row.material, row.quantity, row.unit),
        expected=expected,
        arrive=arrive,
        usable=usable,
        confirmed=row.status is OrderStatus.CONFIRMED,
    )


# Under way


def underway_of(records: Records, row: InProgressRow, product: ProductRow) -> Underway:
    """A batch under way.

    unmould = the day it left its moulds; without that day the pour day if it needs no night in
    the mould, else the first working day >= poured + set_days that is not past.
    """
    poured = records.day(row.poured)
    in_mould = row.unmoulded is None and product.set_days > 0
    if row.unmoulded is not None:
        unmould = records.day(row.unmoulded)
    elif in_mould:
        unmould = records.calendar.working.first(max(0, poured + product.set_days))
    else:
        unmould = poured
    return Underway(
        lot=row.lot,
        product=product.product,
        bars=row.bars or 0,
        pour=poured,
        unmould=unmould,
        in_mould=in_mould,
    )


def lot_under_way(records: Records, row: InProgressRow, preparation: PreparationRow) -> Lot:
    """A lot of a preparation under way: usable from ready_days to shelf_life_days after making."""
    made = records.day(row.poured)
    life = preparation.shelf_life_days
    return Lot(
        item=preparation.preparation,
        lot=row.lot,
        amount=records.amount(preparation.preparation, row.quantity or Decimal(0)),
        usable=max(0, made + preparation.ready_days),
        use_by=None if life is None else made + life,
    )

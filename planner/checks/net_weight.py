"""Label weight against poured weight."""

from collections.abc import Iterator
from decimal import ROUND_CEILING, Decimal

from planner.checks.faults import error, quoted, warning
from planner.findings import Finding
from planner.records.lookup import Records
from planner.records.supply import plain
from planner.tables.rows import ProductRow

# Directive 76/211/EEC, Annex I, 2.4: from this nominal mass on, the tolerable negative error is
# so many percent of it, or else so many grams.
_TOLERABLE = (
    (Decimal(5), Decimal(9), None),
    (Decimal(50), None, Decimal("4.5")),
    (Decimal(100), Decimal("4.5"), None),
    (Decimal(200), None, Decimal(9)),
    (Decimal(300), Decimal(3), None),
    (Decimal(500), None, Decimal(15)),
)
_LARGEST = Decimal(1000)

DRYING_SHARE = Decimal("0.02")
"""What even a bar with hardly any water loses in its cure; common practice, no source."""

LIGHTEST_BAR, HEAVIEST_BAR = Decimal(5), Decimal(500)


def tolerable_error(net_g: Decimal) -> Decimal | None:
    """How many grams one pack of `net_g` may be short: Directive 76/211/EEC, Annex I, 2.4.

    A percentage is rounded up to a tenth of a gram. None outside 5 g to 1 kg.
    """
    if not _TOLERABLE[0][0] <= net_g <= _LARGEST:
        return None
    _, percent, grams = [band for band in _TOLERABLE if band[0] <= net_g][-1]
    if grams is not None:
        return grams
    exact = net_g * (percent or Decimal(0)) / 100
    return exact.quantize(Decimal("0.1"), rounding=ROUND_CEILING)


def check_net_weight(records: Records) -> Iterator[Finding]:
    """A bar is not lighter than its label says, and some of its mass dries out in the cure."""
    for row in records.tables.products:
        if row.net_g > row.pour_g:
            yield error(
                "products",
                row,
                "net_g",
                found=f"{plain(row.net_g)} g on the label of {plain(row.pour_g)} g poured",
                expected="at most the mass poured",
                action="pour more, or print less",
            )
        elif row.net_g > row.pour_g * (1 - DRYING_SHARE):
            yield warning(
                "products",
                row,
                "net_g",
                found=f"{plain(row.net_g)} g on the label of {plain(row.pour_g)} g poured",
                expected=_room_to_dry(row),
                action="weigh cured bars; pour more, or print what a dry bar weighs",
            )


def _room_to_dry(row: ProductRow) -> str:
    tolerable = tolerable_error(row.net_g)
    room = f"{plain(DRYING_SHARE * 100)} percent or more for drying"
    if tolerable is None:
        return room
    return (
        f"{room}; the average must reach the label, and by 76/211/EEC hardly any bar "
        f"may be more than {plain(tolerable)} g short"
    )


def check_bar_weight(records: Records) -> Iterator[Finding]:
    """A bar outside 5 to 500 g is usually a slip of the unit."""
    for row in records.tables.products:
        if not LIGHTEST_BAR <= row.pour_g <= HEAVIEST_BAR:
            yield warning(
                "products",
                row,
                "pour_g",
                found=f"{plain(row.pour_g)} g poured for one bar of {quoted(row.product)}",
                expected=f"{LIGHTEST_BAR} to {HEAVIEST_BAR} g",
                action="write the mass of one bar in g, not in kg and not that of a batch",
            )

"""The batches week by week as a diary, what stays unpacked, and what to weigh for each."""

from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass
from itertools import groupby
from typing import Any

from rich.console import Group, RenderableType

from planner.causes import unpacked
from planner.workshop import Workshop
from reports.diary import Entry, entries
from reports.plan_json import batch_json
from reports.style import (
    NOTE,
    columns,
    folded,
    heading,
    indented,
    loud,
    plain,
    quiet,
    side_by_side,
)
from reports.view import View, envelope, head, number
from reports.words import count_text, list_text, weighed_text

EMPTY = "Nothing is poured, unmoulded or packed in this plan."
MINUTES = "{used:,} of {there:,} minutes of hands are planned."
WEIGH = "To weigh for one batch or lot"
MADE_IN = "one lot"
MOST_WIDE = 16
"""How wide one word of a name may make its column."""
LEGEND = "44 of 48 = bars to sell of bars poured; from = poured on; sell = from that day on."
STAYS = "Stays on its trays to the end of this plan"
CAUTION = "{note} {names}: {caution}"
SAFETY_SHEET = (
    "The safety data sheet of each material decides; read it before weighing. "
    "These notes are only reminders."
)


@dataclass(frozen=True, kw_only=True, order=True)
class WeighList:
    """What one batch of a product and size, or one lot of a preparation, takes."""

    name: str
    size: str
    parts: tuple[tuple[str, int], ...]


def weigh_lists(view: View) -> tuple[WeighList, ...]:
    """One list for each product and size, and each preparation, that the plan makes."""
    account = view.account
    batches = {
        WeighList(name=b.product, size=f"{b.bars} bars", parts=_largest_first(b.parts))
        for b in account.batches
        if not b.in_progress
    }
    made = {
        WeighList(name=m.preparation, size=MADE_IN, parts=_largest_first(m.parts))
        for m in account.preparations
    }
    return (*sorted(batches), *sorted(made))


def _largest_first(parts: Mapping[str, int]) -> tuple[tuple[str, int], ...]:
    return tuple(sorted(parts.items(), key=lambda part: (-part[1], part[0])))


def cautions(workshop: Workshop, lists: Iterable[WeighList]) -> tuple[tuple[str, str], ...]:
    """(name, caution) of everything that is weighed or made and has one, by name."""
    weighed = {item for one in lists for item, _ in one.parts} | {one.name for one in lists}
    warned = {name: record.caution for name, record in workshop.materials.items()}
    warned |= {name: record.caution for name, record in workshop.preparations.items()}
    return tuple(sorted((name, text) for name, text in warned.items() if name in weighed and text))


def content(view: View) -> dict[str, Any]:
    """The report as JSON."""
    lists = weigh_lists(view)
    weeks = [
        {
            "week": view.dates.week(first),
            "first_day": view.dates.iso(max(0, first)),
            "entries": [_entry_json(view, entry) for entry in found],
        }
        for first, found in _by_week(view)
    ]
    return envelope(
        view,
        "batches",
        {
            "batches": [
                {"lot": b.lot, **batch_json(view, b)} for b in sorted(view.account.batches)
            ],
            "weeks": weeks,
            "unpacked": [
                {
                    "lot": one.lot,
                    "product": one.product,
                    "bars": one.bars,
                    "cause": str(one.cause),
                    "detail": one.detail,
                }
                for one in unpacked(view.workshop, view.account)
            ],
            "weigh": [
                {
                    "name": one.name,
                    "size": one.size,
                    "parts": [_part_json(view, item, amount) for item, amount in one.parts],
                }
                for one in lists
            ],
            "cautions": [
                {"name": name, "caution": caution}
                for name, caution in cautions(view.workshop, lists)
            ],
        },
    )


def _part_json(view: View, item: str, amount: int) -> dict[str, Any]:
    unit = view.workshop.unit_of(item)
    return {"item": item, "quantity": number(amount, unit), "unit": str(unit)}


def _entry_json(view: View, entry: Entry) -> dict[str, Any]:
    return {
        "day": view.dates.iso(entry.day),
        "do": entry.deed.word,
        "name": entry.name,
        "lot": entry.lot,
        "much": entry.much,
        "on": entry.on,
        "then": entry.then,
    }


def page(view: View) -> RenderableType:
    """The report for a reader."""
    weeks = [part for first, found in _by_week(view) for part in _week(view, first, found)]
    return Group(
        head(view, "batches"),
        *([*weeks, plain(""), quiet(LEGEND)] if weeks else [plain(EMPTY)]),
        *_staying(view),
        *_weighing(view),
    )


def _by_week(view: View) -> list[tuple[int, list[Entry]]]:
    """(day number of the week's Monday, what is done in it)."""
    grouped = groupby(entries(view), key=lambda entry: view.dates.week_start(entry.day))
    return [(first, list(found)) for first, found in grouped]


def _week(view: View, first: int, found: list[Entry]) -> list[RenderableType]:
    last = min(first + 6, view.last_day)
    days = view.dates.between(max(0, first), last)
    table = columns("Day", "Do", "What", "Much", "On", "Then", right="nnlnll")
    before = None
    for entry in found:
        day = "" if entry.day == before else view.dates.text(entry.day)
        on, then = _in_lines(entry.on), _in_lines(entry.then)
        name = folded(entry.name, most=MOST_WIDE)
        table.add_row(day, entry.deed.word, name, entry.much, on, then)
        before = entry.day
    name = view.dates.week(first).capitalize()
    return [heading(f"{name}: {days}"), table, quiet(_minutes(view, max(0, first), last))]


def _in_lines(words: str) -> str:
    """Two things in one cell, each on a line of its own: side by side they would not fit."""
    return words.replace(", ", ",\n")


def _minutes(view: View, first: int, last: int) -> str:
    days = range(first, last + 1)
    hands = [load for load in view.account.loads if load.kind == "hands"]
    return MINUTES.format(
        used=sum(load.used[day] for load in hands for day in days),
        there=sum(load.capacity[day] for load in hands for day in days),
    )


def _staying(view: View) -> list[RenderableType]:
    """Batches under way that are cured and yet not packed, and what each would need."""
    found = unpacked(view.workshop, view.account)
    if not found:
        return []
    parts: list[RenderableType] = [heading(STAYS)]
    for one in found:
        bars = count_text(one.bars, "bar")
        parts.append(loud(f"{bars} of {one.product}, lot {one.lot} ({one.cause})"))
        parts.append(indented(plain(one.detail)))
    return parts


def _weighing(view: View) -> list[RenderableType]:
    lists = weigh_lists(view)
    if not lists:
        return []
    warned = cautions(view.workshop, lists)
    names = {name for name, _ in warned}
    parts: list[RenderableType] = [heading(WEIGH)]
    heads = [f"{folded(_noted(one.name, names))}\n{one.size}" for one in lists]
    first = max(len(_noted(item, names)) for one in lists for item, _ in one.parts)
    for some in side_by_side(heads, first, len("10,000 g")):
        table = _weigh_table(view, [heads[n] for n in some], [lists[n] for n in some], names)
        parts += [table] if some.start == 0 else [plain(""), table]
    same: dict[str, list[str]] = {}
    for name, caution in warned:
        same.setdefault(caution, []).append(name)
    parts.append(plain(""))
    for caution, those in same.items():
        parts.append(plain(CAUTION.format(note=NOTE, names=list_text(those), caution=caution)))
    if warned:
        parts.append(quiet(SAFETY_SHEET))
    return parts


def _weigh_table(
    view: View, heads: list[str], lists: list[WeighList], warned: Collection[str]
) -> RenderableType:
    table = columns("Item", *heads, right="n" + "r" * len(lists))
    amounts = [dict(one.parts) for one in lists]
    order = list(dict.fromkeys(item for one in lists for item, _ in one.parts))
    for item in order:
        unit = view.workshop.unit_of(item)
        cells = [weighed_text(held[item], unit) if item in held else "" for held in amounts]
        table.add_row(_noted(item, warned), *cells)
    return table


def _noted(name: str, warned: Collection[str]) -> str:
    return f"{NOTE} {name}" if name in warned else name

"""How full hands, vessels, moulds, places and trays are week by week, and the bottleneck."""

from fractions import Fraction
from typing import Any

from rich.console import Group, RenderableType

from planner.bottleneck import FULL, ResourceLoad, WeekLoad, bottleneck, resource_loads
from reports.style import (
    ACT,
    columns,
    folded,
    heading,
    loud,
    pairs,
    plain,
    quiet,
    side_by_side,
)
from reports.view import View, envelope, head
from reports.words import count_text, list_text, percent_text

MOST_SPANS = 3
NOTHING = "There is nothing to load: the workshop has no hands, vessels, moulds or trays."
LEGEND = (
    f"{ACT} = full: 90 % or more. Trays count on every day, the rest on working days only. Busiest "
    "are the four fullest weeks in a row; the bottleneck is the fullest resource that is full "
    "over them."
)


def resource_name(resource: ResourceLoad) -> str:
    """The resource as a reader knows it: "hands", "drying tray", "pot (vessel)"."""
    kind, name = resource.load.kind, resource.load.name
    return name if kind in name else f"{name} ({kind})"


def busiest(view: View, loads: tuple[ResourceLoad, ...]) -> str:
    """The bottleneck or, if there is none, what is busiest."""
    if not loads:
        return NOTHING
    first = loads[0]
    weeks = view.dates.between(first.busy_first, first.busy_last)
    where = f"{resource_name(first)} ({percent_text(first.busy)} full, {weeks})"
    if first.is_full:
        return f"The bottleneck is {where}."
    return f"No resource is full; the busiest is {where}."


def verdict(view: View, loads: tuple[ResourceLoad, ...]) -> str:
    """The bottleneck, and how busy the rest is: more of those would buy nothing."""
    rest = [f"{resource_name(other)} {percent_text(other.busy)}" for other in loads[1:]]
    words = busiest(view, loads)
    return f"{words} The rest, each over its busiest weeks: {list_text(rest)}." if rest else words


def content(view: View) -> dict[str, Any]:
    """The report as JSON."""
    loads = resource_loads(view.workshop, view.account)
    full = bottleneck(loads)
    return envelope(
        view,
        "load",
        {
            "bottleneck": None if full is None else resource_name(full),
            "resources": [_resource_json(view, resource) for resource in loads],
        },
    )


def _resource_json(view: View, resource: ResourceLoad) -> dict[str, Any]:
    return {
        "kind": resource.load.kind,
        "name": resource.load.name,
        "unit": resource.load.unit,
        "percent": _percent(resource.share),
        "busiest_percent": _percent(resource.busy),
        "busiest_from": view.dates.iso(resource.busy_first),
        "busiest_to": view.dates.iso(resource.busy_last),
        "full_days": [view.dates.iso(day) for day in resource.full_days],
        "weeks": [
            {
                "week": view.dates.week(week.first),
                "first_day": view.dates.iso(week.first),
                "last_day": view.dates.iso(week.last),
                "used": week.used,
                "capacity": week.capacity,
                "percent": _percent(week.share),
                "peak_day": view.dates.iso(week.peak),
            }
            for week in resource.weeks
        ],
    }


def _percent(share: Fraction | None) -> float | None:
    return None if share is None else round(float(share * 100), 1)


def page(view: View) -> RenderableType:
    """The report for a reader."""
    loads = resource_loads(view.workshop, view.account)
    full = bottleneck(loads)
    words = verdict(view, loads)
    return Group(
        head(view, "load"),
        plain(words) if full is None else loud(words),
        *_weeks(view, loads),
        *([heading("Peak days"), _peaks(view, loads), quiet(LEGEND)] if loads else []),
    )


def _weeks(view: View, loads: tuple[ResourceLoad, ...]) -> list[RenderableType]:
    heads = [folded(resource_name(resource), len("! 100 %")) for resource in loads]
    first = max((len(view.dates.text(w.first)) for one in loads for w in one.weeks), default=0)
    return [
        _week_table(view, [heads[n] for n in some], [loads[n] for n in some])
        for some in side_by_side(heads, first, len("! 100 %"))
    ]


def _week_table(view: View, heads: list[str], loads: list[ResourceLoad]) -> RenderableType:
    table = columns("Week from", *heads, right="n" + "r" * len(loads))
    for number, week in enumerate(loads[0].weeks):
        cells = [_cell(resource.weeks[number]) for resource in loads]
        table.add_row(view.dates.text(week.first), *cells)
    return Group(plain(""), table)


def _cell(week: WeekLoad) -> RenderableType:
    """The share of a week, with the sign before it where it is full."""
    words = percent_text(week.share)
    return loud(words) if week.share is not None and week.share >= FULL else plain(words)


def _peaks(view: View, loads: tuple[ResourceLoad, ...]) -> RenderableType:
    table = pairs()
    for resource in loads:
        table.add_row(folded(resource_name(resource), 20), plain(_peak_words(view, resource)))
    return table


def _peak_words(view: View, resource: ResourceLoad) -> str:
    """Over the whole plan, at the most, and on which days it is full."""
    words = f"{percent_text(resource.share)} of the whole plan"
    days = [week.peak for week in resource.weeks if week.peak is not None]
    if not days:
        return words
    load, peak = resource.load, max(days, key=lambda day: (_share_of(resource, day), -day))
    most = f"{load.used[peak]:,} of {load.capacity[peak]:,} {load.unit}"
    words += f"; at most {most}, {view.dates.text(peak)}"
    if not resource.full_days:
        return words
    full = list_text(view.dates.spans(resource.full_days), MOST_SPANS)
    return f"{words}; full on {count_text(len(resource.full_days), 'day')}: {full}"


def _share_of(resource: ResourceLoad, day: int) -> Fraction:
    return Fraction(resource.load.used[day], resource.load.capacity[day])

"""What every report reads: the workshop, its plan, the replay's account, and what to say first."""

import json
from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal
from functools import cached_property
from typing import Any

from rich.console import Group, RenderableType

from planner.account import Account
from planner.causes import Shortfall
from planner.findings import Finding
from planner.plan import Plan
from planner.staying import Staying
from planner.workshop import Unit, Workshop
from reports.style import loud, title
from reports.words import Currency, Dates, count_text

SCHEMA = 1


@dataclass(frozen=True, kw_only=True)
class View:
    """A plan and everything known about it. `stale` says, line by line, why it is out of date.

    `staying` tells how much of the plan before stays, where this one was made just now.
    """

    workshop: Workshop
    plan: Plan
    account: Account
    shortfalls: tuple[Shortfall, ...] = ()
    findings: tuple[Finding, ...] = ()
    stale: tuple[str, ...] = ()
    staying: Staying | None = None

    @cached_property
    def dates(self) -> Dates:
        """Writes this plan's day numbers."""
        return Dates(first=self.workshop.first_day)

    @cached_property
    def money(self) -> Currency:
        """Writes this workshop's money."""
        return Currency(code=self.workshop.currency, digits=self.workshop.currency_digits)

    @property
    def last_day(self) -> int:
        """The day number of the plan's last day."""
        return self.workshop.days - 1


def head(view: View, what: str) -> RenderableType:
    """The first lines of a report: what it is, of which plan, and whether that is out of date."""
    days = f"{view.dates.full(0)} to {view.dates.text(view.last_day)}"
    lines: list[RenderableType] = [title(f"{view.workshop.name}: {what}, {days}")]
    lines += [loud(reason) for reason in view.stale]
    if view.account.broken:
        lines.append(loud(_broken(view)))
    return Group(*lines)


def _broken(view: View) -> str:
    first = view.account.broken[0]
    rules = count_text(len(view.account.broken), "rule")
    return (
        f"This plan breaks {rules} of the day as the tables stand now. First: "
        f"{view.dates.text(first.day)}, {first.rule}: {first.message}"
    )


def envelope(view: View, report: str, content: Mapping[str, Any]) -> dict[str, Any]:
    """A report as JSON: which report, of which plan, and its content."""
    return {
        "schema": SCHEMA,
        "report": report,
        "workshop": view.workshop.name,
        "first_day": view.dates.iso(0),
        "last_day": view.dates.iso(view.last_day),
        "certified": view.account.certified,
        "stale": list(view.stale),
        **content,
    }


def json_text(content: Mapping[str, Any]) -> str:
    """JSON for a pipe: indented, in the given order, the same bytes every time."""
    return json.dumps(content, indent=2, ensure_ascii=False, allow_nan=False)


def number(amount: int, unit: Unit) -> int | float:
    """An amount in its base unit (g, ml, ea) as a JSON number, exact to its three decimals."""
    whole, rest = divmod(amount, unit.parts)
    return whole if rest == 0 else float(Decimal(amount) / unit.parts)

"""Moments as the store writes them: in UTC, to the second, for example 2026-08-31T07:15:00Z."""

from datetime import UTC, datetime


def now() -> datetime:
    """The present moment in UTC, without parts of a second."""
    return datetime.now(UTC).replace(microsecond=0)


def to_text(moment: datetime) -> str:
    """The moment as ISO 8601 text with Z for UTC; `moment` must know its time zone."""
    return moment.astimezone(UTC).strftime("%Y-%m-%dT%H:%M:%SZ")


def from_text(text: str) -> datetime:
    """The moment that `to_text` wrote."""
    return datetime.fromisoformat(text)

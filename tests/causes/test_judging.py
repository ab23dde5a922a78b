"""One cause for many batches that did not fit."""

from planner.causes import Cause
from planner.causes.attempts import Attempt
from planner.causes.judging import judge
from planner.causes.records import Block
from tests.causes.cases import shop


def attempt(pour: int, *causes: Cause) -> Attempt:
    """A batch that some causes stop."""
    blocks = tuple(Block(cause, f"more {cause} for day {pour}") for cause in causes)
    return Attempt(pour=pour, blocks=blocks)


def judged(*attempts: Attempt) -> tuple[Cause, str]:
    """The verdict on attempts at a batch of ten bars."""
    return judge(shop(), "bar", 10, attempts)


def test_the_cause_that_alone_stops_most_days_decides() -> None:
    cause, sentence = judged(
        attempt(9, Cause.HANDS),
        attempt(8, Cause.TRAYS),
        attempt(7, Cause.TRAYS),
        attempt(4, Cause.HANDS, Cause.MOULDS),
        attempt(3, Cause.HANDS, Cause.MOULDS),
    )
    assert cause is Cause.TRAYS
    # told of the latest day on which it decides
    assert sentence == "10 more bars of bar, poured on Tue 8 Sep, need more trays for day 8"


def test_where_several_causes_stop_every_day_the_best_day_decides() -> None:
    cause, sentence = judged(
        attempt(9, Cause.HANDS, Cause.TRAYS, Cause.MOULDS),
        attempt(8, Cause.VESSEL, Cause.MOULDS),
        attempt(7, Cause.HANDS, Cause.VESSEL, Cause.TRAYS),
        attempt(4, Cause.HANDS, Cause.TRAYS),
        attempt(3, Cause.MOULDS, Cause.HANDS, Cause.PLACE),
    )
    assert cause is Cause.MOULDS  # on day 8, and met on more days than the vessel is
    assert "poured on Tue 8 Sep, need more moulds" in sentence


def test_one_day_without_hindrance_is_enough() -> None:
    cause, sentence = judged(attempt(9, Cause.HANDS), attempt(8), attempt(7, Cause.HANDS))
    assert cause is Cause.UNKNOWN
    assert "10 more bars of bar, poured on Tue 8 Sep" in sentence

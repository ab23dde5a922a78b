"""Names the one cause of many batches that did not fit."""

from collections import Counter
from collections.abc import Iterable

from planner.causes.attempts import Attempt
from planner.causes.records import Cause, Verdict
from planner.wording import count_words, day_words
from planner.workshop import Workshop


def judge(workshop: Workshop, product: str, bars: int, attempts: Iterable[Attempt]) -> Verdict:
    """The cause that alone stands in the way on most days; `attempts` must not be empty.

    Where several causes stand in the way on every day, the day with the fewest of them counts
    (the latest of such days), and of these causes the one met on most days. The sentence is that
    of the latest day on which the cause decides.
    """
    tried = sorted(attempts, key=lambda attempt: -attempt.pour)
    fitting = next((attempt for attempt in tried if not attempt.blocks), None)
    if fitting is not None:
        return _no_cause(workshop, product, bars, fitting.pour)
    fewest = min(len(attempt.blocks) for attempt in tried)
    closest = [attempt for attempt in tried if len(attempt.blocks) == fewest]
    deciding = closest if fewest == 1 else closest[:1]
    alone = Counter(block.cause for attempt in deciding for block in attempt.blocks)
    overall = Counter(block.cause for attempt in tried for block in attempt.blocks)
    cause = max(alone, key=lambda cause: (alone[cause], overall[cause], cause))
    attempt = next(a for a in deciding if any(block.cause is cause for block in a.blocks))
    block = next(block for block in attempt.blocks if block.cause is cause)
    pour = day_words(workshop, attempt.pour)
    return Verdict(
        cause, f"{count_words(bars, 'more bar')} of {product}, poured on {pour}, need {block.need}"
    )


def _no_cause(workshop: Workshop, product: str, bars: int, pour: int) -> Verdict:
    sentence = (
        f"nothing stands in the way of {count_words(bars, 'more bar')} of {product}, poured on "
        f"{day_words(workshop, pour)}: a better plan than this one may exist"
    )
    return Verdict(Cause.UNKNOWN, sentence)

"""Names what held up the batches that a shortfall lacks."""

from collections import Counter

from planner.causes.attempts import Attempt, Attempts
from planner.causes.filling import Filled, Wants, fill, useful
from planner.causes.records import Cause, Verdict
from planner.wording import count_words, day_words
from planner.workshop import Workshop

MOST_DAYS = 3
"""Pour days that a sentence names."""

Group = frozenset[Cause]


def judge(workshop: Workshop, attempts: Attempts, wants: Wants) -> Verdict | None:
    """What there must be more of, and of nothing else, for most of the missing bars to be made.

    Batches are poured on top of the plan as long as any fits. If bars are still missing, each
    thing that alone stands in the way of a next batch is lifted in turn, and batches are poured
    again; the cause is the thing that then leaves the fewest missing. Where nothing stands in the
    way alone, things are lifted together. None if no batch at all could be in time.
    """
    filled = fill(attempts, wants)
    following = list(useful(filled.attempts, filled.wants))
    stuck = [attempt for attempt in following if attempt.blocks]
    if len(stuck) < len(following) or (filled.batches and not stuck):
        return _no_cause(workshop, filled)
    if not stuck:
        return None
    group = _scarce(attempts, wants, filled, stuck)
    cause = next(iter(group)) if len(group) == 1 else Cause.SEVERAL
    sentence = _sentence(workshop, _told(stuck, group))
    if filled.batches:
        given = f"{wants.bars - filled.wants.bars:,} of the {count_words(wants.bars, 'bar')}"
        sentence = f"{_batches(workshop, filled)}, would fit and give {given}; {sentence}"
    return Verdict(cause, sentence)


def _scarce(attempts: Attempts, wants: Wants, filled: Filled, stuck: list[Attempt]) -> Group:
    """The things that help most when they are lifted together; as few things as help at all.

    Of those that help alike it is what decides on most days, then what is met on most.
    """
    decides = Counter(attempt.causes for attempt in stuck)
    met = Counter(cause for attempt in stuck for cause in attempt.causes)

    def merit(group: Group) -> tuple[int, int, int, list[Cause]]:
        helped = filled.wants.bars - fill(attempts.lifting(group), wants).wants.bars
        return helped, decides[group], sum(met[cause] for cause in group), sorted(group)

    fewest: list[Cause] = []
    for count in sorted({len(group) for group in decides}):
        helped, *_, best = max(merit(group) for group in decides if len(group) == count)
        if helped > 0:
            return frozenset(best)
        fewest = fewest or best
    return frozenset(fewest)


def _told(stuck: list[Attempt], group: Group) -> Attempt:
    """The attempt to tell of: the smallest batch that lacks just these things, poured latest."""
    lacking = [attempt for attempt in stuck if attempt.causes == group]
    return min(lacking, key=lambda attempt: (attempt.batch.recipe.bars, -attempt.batch.pour))


def _sentence(workshop: Workshop, attempt: Attempt) -> str:
    """A batch, and what it needs."""
    recipe = attempt.batch.recipe
    together = "together " if len(attempt.blocks) > 1 else ""
    needs = ", and ".join(block.need for block in attempt.blocks)
    return (
        f"{count_words(recipe.bars, 'more bar')} of {recipe.product}, poured on "
        f"{day_words(workshop, attempt.batch.pour)}, need {together}{needs}"
    )


def _batches(workshop: Workshop, filled: Filled) -> str:
    """All batches that fit, and when they would be poured."""
    bars = sum(batch.recipe.bars for batch in filled.batches)
    days = [day_words(workshop, day) for day in sorted({batch.pour for batch in filled.batches})]
    told = ", ".join(days[:MOST_DAYS])
    if len(days) > MOST_DAYS:
        told += f" and {count_words(len(days) - MOST_DAYS, 'day')} more"
    return f"{count_words(bars, 'more bar')} of {filled.wants.product.id}, poured on {told}"


def _no_cause(workshop: Workshop, filled: Filled) -> Verdict:
    sentence = (
        f"nothing stands in the way of {_batches(workshop, filled)}: "
        "a better plan than this one may exist"
    )
    return Verdict(Cause.BETTER_PLAN, sentence)

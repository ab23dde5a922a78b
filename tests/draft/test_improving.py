"""Ruin and recreate on the list schedule; the plans that come of it are judged by the replay."""

from collections import Counter
from collections.abc import Callable, Sequence
from dataclasses import replace
from random import Random

import pytest

from planner.draft import improving
from planner.draft.choice import Choice, judged
from planner.draft.draft import ListScheduler
from planner.draft.improving import (
    FEWEST,
    LARGEST,
    MOST,
    WAYS,
    Clock,
    _all_but_some,
    around_a_day,
    improved,
    in_a_span,
    of_two_products,
    rebuild,
)
from planner.draft.keeping import NOTHING, Kept, kept_of
from planner.draft.placing import Placed
from planner.draft.ranking import Rule, due_day
from planner.draft.schedule import Pass, Start, first_need_of
from planner.draft.selling import Sold
from planner.draft.writing import batches_of
from planner.replay import earliest_promises, replay
from tests.draft.pieces import free_amounts, rooms
from tests.draft.twists import twisted
from tests.workshops import Bottleneck, random_workshop, tiny

Way = Callable[[Sequence[Placed], Random], list[int]]

DIFFERENT_WAYS = [around_a_day, of_two_products, in_a_span]


def scarce(seed: int = 3, bottleneck: Bottleneck = "hands") -> ListScheduler:
    workshop = random_workshop(seed=seed, products=4, days=90, bottleneck=bottleneck)
    return ListScheduler(workshop)


def days_of(choice: Choice) -> list[tuple[str, int, int]]:
    return [(one.job.product.id, one.pour, one.pack) for one in choice.schedule.placed]


# The search


@pytest.mark.parametrize("bottleneck", ["trays", "hands"])
def test_more_tries_never_lose_more(bottleneck: Bottleneck) -> None:
    made = scarce(bottleneck=bottleneck)
    few, many = (improved(made.start, made.best, made.rules, tries) for tries in (0, 30))
    assert few is made.best
    assert few.sold.loss > many.sold.loss > 0


def test_the_same_seed_gives_the_same_schedule_and_another_may_not() -> None:
    made = scarce()
    once, again, other = (
        improved(made.start, made.best, made.rules, 20, seed) for seed in (1, 1, 2)
    )
    assert days_of(once) == days_of(again)
    assert once.sold == again.sold
    assert days_of(once) != days_of(other)


def test_the_start_stays_as_it_was() -> None:
    made = scarce()
    before = days_of(made.best), rooms(made.best.schedule.bench)
    improved(made.start, made.best, made.rules, 5)
    assert (days_of(made.best), rooms(made.best.schedule.bench)) == before


def test_the_search_can_be_ended_at_once() -> None:
    made = scarce()
    assert improved(made.start, made.best, made.rules, 10**9, 0, lambda _: 1.0) is made.best


def test_the_search_tells_the_least_loss_which_never_rises() -> None:
    """Though annealings come to their ends one after the other."""
    made = scarce()
    first = made.loss
    heard: list[int] = []

    def clock(loss: int) -> float:
        assert loss == made.loss
        heard.append(loss)
        return (len(heard) - 1) / 30

    made.improve(10**9, 0, clock)
    assert len(heard) == 31
    assert heard[0] == first
    assert heard == sorted(heard, reverse=True)
    assert heard[-1] == made.loss < first


def test_nothing_is_tried_when_nothing_is_lost() -> None:
    made = ListScheduler(random_workshop(seed=3, products=4, days=90))
    assert made.loss == 0
    assert improved(made.start, made.best, made.rules, 10**9) is made.best


def test_nothing_is_tried_without_batches() -> None:
    made = ListScheduler(tiny(minutes=(0,) * 30))
    assert made.loss > 0
    assert improved(made.start, made.best, made.rules, 10**9) is made.best


def walk(
    monkeypatch: pytest.MonkeyPatch,
    losses: Sequence[int],
    clock: Clock = lambda _: 0.0,
) -> tuple[list[int], int]:
    """Losses from which rebuilds set out, where they come to given ones; and the best's loss."""
    made = ListScheduler(tiny())
    base = made.best
    coming = iter(losses[1:])
    origins: list[int] = []

    def losing(loss: int) -> Choice:
        # ten batches, whose value tells which schedule it is
        placed = (replace(base.schedule.placed[0], value=loss),) * 10
        schedule = replace(base.schedule, placed=placed)
        return Choice(schedule=schedule, sold=Sold(promises={}, losses={"bar": loss}, bars={}))

    def pretended(start: Start, choice: Choice, rule: Rule, draw: Random, near: Kept) -> Choice:
        origins.append(int(choice.schedule.placed[0].value))
        return losing(next(coming))

    monkeypatch.setattr(improving, "rebuild", pretended)
    best = improved(made.start, losing(losses[0]), [due_day], len(losses) - 1, 0, clock)
    return origins, best.sold.loss


def test_what_loses_much_more_is_thrown_away(monkeypatch: pytest.MonkeyPatch) -> None:
    """A tenth of a tenth of 1000 is 10 at first; ninety times as much happens once in 10^39."""
    assert walk(monkeypatch, [1000, 1900, 2000, 1900]) == ([1000, 1000, 1000], 1000)


def test_what_loses_as_much_or_less_is_gone_on_from(monkeypatch: pytest.MonkeyPatch) -> None:
    losses = [1000, 1000, 900, 900, 400, 300]
    assert walk(monkeypatch, losses) == (losses[:-1], 300)


def test_a_little_more_loss_is_taken_at_first_and_hardly_in_the_end(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """One part in a hundred more, where each of ten batches loses 100: e^-1 of them at first, which
    is 37 %, and e^-33 in the end.

    In between, every second rebuild comes back to 1000.
    """
    origins, best = walk(monkeypatch, [1000, 1010] * 400)
    assert best == 1000
    assert 15 < sum(loss == 1010 for loss in origins[:200]) <= 70
    assert sum(loss == 1010 for loss in origins[-200:]) < 5


def test_the_best_is_kept_and_told_while_the_search_goes_on_from_worse(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    heard: list[int] = []

    def clock(best: Choice) -> float:
        heard.append(best.sold.loss)
        return 0.0

    origins, best = walk(monkeypatch, [1000] + [1010] * 20, clock)
    assert best == 1000
    assert 1010 in origins
    assert heard == [1000] * 20


# One rebuild


@pytest.mark.slow
@pytest.mark.parametrize("bottleneck", ["trays", "moulds", "hands", "drum"])
def test_many_rebuilds_keep_every_rule(bottleneck: Bottleneck) -> None:
    made = scarce(seed=5, bottleneck=bottleneck)
    certify_after_rebuilds(made, 60)


@pytest.mark.slow
@pytest.mark.parametrize("seed", [1, 2, 11, 18, 30, 41])
def test_many_rebuilds_of_twisted_workshops_keep_every_rule(seed: int) -> None:
    certify_after_rebuilds(ListScheduler(twisted(seed)), 40)


def certify_after_rebuilds(made: ListScheduler, rebuilds: int) -> None:
    """Rebuild from one schedule to the next, better or not, and let the replay judge the last."""
    draw = Random(7)
    choice = made.best
    moved = 0
    for _ in range(rebuilds):
        before = days_of(choice)
        choice = rebuild(made.start, choice, draw.choice(made.rules), draw)
        moved += days_of(choice) != before
        assert_nothing_is_remembered_wrongly(made.start, choice)
    assert moved
    made.best = choice
    plan = made.plan()
    account = replay(made.workshop, plan)
    assert account.broken == ()
    assert plan.promises == earliest_promises(made.workshop, plan)
    if not made.workshop.budgets:
        assert account.money.service <= choice.sold.loss


def assert_nothing_is_remembered_wrongly(start: Start, choice: Choice) -> None:
    """What was taken over from the choice before, and from passes before, is as if counted anew."""
    anew = judged(start, choice.schedule).sold
    assert (choice.sold.promises, choice.sold.losses) == (anew.promises, anew.losses)
    for product, asking in start.askings.items():
        if asking.is_wanted and start.jobs.batches[product]:
            placed = [one for one in choice.schedule.placed if one.job.product.id == product]
            bars = tuple(one.bars for one in placed)
            first, found = start.first_need(product, bars), first_need_of(start, product, bars)
            assert (first is None) == (found is None)
            if first and found:
                assert (first[0].due, first[1]) == (found[0].due, found[1])
                assert first[0].lost.tolist() == found[0].lost.tolist()
                assert first[0].below.tolist() == found[0].below.tolist()


def test_a_rebuild_moves_no_more_than_it_took_out() -> None:
    made = scarce()
    for seed in range(20):
        rebuilt = rebuild(made.start, made.best, made.rules[1], Random(seed))
        gone = [one for one in made.best.schedule.placed if one not in rebuilt.schedule.placed]
        assert len(gone) <= LARGEST


def test_beside_the_products_taken_out_few_others_get_what_becomes_free(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """All of them now and then, if they are no more than that, and now and then none."""
    made = scarce()
    taken = list(range(len(made.best.schedule.placed)))
    short = set(Pass(made.start).needs)
    assert len(short) >= 3

    def waiting(most: int) -> list[set[str]]:
        monkeypatch.setattr(improving, "OTHERS", most)
        first = made.best.schedule.placed[taken[0]].job.product.id
        drawn = (_all_but_some(Pass(made.start), {first}, Random(seed)) for seed in range(200))
        return [set(one) for one in drawn]

    few = waiting(1)
    assert {len(short) - 1 - len(one) for one in few} == {0, 1}
    others = set.union(*few)
    assert others | {made.best.schedule.placed[0].job.product.id} == short
    assert {len(one) for one in waiting(8)} == set(range(len(short)))


def test_products_set_aside_get_no_batch() -> None:
    made = scarce()
    one, *_ = sorted(Pass(made.start).needs)
    without = Pass(made.start)
    without.set_aside([one])
    placed = without.run(due_day).placed
    assert placed
    assert one not in {each.job.product.id for each in placed}


def test_near_a_kept_plan_more_batches_go_back_to_their_days() -> None:
    """From a schedule that moved away from it; without a worth for each the rule alone counts."""
    made = scarce()
    kept = kept_of(batches_of(made.best.schedule), made.loss)
    away = improved(made.start, made.best, made.rules, 40)

    def missing(near: Kept) -> int:
        rebuilt = [rebuild(made.start, away, due_day, Random(seed), near) for seed in range(30)]
        return sum(kept.missing(one.schedule.placed).total() for one in rebuilt)

    assert missing(kept) < missing(NOTHING)
    assert missing(replace(kept, worth=0)) == missing(NOTHING)


def test_the_bench_after_a_rebuild_is_that_of_its_batches() -> None:
    """Taking all batches back gives the empty bench again; nothing is taken twice or forgotten."""
    made = scarce()
    bench = rebuild(made.start, made.best, due_day, Random(1)).schedule.bench.copy()
    rebuilt = rebuild(made.start, made.best, due_day, Random(1)).schedule
    for placed in rebuilt.placed:
        bench.undo(placed.task)
    for lot in [lot for lots in bench.lots.values() for lot in lots]:
        bench.undo(lot)
    assert free_amounts(bench) == free_amounts(made.start.bench)


# The ways of taking batches out


@pytest.mark.parametrize("way", DIFFERENT_WAYS)
def test_a_way_gives_different_positions_of_batches(way: Way) -> None:
    batches = scarce().best.schedule.placed
    sizes = Counter[int]()
    for seed in range(50):
        found = way(batches, Random(seed))
        assert len(set(found)) == len(found) <= LARGEST
        assert set(found) <= set(range(len(batches)))
        sizes[len(found)] += 1
    assert len(sizes) > 3


@pytest.mark.parametrize("way", DIFFERENT_WAYS)
def test_a_way_gives_what_there_is_with_few_batches(way: Way) -> None:
    two = ListScheduler(tiny()).best.schedule.placed
    assert len(two) == 2
    for batches in (two[:1], two):
        found = [way(batches, Random(seed)) for seed in range(20)]
        assert any(found)
        assert all(set(one) <= set(range(len(batches))) for one in found)
        assert all(len(set(one)) == len(one) for one in found)


@pytest.mark.parametrize("way", [around_a_day, of_two_products])
def test_the_nearest_batches_are_a_few(way: Way) -> None:
    batches = scarce().best.schedule.placed
    sizes = {len(way(batches, Random(seed))) for seed in range(200)}
    assert (min(sizes), max(sizes)) == (FEWEST, MOST)


def test_batches_around_a_day_are_near_each_other() -> None:
    """Those left have no batch that is nearer by more than chance may bring one."""
    batches = scarce().best.schedule.placed
    for seed in range(20):
        found = around_a_day(batches, Random(seed))
        day = Random(seed).choice(batches).pour
        furthest = max(abs(batches[place].pour - day) for place in found)
        left = [place for place in range(len(batches)) if place not in found]
        assert furthest <= min(abs(batches[place].pour - day) for place in left) + 10


def test_chance_brings_batches_nearer() -> None:
    """Else those taken with a day would always be the very nearest."""
    batches = scarce().best.schedule.placed
    skipped = 0
    for seed in range(20):
        found = around_a_day(batches, Random(seed))
        day = Random(seed).choice(batches).pour
        away = sorted(abs(one.pour - day) for one in batches)
        skipped += sorted(abs(batches[place].pour - day) for place in found) != away[: len(found)]
    assert skipped > 10


def test_batches_of_two_products_are_of_no_third() -> None:
    batches = scarce().best.schedule.placed
    seen = Counter[int]()
    for seed in range(50):
        found = of_two_products(batches, Random(seed))
        seen[len({batches[place].job.product.id for place in found})] += 1
    assert set(seen) == {1, 2}
    assert seen[2] > seen[1]


def test_batches_of_a_span_lie_within_it_and_some_stay() -> None:
    batches = scarce().best.schedule.placed
    stayed = 0
    for seed in range(50):
        pours = [batches[place].pour for place in in_a_span(batches, Random(seed))]
        first = Random(seed).choice(batches).pour
        assert all(first <= pour <= first + 12 for pour in pours)
        stayed += sum(first <= one.pour <= first + 2 for one in batches) > len(
            [pour for pour in pours if pour <= first + 2]
        )
    assert stayed


def test_spans_are_of_several_lengths_and_never_give_too_many() -> None:
    batches = scarce(bottleneck="moulds").best.schedule.placed
    crowded = [batches[0]] * 40
    spans = [[batches[n].pour for n in in_a_span(batches, Random(seed))] for seed in range(100)]
    lengths = {max(pours) - min(pours) for pours in spans if pours}
    assert 8 < max(lengths) <= 12
    assert len(lengths) > 5
    assert {len(in_a_span(crowded, Random(seed))) for seed in range(10)} == {LARGEST}


def test_every_way_is_drawn(monkeypatch: pytest.MonkeyPatch) -> None:
    assert set(WAYS) == set(DIFFERENT_WAYS)
    drawn = Counter[int]()

    def counting(number: int) -> Way:
        def way(batches: Sequence[Placed], draw: Random) -> list[int]:
            drawn[number] += 1
            return [0]

        return way

    monkeypatch.setattr(improving, "WAYS", tuple(counting(number) for number in range(4)))
    made = ListScheduler(tiny())
    for seed in range(40):
        rebuild(made.start, made.best, due_day, Random(seed))
    assert sorted(drawn) == [0, 1, 2, 3]

"""Covers in whole counts: valid for every whole plan, and for one size nothing is left to say.

Counted through where the numbers are small. Where all batches are alike, costs not below 0 and no
order takes part, the rows describe the convex hull of a mixing set, so that the linear relaxation
comes to the whole optimum: Günlük and Pochet 2001, "Mixing mixed-integer inequalities",
Mathematical Programming 90, 429-457 (from memory).
"""

from itertools import product
from random import Random

import pytest

from planner.solver import mixing
from planner.solver.highs import relaxed
from planner.solver.linear import Cover, Linear, LinearModel, Mixing
from planner.solver.matrix import program_of
from planner.solver.mixing import Mixed, least_counts, weightings_of, with_mixing

MOST = 5
"""Batches of a size that are tried at the most."""


@pytest.mark.parametrize(
    ("sizes", "expected"),
    [
        ((90,), [(1,)]),
        ((90, 43), [(1, 1), (2, 1)]),
        ((90, 43, 20), [(1, 1, 1), (2, 1, 1), (4, 2, 1)]),
        ((10, 9), [(1, 1)]),
    ],
)
def test_each_size_in_its_turn_counts_once(
    sizes: tuple[int, ...], expected: list[tuple[int, ...]]
) -> None:
    assert weightings_of(sizes) == expected


@pytest.mark.slow
@pytest.mark.parametrize(
    ("sizes", "weights"),
    [((10,), (1,)), ((10, 4), (1, 1)), ((10, 4), (2, 1)), ((9, 5, 2), (4, 2, 1))],
)
def test_the_least_counts_are_those_of_all_counts(
    sizes: tuple[int, ...], weights: tuple[int, ...]
) -> None:
    """Counted through up to 40."""
    found = least_counts(sizes, weights, 40).tolist()
    every = list(product(range(21), repeat=len(sizes)))
    for amount, least in enumerate(found):
        enough = (
            counts
            for counts in every
            if sum(n * size for n, size in zip(counts, sizes, strict=True)) >= amount
        )
        assert least == min(
            sum(n * weight for n, weight in zip(counts, weights, strict=True)) for counts in enough
        )


class Covered:
    """Batches of some sizes that cover rising amounts over some days, an order perhaps among them.

    An order of 7 leaves on the last day or not at all, where leaving it costs 40.
    """

    def __init__(self, seed: int, sizes: tuple[int, ...], with_order: bool) -> None:
        draw = Random(seed)
        days = range(3)
        self.sizes = sizes
        self.amounts = sorted(draw.randrange(1, 30) for _ in days)
        self.prices = [[draw.randrange(1, 20) for _ in days] for _ in sizes]
        self.each = draw.randrange(1, 4)
        self.model = LinearModel(len(days))
        self.goal = Linear()
        self.counts = [
            self.model.staircase(f"of {size}", days, [MOST] * len(days)) for size in sizes
        ]
        self.missing = self.model.variable("missing", max(self.amounts), lambda _: 0)
        self.order = self.model.variable("order", 1, lambda _: 0) if with_order else None
        self.goal.plus(self.missing, self.each)
        if self.order is not None:
            self.goal.constant += 40
            self.goal.plus(self.order, -40)
        covers = []
        for day in days:
            counts = {}
            row = Linear().plus(self.missing, 1)
            for size, count, prices in zip(sizes, self.counts, self.prices, strict=True):
                counts[size] = Linear().step(count, day, 1)
                row.step(count, day, size)
                self.goal.step(count, day, prices[day])
            flags = [(self.order, 7)] if self.order is not None and day == days[-1] else []
            for flag, quantity in flags:
                row.plus(flag, -quantity)
            self.model.at_least(row, self.amounts[day], f"cover {day}")
            amount = self.amounts[day] + sum(quantity for _, quantity in flags)
            covers.append(Cover(counts=counts, amount=amount, flags=flags))
        self.mixings = [Mixing(missing=Linear().plus(self.missing, 1), covers=covers)]
        self.program = program_of(self.model, self.goal)

    @property
    def mixed(self) -> Mixed:
        found = with_mixing(self.program, self.mixings)
        assert found is not None
        return found

    def every_assignment(self) -> list[dict[int, int]]:
        """All counts, with the least that is then missing, and a little more."""
        found = []
        rising = [c for c in product(range(MOST + 1), repeat=3) if list(c) == sorted(c)]
        for steps in product(rising, repeat=len(self.sizes)):
            for sent in (0, 1) if self.order is not None else (0,):
                needs = [*self.amounts[:-1], self.amounts[-1] + 7 * sent]
                brought = [
                    sum(size * step[day] for size, step in zip(self.sizes, steps, strict=True))
                    for day in range(3)
                ]
                least = max(0, *(n - b for n, b in zip(needs, brought, strict=True)))
                for missing in {least, min(least + 2, max(self.amounts))}:
                    values = {self.missing.index: missing}
                    if self.order is not None:
                        values[self.order.index] = sent
                    for count, step in zip(self.counts, steps, strict=True):
                        values |= {v.index: n for v, n in zip(count.steps, step, strict=True)}
                    if self.program.holds([values[c] for c in range(self.program.columns)]):
                        found.append(values)
        return found


@pytest.mark.slow
@pytest.mark.parametrize("seed", range(6))
@pytest.mark.parametrize("sizes", [(10,), (10, 4)])
@pytest.mark.parametrize("with_order", [False, True])
def test_no_whole_assignment_is_cut_off(
    seed: int, sizes: tuple[int, ...], with_order: bool
) -> None:
    covered = Covered(seed, sizes, with_order)
    mixed = covered.mixed
    every = covered.every_assignment()
    assert len(every) > 50
    for values in every:
        completed = mixed.completed(values)
        assert mixed.program.holds([completed[c] for c in range(mixed.program.columns)])


@pytest.mark.parametrize("seed", range(12))
def test_where_all_batches_are_alike_the_relaxation_comes_to_the_optimum(seed: int) -> None:
    covered = Covered(seed, (10,), with_order=False)
    least = min(covered.goal.value(values) for values in covered.every_assignment())
    relaxation = relaxed(covered.mixed.program, 60)
    assert relaxation is not None
    assert relaxation.bound == least


@pytest.mark.slow
@pytest.mark.parametrize("seed", range(12))
def test_with_two_sizes_and_an_order_it_lies_between_the_plain_one_and_the_optimum(
    seed: int,
) -> None:
    covered = Covered(seed, (10, 4), with_order=True)
    least = min(covered.goal.value(values) for values in covered.every_assignment())
    plain, mixed = relaxed(covered.program, 60), relaxed(covered.mixed.program, 60)
    assert plain is not None
    assert mixed is not None
    assert plain.bound <= mixed.bound <= least


def test_a_relaxation_by_hand() -> None:
    """21 wanted in batches of 10 at 6 each, 1 for each that is missing: two, and 1 missing, 13.

    By bits of batches it would be 2.1 of them, 12.6, which is 13 in whole numbers too; of 25 two
    and 5 missing, 17, where 2.5 batches cost 15.
    """
    for amount, plain_least, least in ((21, 13, 13), (25, 15, 17)):
        model, goal = LinearModel(1), Linear()
        count = model.staircase("batches", [0], [MOST])
        missing = model.variable("missing", 30, lambda _: 0)
        model.at_least(Linear().step(count, 0, 10).plus(missing, 1), amount, "cover")
        goal.step(count, 0, 6).plus(missing, 1)
        cover = Cover(counts={10: Linear().step(count, 0, 1)}, amount=amount)
        mixed = with_mixing(
            program_of(model, goal), [Mixing(missing=Linear().plus(missing, 1), covers=[cover])]
        )
        assert mixed is not None
        plain, tight = relaxed(program_of(model, goal), 60), relaxed(mixed.program, 60)
        assert plain is not None
        assert tight is not None
        assert (plain.bound, tight.bound) == (plain_least, least)


@pytest.mark.parametrize("seed", range(4))
def test_the_priced_covers_alone_come_to_the_same(seed: int) -> None:
    mixed = Covered(seed, (10, 4), with_order=True).mixed
    relaxation = relaxed(mixed.program, 60)
    assert relaxation is not None
    few = mixed.priced(relaxation.duals)
    again = relaxed(few.program, 60)
    assert again is not None
    assert again.bound == relaxation.bound
    assert few.program.rows < mixed.program.rows


def test_nothing_to_cover_and_too_much_are_none(monkeypatch: pytest.MonkeyPatch) -> None:
    covered = Covered(1, (10,), with_order=False)
    assert with_mixing(covered.program, []) is None
    monkeypatch.setattr(mixing, "MOST", 1)
    assert with_mixing(covered.program, covered.mixings) is None

from hypothesis import given, settings
from hypothesis import strategies as st

from planner.draft.offers import line_price
from planner.draft.packs import Credit, Line, cheapest_mix
from tests.draft.pieces import offer

PAIL = Line(offer=offer("pail", 5, 112))
DRUM = Line(offer=offer("drum", 25, 420))
NOTHING = Credit()


def chosen(lines: list[Line], amount: int, credit: Credit = NOTHING) -> dict[str, int]:
    mix = cheapest_mix(lines, amount, credit)
    return {lines[place].offer.id: packs for place, packs in mix.packs}


def test_a_little_comes_in_a_pail_and_much_in_drums() -> None:
    assert chosen([PAIL, DRUM], 5) == {"pail": 1}
    # 4 pails are 448, a drum is 420
    assert chosen([PAIL, DRUM], 16) == {"drum": 1}
    # a drum and a pail are 532, two drums 840
    assert chosen([PAIL, DRUM], 27) == {"drum": 1, "pail": 1}


def test_what_is_left_over_can_pay_for_the_drum() -> None:
    # of the drum 20 are left, at 16 each: 420 - 320 = 100 < 112
    assert chosen([PAIL, DRUM], 5, Credit(each=16_000.0, most=1000)) == {"drum": 1}
    # but not if only 10 of them count: 420 - 160
    assert chosen([PAIL, DRUM], 5, Credit(each=16_000.0, most=10)) == {"pail": 1}


def test_a_price_step_is_bought_up_to_where_that_is_cheaper() -> None:
    boxes = Line(offer=offer("box", 100, [(1, 50), (10, 40)]))
    assert chosen([boxes], 900) == {"box": 10}
    assert chosen([boxes], 700) == {"box": 7}


def test_least_and_most_packs_of_a_line() -> None:
    boxes = Line(offer=offer("box", 100, 50, min_packs=3, max_packs=5))
    assert chosen([boxes], 100) == {"box": 3}
    mix = cheapest_mix([boxes], 700, NOTHING)
    assert (mix.packs, mix.uncovered) == (((0, 5),), 200)
    begun = Line(offer=boxes.offer, ordered=4)
    assert chosen([begun], 50) == {"box": 1}
    assert not cheapest_mix([Line(offer=boxes.offer, ordered=5)], 50, NOTHING).packs


def test_more_packs_on_a_line_can_lower_its_price() -> None:
    boxes = Line(offer=offer("box", 100, [(1, 50), (10, 40)]), ordered=9)
    assert boxes.price(1) == 400 - 450


@settings(max_examples=50, deadline=None)
@given(
    st.lists(
        st.tuples(st.integers(1, 9), st.integers(1, 50), st.integers(1, 3), st.integers(0, 9)),
        min_size=1,
        max_size=3,
    ),
    st.integers(1, 60),
)
def test_a_mix_covers_what_can_be_covered_within_the_bounds_of_its_lines(
    drawn: list[tuple[int, int, int, int]], amount: int
) -> None:
    lines = [
        Line(offer=offer(str(i), size, price, min_packs=least, max_packs=least + more))
        for i, (size, price, least, more) in enumerate(drawn)
    ]
    mix = cheapest_mix(lines, amount, NOTHING)
    bought = 0
    for place, packs in mix.packs:
        line = lines[place].offer
        assert line.max_packs is not None
        assert line.min_packs <= packs <= line.max_packs
        bought += packs * line.amount
    most = sum(line.offer.amount * (line.offer.max_packs or 0) for line in lines)
    assert mix.uncovered == max(0, amount - bought)
    assert mix.uncovered == 0 or bought == most
    paid = sum(line_price(lines[place].offer, packs) for place, packs in mix.packs)
    assert mix.cost == 1000 * paid
    alone = [  # no single line that covers the amount is cheaper
        1000 * line_price(line.offer, line.allowed(-(-amount // line.offer.amount)))
        for line in lines
        if line.allowed(-(-amount // line.offer.amount)) * line.offer.amount >= amount
    ]
    assert all(mix.cost <= cost for cost in alone)

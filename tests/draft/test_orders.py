from planner.draft.offers import possible_deliveries
from planner.draft.orders import Market, OrderBook, market_of
from planner.draft.sourcing import all_sources, first_from_others, latest_sources, source_on
from planner.draft.topping import cheapest_addition, packs_worth
from planner.plan import Purchase, PurchaseLine
from planner.workshop import Budget, Offer, Supplier
from tests.draft.pieces import CALENDAR, offer, selling

KILO = 1_000_000
SHOP = Supplier(
    id="shop", freight=300, free_freight_from=2500, minimum_order=1500, pay_days=30
)  # fmt: skip


def market(*offers: Offer, **changes: object) -> Market:
    workshop = selling(*offers, **{"suppliers": {"shop": SHOP}, **changes})
    return market_of(workshop, possible_deliveries(workshop))


def test_an_order_costs_goods_and_freight_until_freight_is_free() -> None:
    kilo = offer("kilo", KILO, 1000)
    book = OrderBook(market(kilo))
    book.add(kilo, 8, 2)
    key = (8, "shop")
    assert (book.goods(key), book.freight(key), book.cost(key)) == (2000, 300, 2300)
    book.add(kilo, 8, 1)
    assert (book.goods(key), book.freight(key), book.cost(key)) == (3000, 0, 3000)
    book.add(kilo, 8, -3)
    assert (book.orders, book.freight(key)) == ({}, 0)


def test_an_order_below_the_minimum_will_have_to_come_to_it() -> None:
    kilo = offer("kilo", KILO, 1000)
    book = OrderBook(market(kilo))
    book.add(kilo, 8, 1)
    assert book.cost((8, "shop")) == 1800


def test_a_budget_counts_what_is_paid_in_its_month() -> None:
    kilo = offer("kilo", KILO, 1000)
    budget = Budget(month="x", first=38, last=60, amount=2299)
    book = OrderBook(market(kilo, budgets=(budget,)))
    book.add(kilo, 7, 5)
    assert book.keeps_budgets()
    book.add(kilo, 8, 2)
    assert book.spent(budget) == 2300
    assert not book.keeps_budgets()
    assert book.keeps_budget_of((7, "shop"))
    assert not book.keeps_budget_of((8, "shop"))


def test_purchases_are_sorted() -> None:
    kilo, half = offer("kilo", KILO, 1000), offer("half", KILO // 2, 600)
    book = OrderBook(market(kilo, half))
    book.add(kilo, 9, 2)
    book.add(kilo, 8, 1)
    book.add(half, 8, 1)
    assert [purchase.order for purchase in book.purchases()] == [8, 9]
    assert book.purchases()[0] == Purchase(
        order=8,
        supplier="shop",
        lines=(PurchaseLine(offer="half", packs=1), PurchaseLine(offer="kilo", packs=1)),
    )


def test_sources_are_orders_in_time_with_packs_left() -> None:
    few = offer("few", KILO, 1000, max_packs=2)
    book = OrderBook(market(few))
    (latest,) = latest_sources(book, "base", 10)
    assert (latest.order, latest.offers) == (8, (few,))
    book.add(few, 8, 2)
    assert source_on(book, "base", (8, "shop"), 10) is None
    assert latest_sources(book, "base", 10)[0].order == 7
    assert [source.order for source in all_sources(book, "base", 10)] == [7, 4, 3, 2, 1, 0]
    assert latest_sources(book, "base", 1) == []


def test_a_source_must_not_expire_before_its_use() -> None:
    brief = offer("brief", KILO, 1000, CALENDAR.deliveries(1, (0,)), shelf_life_days=3)
    book = OrderBook(market(brief))
    # ordered on Monday 7, usable on 9, gone after 11
    assert [source.order for source in all_sources(book, "base", 11)] == [7]
    assert list(all_sources(book, "base", 12)) == []


def test_the_wait_for_a_slower_supplier() -> None:
    slow = offer("drum", 9 * KILO, 5000, CALENDAR.deliveries(14, (0,)), supplier="maker")
    suppliers = {"shop": SHOP, "maker": Supplier(id="maker")}
    found = market(offer("kilo", KILO, 1000), slow, suppliers=suppliers)
    assert first_from_others(found, "base", 10) == 15
    assert first_from_others(found, "base", 15) == 30
    assert first_from_others(found, "nothing", 15) == 30


def test_packs_that_add_a_value_to_a_line() -> None:
    book = OrderBook(market())
    stepped = offer("box", 100, [(1, 50), (10, 40)], min_packs=2)
    line = book.line(stepped, 8)
    # 2 packs are the least; 9 are worth 450, 10 to 11 less than that
    assert [packs_worth(line, worth) for worth in (1, 100, 101, 450, 451)] == [2, 2, 3, 9, 12]
    limited = book.line(offer("box", 100, 50, max_packs=3), 8)
    assert packs_worth(limited, 1000) == 3


def test_the_cheapest_addition_is_the_one_that_is_good_for_most() -> None:
    plain = offer("kilo", KILO, 1000)
    dear = offer("pot", KILO, 3000)
    book = OrderBook(market(plain, dear))
    book.add(plain, 8, 1)
    addition = cheapest_addition(book, {}, (8, "shop"), 1500)
    assert addition is not None
    assert (addition.offer.id, addition.packs, addition.worth) == ("kilo", 1, 1000)
    given = offer("gift", KILO, 0)
    assert cheapest_addition(OrderBook(market(given)), {}, (8, "shop"), 1500) is None


def test_a_part_that_is_never_ordered_comes_from_another_day() -> None:
    """Neither as a source nor to bring an order to its minimum; then a day before is the latest."""
    kilo = offer("kilo", KILO, 1000)
    free, closed = (OrderBook(market(kilo), never) for never in ((), {(8, "shop", "base")}))
    assert [book.takes(kilo, 8) for book in (free, closed)] == [True, False]
    assert [latest_sources(book, "base", 10)[0].order for book in (free, closed)] == [8, 7]
    assert cheapest_addition(free, {}, (8, "shop"), 1500) is not None
    assert cheapest_addition(closed, {}, (8, "shop"), 1500) is None

"""Accounts put together by hand, for tests of what only reads them."""

from typing import Any

from planner.account import Account, Flow, LineFacts, Money, PurchaseFacts

NO_MONEY = Money(
    service=0,
    money=0,
    retail_lost=0,
    orders_late=0,
    launches_late=0,
    restock_below=0,
    purchases=0,
    freight=0,
    opening_value=0,
    left_value=0,
    waste=0,
    capital=0,
    safety=0,
    clean_down=0,
)


def account(**fields: Any) -> Account:
    """An account in which nothing happens but what the fields say."""
    empty: dict[str, Any] = {
        "broken": (),
        "batches": (),
        "preparations": (),
        "purchases": (),
        "service": (),
        "waste": (),
        "pegs": (),
        "flows": {},
        "loads": (),
        "money": NO_MONEY,
    }
    return Account(**{**empty, **fields})


def flow(opening: int, arrived: tuple[int, ...], used: tuple[int, ...]) -> Flow:
    """A flow without waste: on hand = the day before + arrived - used."""
    on_hand, held = [], opening
    for came, went in zip(arrived, used, strict=True):
        held += came - went
        on_hand.append(held)
    return Flow(arrived=arrived, used=used, wasted=tuple(0 for _ in used), on_hand=tuple(on_hand))


def line(usable: int, amount: int, offer: str = "shop/base/1 kg") -> LineFacts:
    """A purchase line of "base" that arrives the day before it is usable."""
    return LineFacts(
        offer=offer,
        material="base",
        packs=1,
        amount=amount,
        cost=1000,
        arrive=usable - 1,
        usable=usable,
        use_by=None,
        lot=f"base {usable}",
    )


def purchase(order: int, *lines: LineFacts) -> PurchaseFacts:
    """A purchase from the shop without freight."""
    cost = sum(each.cost for each in lines)
    return PurchaseFacts(order=order, supplier="shop", lines=lines, freight=0, cost=cost, pay=order)

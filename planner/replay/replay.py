"""The replay: a plan is carried out day by day, lot by lot, and every broken rule is noted."""

from planner.account import Account
from planner.plan import Plan
from planner.replay.batch_rules import check_batches
from planner.replay.batches import read_batches
from planner.replay.buying import check_budgets, check_minimum_orders, read_purchases
from planner.replay.faults import Faults
from planner.replay.loads import check_loads, loads_of
from planner.replay.making import Making
from planner.replay.money import Books, money_of
from planner.replay.naming import LotNames
from planner.replay.preparing import check_preparations, read_preparations
from planner.replay.promising import bar_lots, read_promises
from planner.replay.selling import Sales
from planner.replay.stockroom import Source, Stockroom, shelf_lot
from planner.workshop import Workshop


def replay(workshop: Workshop, plan: Plan) -> Account:
    """Carry out a plan and give the full account of it.

    Never raises on a plan, however odd: what cannot be carried out is a broken rule and left out,
    and the rest goes on. Stock that runs short is noted, and the batch made all the same.
    """
    faults, names = Faults(), LotNames(workshop)
    purchases = read_purchases(workshop, plan, names, faults)
    preparations = read_preparations(workshop, plan, names, faults)
    batches = read_batches(workshop, plan, names, faults)
    lots = bar_lots(workshop, batches)
    promised = read_promises(workshop, plan, lots, faults)

    stockroom = Stockroom(workshop)
    for line in (line for order in purchases for line in order.lines):
        bought = shelf_lot(line.lot, line.amount, line.usable, line.use_by, Source.PLAN)
        stockroom.expect(line.material, bought)
    making = Making(workshop, stockroom, batches, preparations)
    sales = Sales(workshop, stockroom, lots, promised)
    for day in range(workshop.days):
        stockroom.begin(day)
        making.pack(day)
        making.prepare(day)
        making.pour(day)
        sales.trade(day)

    loads = loads_of(workshop, batches, preparations)
    check_minimum_orders(workshop, purchases, faults)
    check_budgets(workshop, purchases, faults)
    check_preparations(workshop, preparations, faults)
    check_batches(workshop, batches, faults)
    check_loads(workshop, loads, faults)
    stockroom.report_missing(faults)

    service, flows = sales.service(), stockroom.flows()
    books = Books(
        batches=batches,
        purchases=purchases,
        flows=flows,
        remaining=stockroom.remaining(),
        waste=stockroom.waste,
    )
    return Account(
        broken=faults.listed(),
        batches=batches,
        preparations=preparations,
        purchases=purchases,
        service=service,
        waste=tuple(sorted(stockroom.waste)),
        pegs=tuple(sorted(stockroom.pegs)),
        flows=flows,
        loads=loads,
        money=money_of(workshop, books, service),
    )

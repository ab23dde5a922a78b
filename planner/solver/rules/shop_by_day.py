"""What the shop loses of a product, day by day: several weights, levels, dates, relaunches."""

from itertools import accumulate

from planner.solver.linear import Linear, LinearModel, Staircase
from planner.solver.rules.covering import mixing_of
from planner.solver.rules.leaving import add_orders_leave, bars_that_came, promised_later
from planner.solver.rules.shop import Served, Shop


def add_shop_by_day(model: LinearModel, shop: Shop) -> Served:
    """A staircase of lost bars for each weight; stock, launches, levels and dates from it."""
    return _ShopByDay(model, shop).add()


class _ShopByDay:
    def __init__(self, model: LinearModel, shop: Shop) -> None:
        self.model = model
        self.shop = shop
        self.days = range(shop.days)
        self.opened = self._opened()
        self.lost = {weight: self._lost(weight) for weight in shop.weights}
        self.wasted = self._wasted()
        self._derive_lost()
        if self.wasted is not None:
            model.derive_running_maximum(self.wasted, [self._unsold(d) for d in self.wasted.days])

    def add(self) -> Served:
        asked = self.shop.asked_in_all()
        loss, lost_bars = Linear(), Linear()
        for weight, lost in self.lost.items():
            self._add_lost_steps(weight, lost)
            loss.plus(lost.last, weight)
            lost_bars.plus(lost.last, 1)
            heaviest = self.shop.weights[: self.shop.weights.index(weight) + 1]
            missing = Linear().add(lost_bars)
            self.model.mixings.append(mixing_of(self.shop, missing, heaviest))
        for day in self.days:
            self.model.at_least(self._stock(day), 0, f"bars of {self.shop.product}")
        add_orders_leave(self.model, self.shop, self._bars_for_orders)
        self._add_no_bar_refused()
        self._add_launch_stock()
        self._add_expiry()
        self._add_levels(loss)
        return Served(loss, lost_bars, asked)

    def _opened(self) -> Staircase | None:
        """1 from the first of the product's launches on; None if it is on sale already."""
        launches = [launched for launched, _ in self.shop.launches]
        if len(launches) <= 1:
            return launches[0] if launches else None
        days = sorted({day for launched in launches for day in launched.days})
        opened = self.model.staircase(f"on sale {self.shop.product}", days, [1] * len(days))
        sums = []
        for day in days:
            any_launch = Linear()
            for launched in launches:
                any_launch.step(launched, day, 1)
            sums.append(any_launch)
            row = Linear().step(opened, day, 1).add(any_launch, -1)
            self.model.at_most(row, 0, f"on sale {self.shop.product}")
        self.model.derive_staircase(
            opened, lambda values: [min(1, launched.value(values)) for launched in sums]
        )
        return opened

    def _lost(self, weight: int) -> Staircase:
        asked = self.shop.asked[weight]
        days = [day for day in self.days if asked[day]]
        uppers = list(accumulate(asked[day] for day in days))
        return self.model.staircase(f"lost {self.shop.product} at {weight}", days, uppers)

    def _wasted(self) -> Staircase | None:
        if not self.shop.expires:
            return None
        life = self.shop.variables.workshop.products[self.shop.product].shelf_life_days
        days = {lot.use_by for lot in self.shop.bars.lots if lot.use_by is not None}
        if life is not None:
            pours = {b.pour for b in self.shop.variables.workshop.underway}
            days |= {day + life for day in pours | set(self.shop.variables.timeline.working)}
        inside = sorted(day for day in days if 0 <= day < self.shop.days - 1)
        return self.model.staircase(
            f"wasted {self.shop.product}", inside, [self.shop.bars.most] * len(inside)
        )

    def _sold(self, row: Linear, day: int, factor: int = 1) -> None:
        """Bars asked for in the shop and not lost by the end of the day."""
        for weight, lost in self.lost.items():
            row.constant += factor * sum(self.shop.asked[weight][: day + 1])
            row.step(lost, day, -factor)

    def _stock(self, day: int) -> Linear:
        """available(t) - sent(t) - sold(t) - wasted(t-1)."""
        row = Linear()
        self.shop.bars.available(row, day)
        self.shop.bars.sent(row, day, -1)
        self._sold(row, day, -1)
        if self.wasted is not None:
            row.step(self.wasted, day - 1, -1)
        return row

    def _unsold(self, day: int) -> Linear:
        """What has expired by the day and was neither sold nor sent."""
        row = Linear()
        self.shop.bars.expired(row, day)
        self.shop.bars.sent(row, day, -1)
        self._sold(row, day, -1)
        return row

    def _add_lost_steps(self, weight: int, lost: Staircase) -> None:
        """asked(t) x (not on sale) <= lost on t <= asked(t)."""
        for day in lost.days:
            asked = self.shop.asked[weight][day]
            self.model.at_most(Linear().rise(lost, day, 1), asked, f"asked {self.shop.product}")
            if self.opened is not None:
                row = Linear(asked).step(self.opened, day, -asked).rise(lost, day, -1)
                self.model.at_most(row, 0, f"not on sale {self.shop.product}")

    def _bars_for_orders(self, day: int) -> Linear:
        """Where bars can expire, what was sold is gone: which would still be good is not told."""
        if self.wasted is not None:
            return self._stock_before_shop(day)
        return bars_that_came(self.shop, day)

    def _add_no_bar_refused(self) -> None:
        """The shop refuses no bar it can spare, even where keeping it would weigh less.

        lost on t <= asked(t) x out(t); stock(t) <= promised later + large x (1 - out(t) + closed).
        Where all bars weigh the same and there is no level to keep, refusing never pays.
        """
        if len(self.shop.weights) <= 1 and not self.shop.levels:
            return
        asked = self.shop.asked_in_all()
        for day in self.days:
            if not asked[day]:
                continue
            refused = Linear()
            for lost in self.lost.values():
                refused.rise(lost, day, 1)
            out = self.model.variable(
                f"sold out {self.shop.product}[{day}]",
                1,
                lambda values, refused=refused: int(refused.value(values) > 0),  # type: ignore[misc]
            )
            name = f"no bar of {self.shop.product} refused"
            self.model.at_most(Linear().add(refused).plus(out, -asked[day]), 0, name)
            left = self._stock(day).plus(out, self.shop.bars.most)
            promised_later(self.shop, left, day, launches_from=day + 1)
            if self.opened is not None:
                left.constant -= self.shop.bars.most
                left.step(self.opened, day, self.shop.bars.most)
            self.model.at_most(left, self.shop.bars.most, name)

    def _stock_before_shop(self, day: int) -> Linear:
        """available(t) - sent(t) - sold(t-1) - wasted(t-1)."""
        row = Linear()
        self.shop.bars.available(row, day)
        self.shop.bars.sent(row, day, -1)
        self._sold(row, day - 1, -1)
        if self.wasted is not None:
            row.step(self.wasted, day - 1, -1)
        return row

    def _add_launch_stock(self) -> None:
        """available(t) - sent(t) - sold(t-1) - wasted(t-1) >= quantity x (launched on t)."""
        for launched, quantity in self.shop.launches:
            for day in launched.days:
                row = Linear().add(self._stock_before_shop(day), -1)
                row.rise(launched, day, quantity)
                self.model.at_most(row, 0, f"launch stock of {self.shop.product}")

    def _add_expiry(self) -> None:
        """sold(x) + sent(x) + wasted(x) >= expired(x)."""
        for day in self.wasted.days if self.wasted is not None else ():
            row = self._unsold(day)
            row.step(self.wasted, day, -1)  # type: ignore[arg-type]
            self.model.at_most(row, 0, f"use-by dates of {self.shop.product}")

    def _add_levels(self, loss: Linear) -> None:
        """below(t) >= level - stock(t) on each day of a restock row; each costs its weight."""
        for level in self.shop.levels:
            last = self.shop.days - 1 if level.last_day is None else level.last_day
            for day in range(max(level.day, 0), min(last, self.shop.days - 1) + 1):
                missing = Linear(level.quantity).add(self._stock(day), -1)
                below = self.model.variable(
                    f"below {level.id}[{day}]",
                    level.quantity,
                    lambda values, missing=missing: max(0, missing.value(values)),  # type: ignore[misc]
                )
                row = Linear().add(missing).plus(below, -1)
                self.model.at_most(row, 0, f"level {level.id}")
                loss.plus(below, level.weight)

    def _derive_lost(self) -> None:
        """Hint: each day sell what no later order needs, the heaviest weight first."""
        for weight, lost in self.lost.items():
            self.model.derive_staircase(
                lost,
                lambda values, weight=weight: self._greedy(values)[weight],  # type: ignore[misc]
            )

    def _sellable(self, spare: list[int], values: dict[int, int]) -> list[int]:
        """For each day, bars that can be sold by its end without a later day running short.

        A launch needs its stock on its day before that day's sales.
        """
        before = list(spare)
        for launched, quantity in self.shop.launches:
            for day in launched.days:
                before[day] -= Linear().rise(launched, day, quantity).value(values)
        later = list(accumulate(reversed([*before[1:], spare[-1]]), min))[::-1]
        return [min(now, rest) for now, rest in zip(spare, later, strict=True)]

    def _greedy(self, values: dict[int, int]) -> dict[int, list[int]]:
        spare, expired, sent = [], [], []
        for day in self.days:
            row, gone, left = Linear(), Linear(), Linear()
            self.shop.bars.available(row, day)
            self.shop.bars.sent(row, day, -1)
            self.shop.bars.expired(gone, day - 1)
            self.shop.bars.sent(left, day - 1)
            spare.append(row.value(values))
            expired.append(gone.value(values))
            sent.append(left.value(values))
        sellable = self._sellable(spare, values)
        sold = wasted = 0
        lost = dict.fromkeys(self.shop.weights, 0)
        curves: dict[int, list[int]] = {weight: [] for weight in self.shop.weights}
        for day in self.days:
            wasted = max(wasted, expired[day] - sent[day] - sold)
            open_ = self.opened is None or Linear().step(self.opened, day, 1).value(values) > 0
            room = max(0, sellable[day] - sold - wasted) if open_ else 0
            for weight in self.shop.weights:
                asked = self.shop.asked[weight][day]
                sale = min(asked, room)
                room, sold = room - sale, sold + sale
                lost[weight] += asked - sale
                if asked:
                    curves[weight].append(lost[weight])
        return curves

"""The ways to plan that the benchmark compares with: they obey the rules, and say what is true."""

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from planner.solver.linear import Linear, LinearModel
from planner.solver.matrix import program_of
from planner.solver.model import PlanModel
from planner.solver.search import minimise as minimise_with_cp_sat
from planner.solver.task import Task
from planner.workshop import DemandKind, Tray, Workshop
from tests.benchmark.families import FAMILIES, families_named, workshop_of
from tests.benchmark.highs import highs_plan, minimise
from tests.benchmark.judging import certified
from tests.benchmark.measure import measured, most_seconds
from tests.benchmark.methods import METHODS, telling
from tests.benchmark.results import (
    ModelSize,
    Outcome,
    Result,
    Run,
    append,
    done,
    latest,
    read_results,
)
from tests.benchmark.summary import is_worse, money_gap, over_all, service_gap, summaries
from tests.benchmark.table import document, in_order, newest
from tests.benchmark.textbook import textbook_plan
from tests.solver.solving import LIMITS
from tests.workshop_parts import demand_row
from tests.workshops import random_workshop, tiny


def pours(workshop: Workshop) -> list[int]:
    """The pour days of the textbook's plan, which keeps every rule."""
    found = certified(workshop, textbook_plan(workshop), "the textbook")
    return [batch.pour for batch in found.plan.batches if not batch.in_progress]


# The textbook's plan


def test_a_batch_is_poured_its_lead_time_before_its_due_day() -> None:
    # One bar a day from day 14 on, ten to a batch: due on day 14, a Monday, and on day 24.
    # Poured on a Thursday, unmoulded on Friday, packed five days later on Wednesday: in time.
    # A day later is too late: unmoulded on Monday, cured on Saturday, packed on day 14 or 28.
    assert pours(tiny()) == [3, 17]


def test_bars_on_hand_are_netted_off() -> None:
    workshop = tiny()
    bars = replace(workshop.lots[0], item="bar", lot="bar-1", amount=6)
    # Six bars last until day 19, ten more for the rest: one batch, due on Sunday, day 20. Poured on
    # Thursday, day 10, it is packed on Wednesday; poured on Friday it would be on Monday, day 21.
    assert pours(workshop.changed(lots=(*workshop.lots, bars))) == [10]


def test_what_is_due_too_soon_is_poured_at_once() -> None:
    workshop = tiny()
    order = demand_row(workshop.products["bar"], DemandKind.ORDER, 10, 2)
    assert pours(workshop.changed(demand=(order,))) == [0]


def test_a_batch_slides_forward_to_the_first_day_with_room() -> None:
    # Two batches are due on day 14, and the one tray is held for the five days of cure.
    workshop = tiny(trays={"tray": Tray(id="tray", count=1)})
    order = demand_row(workshop.products["bar"], DemandKind.ORDER, 20, 14)
    # The first is on the tray on days 4 to 8; the next is unmoulded on day 9 at the earliest.
    assert pours(workshop.changed(demand=(order,))) == [3, 8]


def test_of_two_batches_that_are_late_already_the_earlier_due_goes_first() -> None:
    # The pot has an hour a day, which is one batch.
    workshop = tiny()
    bar = workshop.products["bar"]
    soap = replace(bar, id="soap")
    workshop = workshop.changed(
        products={"bar": bar, "soap": soap},
        vessels={"pot": replace(workshop.vessels["pot"], minutes_per_day=60)},
        lots=(replace(workshop.lots[0], amount=2_000_000),),
        demand=(
            demand_row(bar, DemandKind.ORDER, 10, 3),
            demand_row(soap, DemandKind.ORDER, 10, 2),
        ),
    )
    plan = certified(workshop, textbook_plan(workshop), "the textbook").plan
    assert [(batch.pour, batch.product) for batch in plan.batches] == [(0, "soap"), (1, "bar")]


def test_a_batch_that_fits_nowhere_is_left_out() -> None:
    workshop = tiny(trays={"tray": Tray(id="tray", count=0)})
    assert pours(workshop) == []


@pytest.mark.parametrize("bottleneck", ["none", "trays", "moulds", "hands", "drum"])
def test_the_textbook_keeps_every_rule(bottleneck: str) -> None:
    workshop = random_workshop(3, products=3, days=60, bottleneck=bottleneck)  # type: ignore[arg-type]
    assert pours(workshop)


# The planner's rows as a mixed-integer program


def test_rows_bounds_and_goal_are_carried_over() -> None:
    model = LinearModel(days=1)
    x = model.variable("x", 4, lambda _: 0)
    y = model.variable("y", 3, lambda _: 0)
    model.at_most(Linear(constant=2).plus(x, 6).plus(y, 9).plus(x, -3), 21, "twice the same")
    model.proto.add(2 * y >= 3)
    program = program_of(model, Linear(constant=5).plus(x, -40).plus(y, 60))
    assert (program.columns, program.rows, program.nonzeros) == (2, 2, 3)
    # In whole numbers 3x + 9y <= 19 is x + 3y <= 6, and 2y >= 3 is y >= 2.
    assert (program.values.tolist(), program.starts.tolist()) == ([1, 3, 1], [0, 2, 3])
    assert program.row_lower.tolist() == [-np.inf, 2]
    assert program.row_upper.tolist() == [6, np.inf]
    assert (program.upper.tolist(), program.cost.tolist()) == ([4, 3], [-2, 3])
    assert (program.unit, program.offset) == (20, 5)


def test_a_row_that_cannot_hold_stays_one() -> None:
    model = LinearModel(days=1)
    model.variable("x", 4, lambda _: 0)
    model.at_most(Linear(constant=1), 0, "one is not at most none")
    assert not program_of(model, Linear()).holds([0])


def test_a_constraint_that_is_not_linear_is_refused() -> None:
    model = LinearModel(days=1)
    x = model.variable("x", 4, lambda _: 0)
    at_times = model.proto.new_bool_var("at times")
    model.proto.add(x >= 2).only_enforce_if(at_times)
    with pytest.raises(ValueError, match="not a linear row"):
        program_of(model, Linear())


def test_a_plan_is_an_assignment_until_a_batch_is_taken_away() -> None:
    workshop = random_workshop(2, products=2, days=50)
    plan = certified(workshop, textbook_plan(workshop), "the textbook").plan
    model = PlanModel(workshop, True)
    program = program_of(model.model, model.service)
    values = model.values_of(plan)
    assignment = [values[column] for column in range(program.columns)]
    assert program.holds(assignment)
    ends = [poured.steps[-1].index for poured in model.variables.poured.values()]
    for end in [end for end in ends if assignment[end]]:
        assert not program.holds([*assignment[:end], 0, *assignment[end + 1 :]])
    assert any(assignment[end] for end in ends)


# HiGHS


@pytest.mark.slow
def test_highs_and_cp_sat_find_the_same_optimum() -> None:
    workshop = random_workshop(2, products=2, days=50, bottleneck="trays")
    plan = certified(workshop, textbook_plan(workshop), "the textbook").plan
    model = PlanModel(workshop, False)
    hint = model.values_of(plan)
    task = Task(stage="service", model=model, goal=model.service, hint=hint, limits=LIMITS)
    cp_sat = minimise_with_cp_sat(task)
    highs = minimise(program_of(model.model, model.service), hint, seconds=60)
    least = model.service.value(cp_sat.values)
    assert cp_sat.bound == least < model.service.value(hint)
    assert highs.values is not None
    assert model.service.value(dict(enumerate(highs.values))) == highs.bound == least


def test_a_program_without_an_assignment_gives_none() -> None:
    model = LinearModel(days=1)
    x = model.variable("x", 4, lambda _: 0)
    model.at_least(Linear().plus(x, 1), 5, "five of four")
    assert minimise(program_of(model, Linear().plus(x, 1)), {0: 0}, seconds=60).values is None


def test_highs_plans_the_tiny_workshop_to_the_end() -> None:
    answer = highs_plan(tiny(), seconds=60)
    assert answer.remarks == ()
    assert answer.best.account.certified
    # Base for the second batch can be bought in time, so nothing need be lost.
    assert answer.best.account.money.service == answer.service_bound == 0
    assert answer.best.account.money.money == answer.money_bound


@pytest.mark.slow
def test_the_planner_tells_of_its_first_plan_and_each_stage() -> None:
    run = Run(family="small", case="one", method="planner", seconds=3)
    workshop = random_workshop(2, products=2, days=40, bottleneck="trays")
    outcome = METHODS["planner"](workshop, run)
    # The first plan comes before the service stage begins, which is over before the end.
    assert outcome.first_seconds
    assert outcome.service_seconds
    assert outcome.first_seconds + outcome.service_seconds < outcome.seconds
    assert outcome.first_service
    assert outcome.service
    assert outcome.service_bound
    assert outcome.first_service >= outcome.service >= outcome.service_bound


# The families


def test_every_case_is_found_by_its_name() -> None:
    assert {family.split("-")[0] for family in FAMILIES} == {
        "demo",
        "6x120",
        "12x180",
        "20x180",
        "60x365",
    }
    workshop = workshop_of("12x180-trays", "seed 2")
    assert (len(workshop.products), workshop.days) == (12, 180)
    assert workshop_of("demo", "drum late, 24 trays").trays["drying tray"].count == 24


def test_families_are_chosen_by_how_they_begin() -> None:
    assert list(families_named(["demo", "12x"])) == ["demo", "12x180-easy", "12x180-trays"]
    assert families_named([]) == FAMILIES
    with pytest.raises(ValueError, match="no family begins with '7x'"):
        families_named(["7x"])


# The results


def result(method: str, seconds: int = 0, case: str = "one", **fields: object) -> Result:
    """A result of the given numbers."""
    run = Run(family="small", case=case, method=method, seconds=seconds)
    return Result(
        run=run, outcome=Outcome(**fields), version="1", date="2026-11-25", machine="here"
    )  # type: ignore[arg-type]


def test_a_result_comes_back_from_its_line(tmp_path: Path) -> None:
    size = ModelSize(name="service", variables=3, rows=2, nonzeros=5, seconds=0.5)
    kept = [result("model", sizes=(size,), remarks=("ü",)), result("list", service=7, money=-1)]
    file = tmp_path / "results.jsonl"
    for each in kept:
        append(file, each)
    assert read_results(file) == kept
    assert read_results(tmp_path / "none.jsonl") == []


def test_what_failed_is_measured_again_and_the_last_result_counts() -> None:
    first, last = result("list", service=7), result("list", service=6)
    failed = replace(result("textbook"), fault="ended with 1")
    killed = replace(result("highs", 5), fault="killed after 65 s", overran=True)
    results = [first, failed, last, killed]
    assert done(results) == {last.run: last, killed.run: killed}
    assert latest(results) == {last.run: last, failed.run: failed, killed.run: killed}


def test_the_tables_hold_the_newest_version_in_the_families_order() -> None:
    def measured_with(version: str, method: str, family: str, case: str, seconds: int) -> Result:
        run = Run(family=family, case=case, method=method, seconds=seconds)
        return Result(run=run, version=version)

    old = measured_with("1", "planner", "demo", "drum late, 18 trays", 30)
    long = measured_with("2", "planner", "6x120-easy", "seed 10", 30)
    short = replace(long, run=replace(long.run, seconds=5))
    by_list = measured_with("2", "list", "6x120-easy", "seed 10", 0)
    earlier = measured_with("2", "planner", "6x120-easy", "seed 2", 30)
    results = [old, long, short, by_list, earlier]
    assert newest(results) == [earlier, by_list, short, long]
    assert in_order(results)[0] == old


def test_a_gap_is_a_share_of_the_value() -> None:
    outcome = Outcome(service=200, service_bound=150, money=-100, money_bound=-110)
    assert (service_gap(outcome), money_gap(outcome)) == (0.25, 0.1)
    assert service_gap(Outcome(service=200)) is None
    assert service_gap(Outcome(service=0)) == 0


def test_worse_loses_more_or_costs_clearly_more() -> None:
    best = Outcome(service=10, money=100_000)
    assert is_worse(Outcome(service=11, money=0), best)
    assert is_worse(Outcome(service=10, money=100_101), best)
    assert not is_worse(Outcome(service=10, money=100_100), best)
    assert not is_worse(Outcome(service=9, money=200_000), best)


def test_a_family_is_summed_up_over_its_cases() -> None:
    results = [
        result("list", service=30, money=1),
        result("highs", 5, service=8, money=1),
        result("highs", 30, service=5, money=1),
        result("planner", 30, service=6, service_bound=6, money=1, first_seconds=0.5),
        result("list", case="two", service=40, money=1),
        result("planner", 30, "two", service=8, service_bound=6, money=1, first_seconds=0.7),
    ]
    short = next(s for s in summaries(results) if s.label == "planner 30 s")
    assert (short.cases, short.proven, short.loss, short.slowest_first) == (2, 1, 14, 0.7)
    assert short.gaps == (0.0, 0.25)
    # HiGHS is compared at the same limit only; it lost less there, in the one case it has.
    assert short.worse == {"highs": (1, 1), "textbook": (0, 0), "list": (0, 2)}
    assert over_all(max, short.gaps) == 0.25
    assert over_all(max, (*short.gaps, None)) is None


def test_the_document_holds_every_run_and_what_failed() -> None:
    size = ModelSize(name="service", variables=3000, rows=2, nonzeros=5, seconds=0.5)
    text = document(
        [
            result("model", sizes=(size,)),
            result("planner", 30, service=1_250_000, service_bound=1_000_000, money=100_000),
            replace(result("textbook"), fault="ended with 1: out of money"),
        ]
    )
    assert "Measured 2026-11-25 with 1, on here." in text
    assert "| small, one | planner 30 s | - | - | 12.50 | 10.00 | 20.00 % | 1.00 |" in text
    assert "| small, one | service | 3,000 | 2 | 5 | 0.50 |" in text
    assert "| small, one | textbook | failed |" in text
    assert "- small, one, textbook: ended with 1: out of money" in text
    rows = [line.count("|") for line in text.splitlines() if line.startswith("|")]
    assert rows.count(15) == 4
    assert rows.count(14) == 3
    assert rows.count(8) == 3


def test_each_run_tells_the_commit_of_its_planner() -> None:
    made = replace(result("list", service=7), version="planner 0.1.0 (abc1234), ortools 9")
    assert "| abc1234 |" in document([made])


@pytest.mark.slow
def test_a_run_has_a_process_of_its_own() -> None:
    run = Run(family="demo", case="drum on time, 24 trays", method="list")
    found = measured(run)
    assert (found.run, found.fault, found.outcome.service) == (run, "", 0)
    # Less than any interpreter with numpy, or more than this machine has, is no peak of one run.
    assert 10 < found.peak_mib < 10_000
    unknown = measured(replace(run, case="drum lost"))
    assert "drum lost" in unknown.fault


@pytest.mark.slow
def test_a_run_that_does_not_end_is_killed() -> None:
    run = Run(family="demo", case="drum on time, 24 trays", method="list")
    found = measured(run, most=0)
    assert (found.fault, found.overran) == ("killed after 0 s", True)


def test_a_run_with_a_limit_gets_a_minute_more() -> None:
    assert most_seconds(Run(family="demo", case="one", method="highs", seconds=30)) == 90


def test_a_bound_below_nothing_tells_nothing_of_a_plan_that_costs_something() -> None:
    assert telling(5, 7) == 5
    assert telling(-3, -1) == -3
    assert telling(0, 7) is None
    assert telling(-900, 7) is None
    assert telling(None, 7) is None

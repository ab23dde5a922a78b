"""The ways to plan that are measured: each takes a workshop and a run to an outcome.

model     no plan: how large the planner's models are and how long they take to build
list      the list scheduler alone
textbook  requirements planning, made feasible by sliding batches forward
highs     the planner's rows given to HiGHS on two threads, from the list scheduler's plan on
planner   the planner; only the clock limits it
"""

from collections.abc import Callable, Mapping
from time import monotonic

from planner.draft import draft
from planner.planning import ProgressNote, Settings, make_plan
from planner.workshop import Workshop
from tests.benchmark.highs import highs_plan
from tests.benchmark.judging import Judged, certified
from tests.benchmark.results import ModelSize, Outcome, Run
from tests.benchmark.textbook import textbook_plan

ENDLESS_WORK = 1e9
"""Units of the solver's work that no limit of seconds leaves time for."""

Method = Callable[[Workshop, Run], Outcome]


def measure_models(workshop: Workshop, run: Run) -> Outcome:
    """The model of the service stage, and the one with purchases and the money goal."""
    return Outcome(sizes=(_size(workshop, "service", False), _size(workshop, "money", True)))


def _size(workshop: Workshop, name: str, with_purchases: bool) -> ModelSize:
    from planner.solver.model import PlanModel

    started = monotonic()
    model = PlanModel(workshop, with_purchases)
    seconds = monotonic() - started
    proto = model.model.proto.proto
    return ModelSize(
        name=name,
        variables=len(proto.variables),
        rows=len(proto.constraints),
        nonzeros=sum(len(row.linear.vars) for row in proto.constraints),
        seconds=seconds,
    )


def measure_list(workshop: Workshop, run: Run) -> Outcome:
    """The list scheduler's plan, as its single call gives it."""
    started = monotonic()
    return _at_once(certified(workshop, draft(workshop), "the list scheduler"), started)


def measure_textbook(workshop: Workshop, run: Run) -> Outcome:
    """The textbook's plan."""
    started = monotonic()
    return _at_once(certified(workshop, textbook_plan(workshop), "the textbook"), started)


def _at_once(found: Judged, started: float) -> Outcome:
    """The first plan is the last."""
    seconds = monotonic() - started
    return Outcome(
        first_seconds=seconds,
        first_service=found.account.money.service,
        service=found.account.money.service,
        money=found.account.money.money,
        seconds=seconds,
    )


def measure_highs(workshop: Workshop, run: Run) -> Outcome:
    """HiGHS within the run's seconds; turning rows into its arrays comes on top."""
    started = monotonic()
    answer = highs_plan(workshop, run.seconds)
    money = answer.best.account.money
    return Outcome(
        first_seconds=answer.first_seconds,
        first_service=answer.first.account.money.service,
        service_seconds=answer.service_seconds,
        service=money.service,
        service_bound=_no_higher(answer.service_bound, money.service),
        money=money.money,
        money_bound=telling(_no_higher(answer.money_bound, money.money), money.money),
        seconds=monotonic() - started,
        remarks=answer.remarks,
    )


def _no_higher(bound: int | None, value: int) -> int | None:
    """A bound no higher than the value that the replay finds, as the planner tells its own."""
    return None if bound is None else min(bound, value)


def telling(bound: int | None, value: int) -> int | None:
    """None for a bound below nothing of a plan that costs something: that was known before."""
    return None if bound is None or bound <= 0 < value else bound


def measure_planner(workshop: Workshop, run: Run) -> Outcome:
    """The planner within the run's seconds; its first progress note comes with its first plan."""
    started = monotonic()
    first: list[tuple[float, int | None]] = []

    def progress(note: ProgressNote) -> None:
        if not first:
            first.append((monotonic() - started, note.value))

    settings = Settings(work=ENDLESS_WORK, seconds=run.seconds, workers=run.workers)
    plan, account = make_plan(workshop, settings, progress=progress)
    seconds = monotonic() - started
    bounds = {stage.goal: stage.bound for stage in plan.stages}
    stage_seconds = {stage.goal: stage.seconds for stage in plan.stages}
    first_seconds, first_service = first[0]
    return Outcome(
        first_seconds=first_seconds,
        first_service=first_service,
        service_seconds=stage_seconds.get("service"),
        service=account.money.service,
        service_bound=bounds.get("service"),
        money=account.money.money,
        money_bound=telling(bounds.get("money"), account.money.money),
        seconds=seconds,
    )


METHODS: Mapping[str, Method] = {
    "model": measure_models,
    "list": measure_list,
    "textbook": measure_textbook,
    "highs": measure_highs,
    "planner": measure_planner,
}

TIMED = ("highs", "planner")
"""The methods that look for a better plan until their time is over."""

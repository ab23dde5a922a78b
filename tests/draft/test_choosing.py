import pytest

from planner.draft import choosing
from planner.draft.choice import judged
from planner.draft.choosing import best_pass
from planner.draft.ranking import Rank, Rule, due_day, rules_of
from planner.draft.schedule import Pass, Start, start_of
from tests.draft.twists import twisted
from tests.workshops import random_workshop


def scarce() -> Start:
    return start_of(random_workshop(seed=3, products=4, days=90, bottleneck="hands"))


def all_rules(start: Start) -> list[Rule]:
    return rules_of(start.bench, start.jobs, Pass(start).needs)


def losses(start: Start, rules: list[Rule]) -> list[int]:
    """What the backward pass, and the pass by each of the rules, loses."""
    passes = [Pass(start).run_backward(due_day), *(Pass(start).run(rule) for rule in rules)]
    return [judged(start, schedule).sold.loss for schedule in passes]


def test_the_pass_that_loses_least_is_taken() -> None:
    start = scarce()
    rules = all_rules(start)
    found = losses(start, rules)
    assert len(set(found)) > 2
    assert best_pass(start, rules).sold.loss == min(found)


def test_the_backward_pass_is_taken_where_it_loses_least() -> None:
    start = start_of(twisted(53))
    rules = all_rules(start)
    backward, *others = losses(start, rules)
    assert best_pass(start, rules).sold.loss == backward < min(others)


@pytest.mark.parametrize(("passes", "expected"), [(0, set()), (1, {1}), (2, {1, 2})])
def test_more_passes_are_made_only_as_far_as_the_work_goes(
    passes: int, expected: set[int], monkeypatch: pytest.MonkeyPatch
) -> None:
    """Beyond the forward pass, and the backward pass if there is work for any: here by value."""
    start = scarce()
    rules = all_rules(start)[::-1]
    monkeypatch.setattr(choosing, "WORK", passes * 4 * 90)
    tried: list[int] = []

    def counted(number: int) -> Rule:
        def rule(need: object, value: float) -> Rank:
            tried.append(number)
            return rules[number](need, value)  # type: ignore[arg-type]

        return rule

    best = best_pass(start, [counted(number) for number in range(len(rules))])
    assert set(tried) == expected
    if not passes:
        assert best.sold.losses == judged(start, Pass(start).run(due_day)).sold.losses


def test_nothing_more_is_tried_once_nothing_is_lost() -> None:
    def never(need: object, value: float) -> Rank:
        raise AssertionError("a further pass was made")

    start = start_of(random_workshop(seed=3, products=4, days=90))
    assert best_pass(start, [due_day, never]).sold.loss == 0

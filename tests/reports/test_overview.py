from dataclasses import replace

from planner.account import Service
from planner.findings import Finding, Severity
from planner.plan import Plan, Stage, Status
from planner.staying import Staying
from planner.workshop import DemandKind
from reports import overview
from reports.style import as_text
from reports.view import View
from tests.accounts import account


def stage(goal: str, value: int, bound: int, status: Status) -> Stage:
    return Stage(goal=goal, value=value, bound=bound, seconds=1.0, status=status)


def proofs(view: View, *stages: Stage) -> list[str]:
    return overview.proofs(replace(view, plan=replace(view.plan, stages=stages)))


def test_the_plan_fits_on_one_screen(view: View) -> None:
    lines = as_text(overview.page(view)).splitlines()
    assert len(lines) <= 30
    assert max(len(line) for line in lines) <= 80


def test_what_is_met_comes_first(view: View) -> None:
    lines = as_text(overview.page(view)).splitlines()
    assert lines[0] == "Tern Cottage: plan, Mon 31 Aug 2026 to Sun 25 Oct"
    assert lines[1] == "Met       launch Gull (60 conditioner): Fri 25 Sep, as asked"
    assert lines[2].strip() == "1 of 1 order on time"
    # 394 of 448 bars of shampoo and all 62 of conditioner.
    assert lines[3].strip() == "! retail: 456 of 510 bars asked for (89 %)"


def test_days_below_a_restock_level_are_counted(view: View) -> None:
    def told(below: tuple[int, ...]) -> str:
        row = replace(
            view.account.service[0], kind=DemandKind.RESTOCK, lost=sum(below), lost_by_day=below
        )
        return as_text(overview.page(replace(view, account=account(service=(row,)))))

    assert "! restock levels: 2 days below" in told((0, 3, 4, 0))
    assert "restock levels: kept" in told((0, 0))


def test_the_next_orders_carry_their_last_day_and_a_sign_if_it_is_today(view: View) -> None:
    text = as_text(overview.page(view))
    assert "Order     ! by Mon 31 Aug from maker: 1 x 25 kg flakes, EUR 515.00" in text
    assert "by Wed 9 Sep from printer: 1 x 250 ea box, EUR 90.00" in text


def test_the_next_days_say_what_to_do(view: View) -> None:
    text = as_text(overview.page(view))
    assert "Do first  Tue 1 Sep: pour shampoo, 96 bars, then unmould Wed 2 Sep" in text
    assert "more: show batches" in text


def test_the_proof_is_part_of_the_answer(view: View) -> None:
    text = " ".join(as_text(overview.page(view)).split())
    assert "No plan can lose less than EUR 500.00; this one loses EUR 675.00 (26 % apart)." in text


def test_each_kind_of_proof_has_its_sentence(view: View) -> None:
    done, open_ = Status.OPTIMAL, Status.FEASIBLE
    checked, best = proofs(view, stage("service", 500_000, 500_000, done))
    assert checked == overview.CHECKED
    assert best == "This plan loses EUR 5.00; no plan can lose less."
    assert "loses nothing" in proofs(view, stage("service", 0, 0, done))[1]
    assert proofs(view, stage("money", 100_000, 100_000, done))[1].endswith(
        "cost EUR 1.00; no plan that loses as little, and makes nothing that nobody asks for, "
        "costs less."
    )
    assert proofs(view, stage("money", 100_000, 90_000, open_))[1].endswith(
        "cost EUR 1.00; one that loses as little, and makes nothing that nobody asks for, "
        "cannot cost less than EUR 0.90 (10 % apart)."
    )
    assert proofs(view, stage("calm", 3, 3, done))[1] == overview.CALMEST
    assert proofs(view, stage("calm", 3, 1, open_))[1] == overview.MAY_BE_CALMER
    assert proofs(view)[1] == overview.UNPROVEN


def test_near_a_kept_plan_the_changes_that_there_have_to_be_are_told(view: View) -> None:
    def told(changes: int, least: int) -> str:
        calm = stage("calm", 7_654, 4_321, Status.FEASIBLE)
        return proofs(view, replace(calm, changes=changes, least_changes=least))[1]

    assert told(76, 58) == (
        "76 changes to the plan before, in what is poured, packed, made and ordered; no plan that "
        "is as good has fewer than 58."
    )
    assert told(4, 4) == overview.FEWEST_CHANGES
    assert told(76, 0) == overview.MAY_BE_CALMER


def test_a_bound_of_nothing_proves_nothing(view: View) -> None:
    for bound in (0, -90_000):
        _, service = proofs(view, stage("service", 100_000, bound, Status.FEASIBLE))
        assert service == (
            "This plan loses EUR 1.00. Nothing is proven yet: another may lose less, or nothing."
        )
        _, money = proofs(view, stage("money", 100_000, bound, Status.FEASIBLE))
        assert money.endswith(
            "cost EUR 1.00. Nothing is proven yet: one that loses as little may cost less."
        )
    assert (
        "cannot cost less than EUR 0.01"
        in (proofs(view, stage("money", 100_000, 1_000, Status.FEASIBLE))[1])
    )
    assert "no plan that" in proofs(view, stage("money", 0, 0, Status.OPTIMAL))[1]


def test_a_gap_is_never_rounded_up_to_one_percent(view: View) -> None:
    for bound, gap in ((99_999, "less than 1 %"), (99_000, "1 %"), (98_000, "2 %")):
        assert f"({gap} apart)" in proofs(view, stage("money", 100_000, bound, Status.FEASIBLE))[1]


def late(row: Service, met: int | None) -> Service:
    days = 56 - row.due if met is None else met - row.due
    return replace(row, met=met, late_days=days)


def with_service(view: View, met: int | None) -> View:
    rows = tuple(
        late(row, met) if row.kind in (DemandKind.LAUNCH, DemandKind.ORDER) else row
        for row in view.account.service
    )
    return replace(view, account=replace(view.account, service=rows))


def test_what_is_late_says_how_late_with_a_sign(view: View) -> None:
    text = as_text(overview.page(with_service(view, 32)))
    assert "! launch Gull (60 conditioner): Fri 2 Oct, 7 days late" in text
    assert "! 0 of 1 order on time; late: stockist (Fri 2 Oct, 2 days)" in text


def test_what_is_not_met_within_the_plan_says_so(view: View) -> None:
    text = as_text(overview.page(with_service(view, None)))
    assert "! launch Gull (60 conditioner): not within this plan" in text
    assert "stockist (not within this plan)" in text


def test_late_means_an_order_or_launch_and_not_a_lost_sale(view: View) -> None:
    assert not overview.is_late(view)
    assert overview.is_late(with_service(view, 32))
    assert overview.is_late(with_service(view, None))


def test_an_empty_plan_is_told_in_full(view: View) -> None:
    empty = replace(view, account=account(), plan=Plan(), shortfalls=())
    text = as_text(overview.page(empty))
    for words in (overview.NO_DEMAND, overview.NOTHING_SHORT, overview.UNPROVEN):
        assert words in text


def test_warnings_are_counted(view: View) -> None:
    odd = Finding(table="demand", severity=Severity.WARNING, found="x", expected="y", action="z")
    text = as_text(overview.page(replace(view, findings=(odd, odd))))
    assert "Tables    ! 2 warnings: show findings" in text


def test_what_is_out_of_date_says_so_before_anything_else(view: View) -> None:
    told = replace(view, stale=("Out of date: the tables have changed.",))
    assert as_text(overview.page(told)).splitlines()[1] == "! Out of date: the tables have changed."


def test_json_has_the_same_answers(view: View) -> None:
    content = overview.content(view)
    assert content["loss"] == "675.00"
    assert content["next_orders"][0] == {
        "supplier": "maker",
        "order": "2026-08-31",
        "order_by": "2026-08-31",
        "cost": "515.00",
    }
    assert content["next_entries"][0]["do"] == "pour"
    assert content["proven"][-1].startswith("No plan can lose less than EUR 500.00")


def test_how_much_of_the_plan_before_stays_is_told(view: View) -> None:
    again = replace(view, staying=Staying(batches=8, stay=6))
    text = as_text(overview.page(again))
    assert "Stays" in text
    assert "6 of the 8 batches still to come of the plan before stay" in " ".join(text.split())
    assert overview.content(again)["batches_that_stay"] == 6
    assert "Stays" not in as_text(overview.page(view))

from planner.draft.bench import Bench, Task, empty_bench
from planner.draft.capacity import HANDS, Take
from planner.workshop import Part, Preparation, Unit
from tests.draft.pieces import rooms, span
from tests.workshops import tiny

STIR = Preparation(
    id="stir", unit=Unit.GRAM, charge=1000, make_minutes=30, ready_days=1,
    formula=(Part(item="base", share=1),),  # type: ignore[arg-type]
)  # fmt: skip


def bench_with_stir() -> Bench:
    return empty_bench(tiny(preparations={"stir": STIR}, offers={}))


def state(bench: Bench) -> tuple[list[int], list[list[int]], int]:
    return (
        list(bench.free[HANDS].amounts),
        rooms(bench),
        len(bench.lots.get("stir", [])),
    )


def test_rolling_back_restores_everything_done_and_undone() -> None:
    bench = bench_with_stir()
    lot = Task(
        takes=(Take(HANDS, 2, 3, 30),),
        uses=((2, ((0, 1000),)),),
        preparation="stir",
        make=2,
        brings=span(3, 29, 1000),
    )
    bench.do(lot)
    before = state(bench)
    assert before[2] == 1
    mark = bench.mark()
    bench.undo(lot)
    bench.do(Task(uses=((5, ((0, 7),)),)))
    assert state(bench) != before
    bench.roll_back(mark)
    assert state(bench) == before


def test_a_copy_changes_by_itself() -> None:
    bench = bench_with_stir()
    before = state(bench)
    twin = bench.copy()
    twin.do(Task(takes=(Take(HANDS, 0, 1, 5),), uses=((0, ((0, 9),)),)))
    assert state(bench) == before
    assert state(twin) != before

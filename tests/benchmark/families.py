"""The workshops that are measured, in families, the same for everybody who measures.

Easy workshops have enough of everything, so that next to nothing need be lost. In the others the
demand needs 104 to 118 % of what there is of the bottleneck, and the numbers of the random
workshops are chosen so that something is lost in every plan.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import partial

from planner.workshop import Workshop
from tests.demo import demo_workshop
from tests.workshops import Bottleneck, random_workshop


@dataclass(frozen=True, kw_only=True)
class Case:
    """One workshop, made when it is asked for."""

    name: str
    make: Callable[[], Workshop]


def _demo() -> tuple[Case, ...]:
    """The drum on time or late, with the trays there are and with six more."""
    return tuple(
        Case(
            name=f"drum {'on time' if on_time else 'late'}, {trays} trays",
            make=partial(demo_workshop, drum_on_time=on_time, trays=trays),
        )
        for on_time in (True, False)
        for trays in (18, 24)
    )


def _drawn(
    products: int,
    days: int,
    bottleneck: Bottleneck,
    seeds: Sequence[int],
    materials: int | None = None,
) -> tuple[Case, ...]:
    """Random workshops of one shape, one for each seed."""
    return tuple(
        Case(
            name=f"seed {seed}",
            make=partial(
                random_workshop,
                seed,
                products=products,
                days=days,
                bottleneck=bottleneck,
                materials=materials,
            ),
        )
        for seed in seeds
    )


FAMILIES: dict[str, tuple[Case, ...]] = {
    "demo": _demo(),
    "6x120-easy": _drawn(6, 120, "none", range(1, 11)),
    "6x120-trays": _drawn(6, 120, "trays", (6, 7, 11)),
    "6x120-moulds": _drawn(6, 120, "moulds", (8, 12, 13)),
    "6x120-hands": _drawn(6, 120, "hands", (9, 14)),
    "6x120-drum": _drawn(6, 120, "drum", (10, 15)),
    "12x180-easy": _drawn(12, 180, "none", (1, 2)),
    "12x180-trays": _drawn(12, 180, "trays", (1, 2)),
    "20x180-easy": _drawn(20, 180, "none", (1, 2)),
    "20x180-trays": _drawn(20, 180, "trays", (1, 2)),
    "60x365-easy": _drawn(60, 365, "none", (1,), materials=200),
    "60x365-trays": _drawn(60, 365, "trays", (1,), materials=200),
}
"""Name -> its cases. Products x days, then what is scarce; 60 x 365 has 200 materials."""


def families_named(names: Sequence[str]) -> dict[str, tuple[Case, ...]]:
    """The families whose names begin with one of the given; all if none is given.

    Raises ValueError for a name with which no family begins.
    """
    for name in names:
        if not any(family.startswith(name) for family in FAMILIES):
            raise ValueError(f"no family begins with {name!r}; there are {', '.join(FAMILIES)}")
    return {
        family: cases
        for family, cases in FAMILIES.items()
        if not names or any(family.startswith(name) for name in names)
    }


def workshop_of(family: str, case: str) -> Workshop:
    """The workshop of one case. Raises KeyError if there is none."""
    return {found.name: found for found in FAMILIES[family]}[case].make()

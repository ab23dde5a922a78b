"""A program that says the same of a model more and more tightly, for relaxations and branching."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from planner.solver.bounding import Shared
from planner.solver.linear import LinearModel
from planner.solver.matrix import Floats, Program
from planner.solver.mixing import Mixed, with_mixing
from planner.solver.patterns import Patterned, with_patterns
from planner.solver.spans import in_spans


@dataclass(frozen=True, kw_only=True)
class Tightened:
    """A model's program, maybe with covers in whole counts and days as mixtures of patterns.

    The program's own columns come first, and can take the same whole values.
    """

    base: Program
    model: LinearModel
    mixed: Mixed | None = None
    patterned: Patterned | None = None

    @property
    def program(self) -> Program:
        """The program with all that is behind it."""
        if self.patterned is not None:
            return self.patterned.program
        return self.covered

    @property
    def size(self) -> int:
        """Rows and columns."""
        return self.program.rows + self.program.columns

    @property
    def shared(self) -> Shared:
        """The program, with the rows that products share and those whole values keep anyway."""
        covered = self.covered
        rows = [*self.model.shared_rows, *range(covered.rows, self.program.rows)]
        implied = range(self.base.rows, covered.rows)
        return Shared(program=self.program, rows=rows, implied=implied)

    def completed(self, values: Mapping[int, int]) -> dict[int, int]:
        """Whole values of the program's own columns, and those of all others that follow."""
        found = dict(values)
        for step in (self.mixed, self.patterned):
            if step is not None:
                found = step.completed(found)
        return found

    def reduced(self, duals: Floats) -> "Tightened":
        """The same with only those covers that have a price in a relaxation: the same bound."""
        return self if self.mixed is None else self._with(self.mixed.priced(duals))

    @property
    def covers(self) -> Sequence[int]:
        """Which covers it has, of all that there could be."""
        return () if self.mixed is None else self.mixed.places

    def only(self, covers: Sequence[int]) -> "Tightened":
        """The same with only those covers."""
        return self if self.mixed is None else self._with(self.mixed.only(covers))

    def _with(self, mixed: Mixed) -> "Tightened":
        few = Tightened(base=self.base, model=self.model, mixed=mixed)
        return few if self.patterned is None else few.with_patterns() or few

    def with_patterns(self) -> "Tightened | None":
        """The same with patterns of its days; None where there are none, or too many."""
        patterned = with_patterns(self.program, self.model.knapsacks)
        if patterned is None:
            return None
        return Tightened(base=self.base, model=self.model, mixed=self.mixed, patterned=patterned)

    def in_spans(self) -> Program | None:
        """The program with days taken together; None where there are no patterns to fill them."""
        return None if self.patterned is None else in_spans(self.covered, self.model)

    @property
    def covered(self) -> Program:
        """The program with covers, without patterns."""
        return self.base if self.mixed is None else self.mixed.program


def tightenings(program: Program, model: LinearModel) -> list[Tightened]:
    """The program with covers in whole counts, if it can be said so, and then with patterns too."""
    covered = Tightened(base=program, model=model, mixed=with_mixing(program, model.mixings))
    patterned = covered.with_patterns()
    return [covered] if patterned is None else [covered, patterned]

"""The list of broken rules that a replay writes while it goes."""

from planner.account import Broken, Rule


class Faults:
    """Collects broken rules; nothing stops at the first one."""

    def __init__(self) -> None:
        self._broken: list[Broken] = []

    def add(self, day: int, rule: Rule, subject: str, message: str) -> None:
        """Note that `subject` breaks `rule` on `day`; `message` says how, with numbers."""
        self._broken.append(Broken(day=day, rule=rule, subject=subject, message=message))

    def listed(self) -> tuple[Broken, ...]:
        """All of them, by day and rule."""
        return tuple(sorted(self._broken))

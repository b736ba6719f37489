"""What can be wrong with a wish, said so that the person can act on it.

Every error that a person can cause is a `PlanError`: it names the field (the form's own field name, or a command
line option without dashes), says what is wrong, and offers a way out. The web layer shows it at that field, the
command line prints it, the JSON API returns it; nothing else in the program writes such sentences.
"""

from __future__ import annotations

from dataclasses import dataclass

from webapp.core.kinds import ProblemKind


@dataclass(frozen=True)
class Problem:
    """One thing wrong: `field` as named in the form, `message` what is wrong, `way_out` what to do about it."""

    field: str
    message: str
    way_out: str
    kind: ProblemKind = ""  # for a page that does more than show it

    def __str__(self) -> str:
        return f"{self.field}: {self.message} {self.way_out}".strip()


class PlanError(ValueError):
    """A wish that cannot be met as asked; carries every `Problem` found, not only the first."""

    def __init__(self, *problems: Problem) -> None:
        assert problems, "an error names at least one problem"
        self.problems: tuple[Problem, ...] = problems
        super().__init__("; ".join(str(p) for p in problems))

    @classmethod
    def at(cls, field: str, message: str, way_out: str = "", kind: ProblemKind = "") -> PlanError:
        """One problem at one field."""
        return cls(Problem(field, message, way_out, kind))

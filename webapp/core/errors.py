"""What can be wrong with a wish, as facts: which field, what kind of trouble, the figures that belong to it.

Every error that a person can cause is a `PlanError`: it names the field (the form's own field name, or a command
line option without dashes), the kind of problem (`ProblemKind`) and its figures. The sentence, with what is wrong and
a way out, is made by `words/problems/` where it is shown: at that field on a page, on the command line, in the JSON
API.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from dataclasses import field as filled

from webapp.core.kinds import ProblemKind

Figures = Mapping[str, str | float]


@dataclass(frozen=True)
class Problem:
    """One thing wrong: `field` as named in the form, its kind, and the figures that its sentence takes."""

    field: str
    kind: ProblemKind
    figures: Figures = filled(default_factory=dict)

    def __str__(self) -> str:
        figures = ", ".join(f"{name} {value}" for name, value in self.figures.items())
        return f"{self.field}: {self.kind} {figures}".strip()


class PlanError(ValueError):
    """A wish that cannot be met as asked; carries every `Problem` found, not only the first."""

    def __init__(self, *problems: Problem) -> None:
        assert problems  # an error names at least one
        self.problems: tuple[Problem, ...] = problems
        super().__init__("; ".join(str(p) for p in problems))

    @classmethod
    def at(cls, field: str, kind: ProblemKind, /, **figures: str | float) -> PlanError:
        """One problem at one field."""
        return cls(Problem(field, kind, figures))

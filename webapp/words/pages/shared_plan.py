"""A plan as it is sent to whoever eats along."""

from __future__ import annotations

from webapp.core.kinds import ClockStyle
from webapp.core.plan.plan import Plan
from webapp.core.plan.retimed import Retimed, timed_steps
from webapp.words.times import day_clock


def share_text(plan: Plan, retimed: Retimed, style: ClockStyle = "24") -> str:
    """The plan in a few lines, to send to whoever eats along."""
    lines = [plan.title, f"Supper {day_clock(retimed.supper, plan.zone, style)}"]
    for step, timed in timed_steps(plan, retimed):
        if step.rings and timed.status == "open":
            lines.append(f"{day_clock(timed.start, plan.zone, style)} {step.title}")
    return "\n".join(lines)

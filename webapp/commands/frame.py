"""What every command of the dough maths shares: how it answers, how it complains, how it reads a number."""

from __future__ import annotations

import functools
import json
import math
from collections.abc import Callable, Iterable
from typing import Any

import click

from webapp.core.errors import PlanError
from webapp.core.kitchen import Kitchen
from webapp.words.problems.told import all_in_words, refused

Options = dict[str, Any]


def says(answer: Callable[..., Options | list[Options]]) -> Callable[..., None]:
    """Print what the command found, as lines or as JSON; a PlanError ends with status 2, on the error stream.

    Many cases are a list of objects; as lines they stand apart by an empty one.
    """

    @functools.wraps(answer)
    def command(as_json: bool, **options: Any) -> None:
        try:
            found = answer(**options)
        except PlanError as error:
            problems = all_in_words(error.problems)
            rows = [{"field": p.field, "message": p.message, "way_out": p.way_out} for p in problems]
            click.echo(json.dumps({"errors": rows}) if as_json else "\n".join(map(str, problems)), err=True)
            raise SystemExit(2) from None
        click.echo(json.dumps(found, indent=2, ensure_ascii=False) if as_json else "\n\n".join(_texts(found)))

    return click.option("--json", "as_json", is_flag=True, help="Print JSON.")(command)


def _texts(found: Options | list[Options]) -> list[str]:
    return ["\n".join(lines_of(one)) for one in (found if isinstance(found, list) else [found])]


class Spoken(click.Command):
    """A command that also tells what is wrong with its options as JSON when it was asked for JSON."""

    def parse_args(self, ctx: click.Context, args: list[str]) -> list[str]:
        """As click does; a mistake in the options ends with status 2 either way."""
        try:
            return super().parse_args(ctx, list(args))
        except click.UsageError as error:
            if "--json" not in args:
                raise
            parameter = getattr(error, "param", None)
            field = parameter.name if parameter else str(getattr(error, "option_name", "")).strip("-").replace("-", "_")
            said, way_out = error.format_message(), f"See suppertide {self.name} --help."
            rows = [{"field": field or "command", "message": said, "way_out": way_out}]
            click.echo(json.dumps({"errors": rows}), err=True)
            ctx.exit(2)


def lists(**sets: Iterable[str]) -> Callable[[click.Command], click.Command]:
    """Put what a closed set holds into the help of a command, where its docstring says {name}: "hardly | doubled"."""

    def told(command: click.Command) -> click.Command:
        for name, kinds in sets.items():
            command.help = (command.help or "").replace(f"{{{name}}}", " | ".join(kinds))
        return command

    return told


def lines_of(found: Options) -> list[str]:
    rows: list[str] = []
    for key, value in found.items():
        if isinstance(value, list):
            rows += [f"{key}:"] if value else []
            rows += [f"  {'  '.join(map(str, row.values())) if isinstance(row, dict) else row}" for row in value]
        else:
            rows.append(f"{key}: {'none' if value is None else value}")
    return rows


def tidy(value: float, digits: int = 4) -> float | None:
    """Rounded for reading; None (null) for what is never reached."""
    return round(value, digits) if math.isfinite(value) else None


def together(*options: Callable[[Any], Any]) -> Callable[[Any], Any]:
    def add(command: Any) -> Any:
        for option in reversed(options):
            command = option(command)
        return command

    return add


def above_zero(name: str, value: float) -> float:
    if not 0 < value < math.inf:
        raise refused(name, f"{value} is not an amount.", "Give a number above 0.")
    return value


def scales(options: Options) -> Kitchen:
    step, micro = above_zero("scale_step", options["scale_step"]), options["micro_step"]
    if not 0 <= micro < math.inf:
        raise refused("micro_step", f"{micro} is no step of a scale.", "Give grams, or 0 for no fine scale.")
    return Kitchen(scale_step_g=step, micro_step_g=micro)

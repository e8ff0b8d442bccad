"""Values tried without touching a file, by the dotted names of inputs: settings, and the variants that options make of a job."""

import tomllib
from collections.abc import Iterable, Mapping
from contextlib import suppress
from dataclasses import replace
from typing import Any

from quoting.errors import Path, Problem, Reading, nearest, noted
from quoting.job.brief import SOURCE
from quoting.job.form import is_at, keys_at
from quoting.job.job import Job, Option
from quoting.job.shop import Shop
from quoting.job.stock import Price
from quoting.job.validate import JOB, nearest_key, raw_id
from quoting.measures import measure
from quoting.trades.registry import missing, trades
from quoting.values import key, slug

PRICES = "prices."


def parsed(settings: Iterable[str], problems: list[Problem]) -> list[tuple[str, Any]]:
    """Settings as they are given, each `path=value`; a value that is no TOML value is text."""
    found: list[tuple[str, Any]] = []
    for setting in settings:
        path, equals, value = (part.strip() for part in setting.partition("="))
        if not equals or not path:
            problems.append(Problem.of(setting, "found no value", 'write path="value"', "missing").at(SOURCE))
            continue
        with suppress(tomllib.TOMLDecodeError):
            value = tomllib.loads(f"value = {value}")["value"]
        found.append((path, value))
    return found


def repriced(
    book: Mapping[str, tuple[Price, ...]], settings: Iterable[tuple[str, Any]], problems: list[Problem]
) -> dict[str, tuple[Price, ...]]:
    """The price file with the prices given as `prices.<item>=...`."""
    book = dict(book)
    for path, value in settings:
        if not path.startswith(PRICES):
            continue
        name = key(path.removeprefix(PRICES))
        with noted(problems, path, SOURCE):
            price = measure(value, "money")
            if name not in book:
                raise Reading(
                    "found no such item", nearest(name, book), "unknown_name", name=name, known=list(book)
                )
            book[name] = tuple(replace(row, price=price) for row in book[name])
    return book


def apply(settings: Iterable[tuple[str, Any]], job: dict[str, Any], shop: dict[str, Any]) -> list[Problem]:
    """Set each value in the raw tables of job or shop, in place. What cannot be set is returned."""
    return [problem for path, value in settings if (problem := _set(path, value, job, shop))]


def _set(path: str, value: Any, job: dict[str, Any], shop: dict[str, Any]) -> Problem | None:
    section, *rest = path.split(".")
    if not rest:
        wanted = 'write trade.part.field, such as hardwood.leg.waste="30 %"'
        return Problem.of(path, "found no field", wanted, "missing")
    if section in trades():
        parts = job.get(section)
        ids = [raw_id(section, part) for part in parts] if isinstance(parts, list) else []
        if rest[0] not in ids and is_at(Shop, (section, *rest)):
            return _put(shop, [section, *rest], value, path)
        if rest[0] not in ids:
            found = f'found no {section} part "{rest[0]}"'
            return Problem.of(path, found, nearest(rest[0], ids), "unknown_name", name=rest[0], known=ids)
        return _put(job[section][ids.index(rest[0])], rest[1:], value, path)
    in_job = rest[-1] in keys_at(Job, (section, *rest[:-1])) or section == "cause"
    target, root = (job, Job) if in_job else (shop, Shop)
    if section not in keys_at(root, ()):
        advice = nearest_key(JOB, section, [*keys_at(Job, ()), *keys_at(Shop, ())])
        return Problem.of(path, f'found no section "{section}"', advice, "unknown_section", name=section)
    return _put(target, [section, *rest], value, path)


def _put(table: Any, steps: list[str], value: Any, path: str) -> Problem | None:
    if not steps:
        return Problem.of(path, "found no field", "write the field after the part's name", "missing")
    for step in steps[:-1]:
        if isinstance(table, list) and step.isdigit() and 1 <= int(step) <= len(table):
            table = table[int(step) - 1]
        elif isinstance(table, dict):
            table = table.setdefault(step, {})
        else:
            wanted = "write the position of an entry, starting with 1"
            return Problem.of(path, f'found no "{step}"', wanted, "unknown_name", name=step)
    if not isinstance(table, dict):
        found = f'found no table to put "{steps[-1]}" in'
        return Problem.of(path, found, "write a field of the part", "unknown_field", name=steps[-1])
    table[steps[-1]] = value
    return None


def with_option(
    position: int, option: Option, job: dict[str, Any], shop: dict[str, Any]
) -> tuple[list[Problem], dict[Path, Path]]:
    """Turn the raw job into its variant, in place: drop, then add, then set. Gives what is wrong in it, and by the path of each part of
    the variant that in the file; `position` is that of the option.
    """
    problems = []
    written: dict[int, Path] = {
        id(entry): (trade, i) for trade in trades() for i, entry in enumerate(job.get(trade, ()))
    }
    named = f"option.{slug(option.name)}"
    for name in option.drop:
        trade, _, part = name.partition(".")
        there = job.get(trade, [])
        job[trade] = [entry for entry in there if raw_id(trade, entry) != part]
        if len(job[trade]) == len(there):
            found = f'found no part "{name}"'
            problems.append(Problem.of(f"{named}.drop", found, "write trade.part", "unknown_name", name=name))
    for i, entry in enumerate(option.add):
        trade = str(entry.get("trade", ""))
        if trade not in trades():
            wanted = 'write its trade, such as { trade = "buy", item = "...", quantity = 1 }'
            words = missing(trade) or (f'found trade "{trade}"', wanted)
            problems.append(Problem.of(f"{named}.add", *words, "unknown_name", name=trade))
            continue
        added = {name: value for name, value in entry.items() if name != "trade"}
        written[id(added)] = ("option", position, "add", i)
        job.setdefault(trade, []).append(added)
    wrong = apply(option.set.items(), job, shop)
    problems += [replace(one, field=f"{named}.set.{one.field}") for one in wrong]
    stands: dict[Path, Path] = {
        (trade, i): written[id(entry)] for trade in trades() for i, entry in enumerate(job.get(trade, ()))
    }
    return problems, stands

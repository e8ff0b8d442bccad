"""Values tried without touching a file: `--set trade.id.field="..."`, and the options of a job."""

import tomllib
from collections.abc import Iterable, Mapping
from dataclasses import replace
from typing import Any

from quoting.errors import Problem, Reading, nearest
from quoting.job.brief import SOURCE
from quoting.job.job import Job, Option
from quoting.job.naming import raw_id
from quoting.job.prices import Price
from quoting.job.shop import Shop
from quoting.job.validate import JOB, is_at, keys_at, nearest_key
from quoting.measures import measure
from quoting.trades.registry import missing, trades
from quoting.values import key, slug

PRICES = "prices."


def parsed(settings: Iterable[str], problems: list[Problem]) -> list[tuple[str, Any]]:
    """`path=value` as written after --set; a value that is no TOML value is text."""
    found: list[tuple[str, Any]] = []
    for setting in settings:
        path, equals, value = (part.strip() for part in setting.partition("="))
        if not equals or not path:
            problems.append(Problem(setting, "found no value", 'write path="value"', SOURCE))
            continue
        try:
            found.append((path, tomllib.loads(f"value = {value}")["value"]))
        except tomllib.TOMLDecodeError:
            found.append((path, value))
    return found


def repriced(
    book: Mapping[str, tuple[Price, ...]], settings: Iterable[tuple[str, Any]], problems: list[Problem]
) -> dict[str, tuple[Price, ...]]:
    """The price book with the prices given as `prices.<item>=...`."""
    book = dict(book)
    for path, value in settings:
        if not path.startswith(PRICES):
            continue
        name = key(path.removeprefix(PRICES))
        try:
            price = measure(value, "money")
            book[name] = tuple(replace(row, price=price) for row in book[name])
        except Reading as reading:
            problems.append(Problem(path, reading.found, reading.write, SOURCE))
        except KeyError:
            problems.append(Problem(path, "found no such item", nearest(name, book), SOURCE))
    return book


def apply(settings: Iterable[tuple[str, Any]], job: dict[str, Any], shop: dict[str, Any]) -> list[Problem]:
    """Set each value in the raw tables of job or shop, in place. What cannot be set is returned."""
    return [problem for path, value in settings if (problem := _set(path, value, job, shop))]


def _set(path: str, value: Any, job: dict[str, Any], shop: dict[str, Any]) -> Problem | None:
    section, *rest = path.split(".")
    if not rest:
        return Problem(path, "found no field", 'write trade.part.field, such as hardwood.leg.waste="30 %"')
    if section in trades():
        parts = job.get(section)
        ids = [raw_id(section, part) for part in parts] if isinstance(parts, list) else []
        if rest[0] not in ids and is_at(Shop, (section, *rest)):
            return _put(shop, [section, *rest], value, path)
        if rest[0] not in ids:
            return Problem(path, f'found no {section} part "{rest[0]}"', nearest(rest[0], ids))
        return _put(job[section][ids.index(rest[0])], rest[1:], value, path)
    in_job = rest[-1] in keys_at(Job, (section, *rest[:-1])) or section == "cause"
    target, root = (job, Job) if in_job else (shop, Shop)
    if section not in keys_at(root, ()):
        advice = nearest_key(JOB, section, [*keys_at(Job, ()), *keys_at(Shop, ())])
        return Problem(path, f'found no section "{section}"', advice)
    return _put(target, [section, *rest], value, path)


def _put(table: Any, steps: list[str], value: Any, path: str) -> Problem | None:
    if not steps:
        return Problem(path, "found no field", "write the field after the part's name")
    for step in steps[:-1]:
        if isinstance(table, list) and step.isdigit() and 1 <= int(step) <= len(table):
            table = table[int(step) - 1]
        elif isinstance(table, dict):
            table = table.setdefault(step, {})
        else:
            return Problem(path, f'found no "{step}"', "write the position of an entry, starting with 1")
    if not isinstance(table, dict):
        return Problem(path, f'found no table to put "{steps[-1]}" in', "write a field of the part")
    table[steps[-1]] = value
    return None


def with_option(option: Option, job: dict[str, Any], shop: dict[str, Any]) -> list[Problem]:
    """Turn the raw job into its variant, in place: drop, then add, then set."""
    problems = []
    named = f"option.{slug(option.name)}"
    for name in option.drop:
        trade, _, part = name.partition(".")
        kept = [entry for entry in job.get(trade, []) if raw_id(trade, entry) != part]
        if len(kept) == len(job.get(trade, [])):
            problems.append(Problem(f"{named}.drop", f'found no part "{name}"', "write trade.part"))
        job[trade] = kept
    for entry in option.add:
        trade = str(entry.get("trade", ""))
        if trade not in trades():
            wanted = 'write its trade, such as { trade = "buy", item = "...", quantity = 1 }'
            words = missing(trade) or (f'found trade "{trade}"', wanted)
            problems.append(Problem(f"{named}.add", *words))
            continue
        job.setdefault(trade, []).append({name: value for name, value in entry.items() if name != "trade"})
    wrong = apply(option.set.items(), job, shop)
    return problems + [replace(one, field=f"{named}.set.{one.field}") for one in wrong]

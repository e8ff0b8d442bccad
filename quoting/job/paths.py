"""Inputs by their dotted names: values tried without touching a file, what a name stands for, standards put into a shop file."""

import tomllib
from collections.abc import Iterable, Mapping
from contextlib import suppress
from dataclasses import fields, is_dataclass, replace
from typing import Any, get_type_hints

from quoting.by_trade import entries, is_by_trade
from quoting.errors import Path, Problem, Reading, nearest, noted
from quoting.job.brief import SOURCE, Brief, steps_of, text_of
from quoting.job.job import Job, Option
from quoting.job.shop import Shop
from quoting.job.starters import with_defaults
from quoting.job.stock import Price
from quoting.job.validate import JOB, dimension_of, is_at, keys_at, nearest_key, raw_id
from quoting.measures import measure
from quoting.trades.registry import missing, sections, trades
from quoting.values import Uncertain, key, slug

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


def shop_path(name: str) -> tuple[str, ...]:
    """The steps of a dotted name in the shop file: section, the name of its table where it has one, and field. A table's name may
    hold dots of its own.
    """
    section, _, rest = name.partition(".")
    middle, _, field = rest.rpartition(".")
    return (section, middle, field) if middle else (section, field)


def as_written(brief: Brief, name: str) -> str:
    """A standard by the name that the shop file writes: the spelling of its species or ply, where it holds them."""
    section, *middle, field = shop_path(name)
    tables = dict(entries(brief.shop)).get(section, {})
    if not middle or not isinstance(tables, dict):
        return name
    spelled = next((own for own in tables if key(own) == key(middle[0])), middle[0])
    return f"{section}.{spelled}.{field}"


def dimension_at(brief: Brief, name: str) -> str:
    """The dimension of an input of a job or its shop, such as "length" or "share"; "" for a name that neither has."""
    return next(filter(None, _dimensions(brief, name)), "")


def shops_own(brief: Brief, name: str) -> bool:
    """True for an input that stands in the shop file, or among its starter values."""
    in_job, in_shop = _dimensions(brief, name)
    return bool(in_shop and not in_job)


def _dimensions(brief: Brief, name: str) -> tuple[str, str]:
    """The dimension that a name has in the job, and in the shop file."""
    return _below(brief.job, name.split("."), ""), _below(brief.shop, list(shop_path(name)), "")


def standard_of(brief: Brief, name: str) -> Uncertain | None:
    """A standard of the shop file by its name; where a table of a family leaves it out, that of its usual section."""
    found: Any = dict(entries(brief.shop))
    words = shop_path(name)
    for word in words:
        found = found.get(word) if isinstance(found, dict) else getattr(found, word, None)
    usual = sections()[words[0]][1].usual if words[0] in sections() else ""
    if found is None and usual:
        found = getattr(brief.shop.sections[usual], words[-1], None)
    return found if isinstance(found, Uncertain) else None


def dimension_of_standard(brief: Brief, name: str) -> str:
    """The dimension of a standard of the shop file, also of one that it does not hold yet."""
    section, *_, last = shop_path(name)
    trade, of = sections().get(section, (None, None))
    if trade is not None and of is not None and of.family:
        return dimension_of(get_type_hints(trade.named(of.record), include_extras=True).get(last))
    return _dimensions(brief, name)[1]


def _below(record: Any, words: list[str], dimension: str) -> str:
    if not words:
        return dimension
    word, rest = words[0], words[1:]
    if isinstance(record, dict):
        return _below(record[word], rest, dimension) if word in record else ""
    if isinstance(record, tuple):
        ids = steps_of(record)
        return _below(record[ids.index(word)], rest, dimension) if word in ids else ""
    if not is_dataclass(record) or isinstance(record, type):
        return ""
    own: dict[str, Any] = next((getattr(record, one.name) for one in fields(record) if is_by_trade(one)), {})
    if word in own:
        return _below(own[word], rest, "")
    hints = get_type_hints(type(record), include_extras=True)
    field = next((one for one in (word, f"{word}_") if one in hints), "")
    return _below(getattr(record, field), rest, dimension_of(hints[field])) if field else ""


def written_in(shop: dict[str, Any], name: str) -> str:
    """The text of a standard in a shop file or among the starter values; "" where neither holds it."""
    return text_of(_within(with_defaults(shop), shop_path(name)))


def _within(table: Any, words: Iterable[str]) -> Any:
    """What stands in a table of tables; None where there is nothing of those names."""
    for word in words:
        table = table.get(word) if isinstance(table, dict) else None
    return table


def patched(text: str, values: Mapping[str, str]) -> str:
    """The text of a shop file with values put in, by dotted name: in place, below the last field of their table, or in tables of
    their own at its end.
    """
    import tomlkit

    document: Any = tomlkit.parse(text)
    new: list[tuple[tuple[str, ...], str]] = []
    for name, value in values.items():
        *tables, field = path = shop_path(name)
        table = _within(document, tables)
        if table is None or (field not in table and not isinstance(table, tomlkit.items.InlineTable)):
            new.append((path, value))
        elif isinstance(table.get(field), dict):  # { value = "...", cause = "..." } keeps its cause
            table[field]["value"] = value
        else:
            table[field] = value
    done = str(tomlkit.dumps(document))
    for path, value in new:
        done = _added(done, path, value)
    return done


def _added(text: str, path: tuple[str, ...], value: str) -> str:
    """A field that a file lacks: below the last field under its header, else under a header of its own at the end."""
    import tomlkit

    header = ".".join(one if one.isidentifier() else tomlkit.key(one).as_string() for one in path[:-1])
    row = f"{path[-1]} = {tomlkit.string(value).as_string()}"
    lines = text.splitlines()
    starts = [i for i, line in enumerate(lines) if line.split("#")[0].strip() == f"[{header}]"]
    if not starts:
        return f"{text.rstrip()}\n\n[{header}]\n{row}\n"
    end = next((i for i in range(starts[0] + 1, len(lines)) if lines[i].lstrip().startswith("[")), len(lines))
    filled = [i for i in range(starts[0], end) if lines[i].strip() and not lines[i].lstrip().startswith("#")]
    lines.insert(filled[-1] + 1, row)
    return "\n".join(lines) + "\n"

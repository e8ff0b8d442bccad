"""The names that an entry may use, and which lines of the plan it fills by them; the nearest name where none fits."""

from collections.abc import Callable, Iterable
from dataclasses import dataclass, field, replace
from datetime import date
from typing import TypeVar

from quoting.advice import Advice
from quoting.errors import Problem, Reading, nearest, unknown
from quoting.job.brief import Brief
from quoting.logbook.plan_lines import UNPLANNED, hour_lines, machine_lines, matching, paid_lines, task_of
from quoting.logbook.saying import Saying
from quoting.pricing.record import Priced, PricedLine
from quoting.trades import parts as of_trades
from quoting.trades.registry import trades
from quoting.values import slug

T = TypeVar("T")
Target = dict[str, object]

LONGEST_NAME = 60
"""What is quoted of a name that nobody knows [characters]."""


@dataclass(frozen=True, slots=True)
class Names:
    """Names of a piece, or of the shop where `lines` is empty. `spent_on` are rows of the shop's overhead."""

    lines: tuple[PricedLine, ...]
    people: tuple[str, ...]
    machines: tuple[str, ...]
    laminates: tuple[str, ...]
    payments: tuple[str, ...]
    spent_on: tuple[str, ...]
    digits: int

    @property
    def is_shop(self) -> bool:
        """True where entries are about the shop and not about a piece."""
        return not self.lines

    @property
    def stages(self) -> tuple[str, ...]:
        """Stages of the plan's labour."""
        return tuple(dict.fromkeys(line.stage for line in hour_lines(self.lines)))


def names_of_piece(plan: Priced) -> Names:
    """The names of a priced job."""
    return Names(
        lines=plan.lines,
        people=tuple(plan.shop.pay),
        machines=tuple(plan.shop.machine),
        laminates=tuple(part.part for trade, part in of_trades.parts(plan.job) if trades()[trade].pressed),
        payments=tuple(payment.name for payment in plan.payments),
        spent_on=(),
        digits=plan.digits,
    )


def names_of_shop(brief: Brief, digits: int) -> Names:
    """The names of a shop file."""
    shop = brief.shop
    rows = tuple(name for name in shop.overhead if name != "sold_hours")
    return Names((), tuple(shop.pay), machines=(), laminates=(), payments=(), spent_on=rows, digits=digits)


@dataclass(slots=True)
class Reader:
    """Reads the fields of one saying; what is wrong is collected, and a stand-in is given in its place."""

    saying: Saying
    names: Names
    today: date
    problems: list[Problem] = field(default_factory=list)

    def read(self, name: str, reader: Callable[[], T]) -> T | None:
        """What a field holds; None, and a problem noted, where it cannot be read."""
        try:
            return reader()
        except Reading as reading:
            self.problems.append(reading.problem(name))
            return None

    def wrong(self, name: str, found: str, write: str, code: str, /, **values: object) -> None:
        """Note a problem."""
        self.problems.append(Problem.of(name, found, write, code, **values))

    def unknown(
        self, name: str, said: str, known: Iterable[str], other: bool = False, where: str = ""
    ) -> None:
        """Note a name that is not among those known; where it may be an `other` thing than the plan has, how to say so."""
        problem = unknown(name, said[:LONGEST_NAME], known, where)
        advice = Advice("or_unplanned", offer=problem.write) if other else problem.write
        found = problem.found if said else "found nothing"
        self.problems.append(replace(problem, found=found, write=advice))


def hours_target(reader: Reader, lines: list[PricedLine]) -> tuple[Target, str]:
    """Which of the lines hours fill, and whom the plan names for them. A stage alone fills the stage."""
    saying, names = reader.saying, reader.names
    task, part, stage = saying.task.strip(), saying.part.strip(), saying.stage.strip()
    if names.is_shop:
        if not (task or stage):
            reader.wrong("task", "found nothing", Advice("task_done"), "missing")
        return {"task": task or stage}, ""
    if saying.line:
        return _by_id(reader, lines)
    tasks = dict.fromkeys(task_of(line) for line in lines)
    if stage and not task and stage not in names.stages and slug(stage) in tasks:
        task, stage = stage, ""  # a day sheet has one column for both
    if stage and not task and not part:
        if stage not in names.stages:
            reader.unknown("stage", stage, (*names.stages, *tasks))
        return {"stage": stage}, ""
    if not task and not part:
        reader.wrong("task", "found neither task nor stage", nearest("", (*names.stages, *tasks)), "missing")
        return {}, ""
    found = matching(lines, task=task, part=part)
    if len(found) == 1:
        return {"line": found[0].id}, found[0].item
    if found:
        return {"task": slug(task), "part": part}, found[0].item
    if saying.unplanned and task:
        return {"line": f"{UNPLANNED}.{slug(task)}.hours", "task": task, "stage": stage}, ""
    _nothing_fits(reader, lines, task, part)
    return {}, ""


def machine_target(reader: Reader) -> Target:
    """The line that hours of a machine fill; one that the plan lacks names its machine (`of`)."""
    saying, names = reader.saying, reader.names
    if not saying.unplanned:
        if saying.stage and not (saying.task or saying.part or saying.line):
            tasks = dict.fromkeys(task_of(line) for line in machine_lines(names.lines))
            reader.wrong(
                "stage", "found a stage for a machine", "name the task: " + nearest("", tasks), "conflict"
            )
        return hours_target(reader, machine_lines(names.lines))[0]
    machine, task = saying.of.strip(), saying.task.strip()
    if machine not in names.machines:
        reader.unknown("of", machine, names.machines)
    if not task:
        reader.wrong("task", "found nothing", "write what it did", "missing")
    return {"line": f"{UNPLANNED}.{slug(task)}.machine", "task": task, "item": machine}


def done_target(reader: Reader) -> Target:
    """What is done for good: a line, a stage, a task, or all of a part."""
    saying, names = reader.saying, reader.names
    part = saying.part.strip()
    if saying.line:
        return _by_id(reader, names.lines)[0]
    if part and not saying.task.strip():
        parts = list(dict.fromkeys(line.part for line in names.lines if line.part != "the job"))
        if slug(part) not in map(slug, parts):
            reader.unknown("part", part, parts)
        return {"part": part}
    return hours_target(reader, hour_lines(names.lines))[0]


def item_target(
    reader: Reader, lines: Iterable[PricedLine] | None, asked: str
) -> tuple[Target, list[PricedLine]]:
    """The lines that something used or paid fills. `asked` is the option that names the item."""
    saying, names = reader.saying, reader.names
    there = paid_lines(names.lines) if lines is None else list(lines)
    item, part = saying.of.strip(), saying.part.strip()
    if saying.line:
        target, _ = _by_id(reader, there)
        return target, matching(there, line=str(target.get("line", "")))
    found = matching(there, item=item, part=part) if item or part else []
    if len(found) == 1:
        return {"line": found[0].id}, found
    if found and len({line.measure for line in found}) == 1:
        return {"item": item, "part": part}, found
    if found:
        several = f'found "{item or part}", which is several things'
        reader.wrong(asked, several, Advice("line_or_item"), "unclear", name=item or part)
        return {}, []
    if saying.unplanned and item and lines is None:
        return {"line": f"{UNPLANNED}.{slug(item)}.item", "item": item}, []
    called = [name for line in there for name in (line.item, line.part) if name != "the job"]
    reader.unknown(asked, item or part, dict.fromkeys(called), other=lines is None)
    return {}, []


def setback_line(lines: Iterable[PricedLine], what: str) -> str:
    """The name of a setback: that of the plan where it has one of this id or these words, else of one that nobody planned."""
    name = slug(what)
    called = (
        line.id.rpartition(".")[0]
        for line in lines
        if line.trade == "setback" and name in (line.id.split(".")[1], slug(line.part), slug(line.item))
    )
    return next((id for id in called if id.startswith("setback.")), f"{UNPLANNED}.{name}")


def _by_id(reader: Reader, lines: Iterable[PricedLine]) -> tuple[Target, str]:
    there = {line.id: line for line in lines}
    wanted = reader.saying.line.strip()
    if wanted in there:
        return {"line": wanted}, there[wanted].item
    reader.unknown("line", wanted, there)
    return {}, ""


def _nothing_fits(reader: Reader, lines: list[PricedLine], task: str, part: str) -> None:
    tasks, parts = list(dict.fromkeys(map(task_of, lines))), list(dict.fromkeys(line.part for line in lines))
    if task and slug(task) not in tasks:
        reader.unknown("task", task, tasks, other=True)
    elif part and slug(part) not in map(slug, parts):
        reader.unknown("part", part, parts)
    else:
        has = dict.fromkeys(task_of(line) for line in lines if slug(line.part) == slug(part))
        reader.unknown("task", task, has, other=True, where=f' on "{part[:LONGEST_NAME]}"')

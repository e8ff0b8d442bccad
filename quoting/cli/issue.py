"""Commands about one quote: issue it, mark how it stands, change it, show it."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

from quoting.as_data.planned import price_data
from quoting.cli.app import (
    Answer,
    Folder,
    Job,
    Json,
    Number,
    Out,
    Shop,
    Strict,
    Xml,
    after,
    arg,
    command,
    here,
    house_of,
    same,
    this_day,
)
from quoting.cli.terminal import bold, heading, money, progress, row, tell, wrapped
from quoting.errors import one_line
from quoting.measures.showing import per_cent

if TYPE_CHECKING:
    from quoting.runs.marking import Asked, Changed
    from quoting.runs.shops import Issue


@command()
def issue(
    job: Job,
    revises: Annotated[str, arg("--revises", "Make the next revision of an issued quote.", "NUMBER")] = "",
    again: Annotated[bool, arg("--again", "Issue the same job once more, as another piece.")] = False,
    shop: Shop = None,
    out: Out = None,
    xml: Xml = False,
    strict: Strict = False,
) -> Answer:
    """Number a quote and freeze it in the ledger.

    Job, shop, prices, results and documents are kept as they are; an issued quote never changes. Its files go
    to the folder "issued" of the shop.
    """
    from quoting.cli.breakdown import summary
    from quoting.runs import issuing as recipes

    asked = recipes.Asked(revises, again, xml)
    done = recipes.issue(job, shop, this_day(), asked, out, progress, tell)
    issued = f"issued {done.issued.number}, valid until {done.issued.face.valid_until}"
    agreed = ("mark", str(done.issued.number), "agreed", *same(house_of(job, shop)))
    broken = done.priced.policies_broken
    return Answer(issued, done.written, broken, strict=strict, more=summary(done.priced), next=agreed)


@command()
def mark(
    number: Number,
    state: Annotated[str, arg("STATE", "Such as agreed, built, delivered, sold.")],
    on: Annotated[str, arg("--on", "When it happened [default: today].", "DAY")] = "",
    words: Annotated[str, arg("--words", "Why, in your words.")] = "",
    option: Annotated[str, arg("--option", "The option that was agreed.", "NAME")] = "",
    price: Annotated[str, arg("--price", "Of a sale: what the buyer paid in all.", "AMOUNT")] = "",
    kept: Annotated[str, arg("--kept", "Of what was cancelled or came back: what you keep.", "AMOUNT")] = "",
    shop: Folder = None,
) -> Answer:
    """Mark how a piece stands.

    agreed, refused, lapsed, withdrawn; for sale, on consignment, sold; built, delivered; returned, cancelled,
    written off. Each is an entry with its day.
    """
    from quoting.runs.marking import mark as recipe

    piece = recipe(here(shop), this_day(), number, state, on, words, price, kept, option, tell)
    standing = f"{piece.standing.words} (since {piece.standing.since})"
    said = wrapped(f"{piece.number} {piece.quote.face.title}: {standing}")
    return Answer(said, next=after(piece, shop))


@command()
def change(
    number: Number,
    job: Annotated[Path, arg("--job", "The job file as changed.", "JOB")],
    words: Annotated[str, arg("--words", "What changes, in words.")] = "",
    agreed: Annotated[str, arg("--agreed", "The day the client agreed.", "DAY")] = "",
    mine: Annotated[bool, arg("--mine", "Your own change of plan, not charged.")] = False,
    on: Annotated[str, arg("--on", "The day of your own change [default: today].", "DAY")] = "",
    price: Annotated[
        str, arg("--price", "What was agreed instead of the price by your rules.", "AMOUNT")
    ] = "",
    out: Out = None,
    shop: Folder = None,
) -> Answer:
    """Price a change, and record it once it is agreed.

    The difference in cost at the margin of the quote, at least the shop's least charge. Without --agreed or --mine
    nothing is recorded; with --out the paper to agree on is written.
    """
    from quoting.runs import marking as recipes

    asked = recipes.Asked(job, words, agreed, mine, on, price, out)
    done = recipes.change(here(shop), this_day(), number, asked, tell)
    told = [
        word for name, value in (("--words", words), ("--price", price)) if value for word in (name, value)
    ]
    agree = ["change", number, "--job", job, *told, "--agreed", "today", *same(shop)]
    then = after(done.piece, shop) if agreed or mine else agree
    return Answer(_changed_text(done, asked), done.written, next=then)


def _changed_text(found: Changed, asked: Asked) -> str:
    """The price of a change, and what the contract is then."""
    plan, rules = found.piece.plan, found.piece.sold.rules
    recorded = bool(asked.agreed or asked.mine)
    rows = [bold(f"{found.piece.number} change {found.position}: {asked.words or asked.job.name}")]
    rows.append(row("  cost by the plan in force", money(plan, plan.cost["with_reserve"])))
    rows.append(row("  cost as changed", money(plan, found.plan.cost["with_reserve"])))
    margin = f"at the quote's margin of {per_cent(rules.margin)}"
    ruled = margin if found.asked.ruled_by == "margin" else "the least charge"
    if not asked.mine:
        rows.append(row(f"  its price ({ruled})", money(plan, found.asked.total)))
    if found.agreed.total != found.asked.total:
        why = "your own change, not charged" if asked.mine else "as agreed"
        rows.append(row(f"  charged ({why})", money(plan, found.agreed.total)))
    rows.append(row("  contract " + ("now" if recorded else "then"), money(plan, found.contract.total), "1"))
    if not recorded:
        rows.append(
            wrapped("Nothing is recorded. Once the client agrees: --agreed DAY; for your own account: --mine")
        )
    return "\n".join(rows)


@command()
def show(
    number: Number,
    out: Annotated[
        Path | None, arg("--out", "Write its documents there, exactly as issued.", "FOLDER")
    ] = None,
    xml: Xml = False,
    as_json: Json = False,
    shop: Folder = None,
) -> Answer:
    """Show an issued quote as it was, and how it stands.

    From the frozen results: nothing is reckoned anew.
    """
    from quoting.runs.shops import show as recipe

    found = recipe(here(shop), number, out, xml)
    said = price_data(found.priced) if as_json else _issued_text(found)
    return Answer(said, found.written, next=after(found.piece, shop))


def _issued_text(found: Issue) -> str:
    """An issued quote as it was, its history and its contract."""
    from quoting.cli.breakdown import breakdown

    face, piece, plan = found.issued.face, found.piece, found.priced
    said = f"{found.issued.number} {face.title}: {piece.standing.words} since {piece.standing.since}"
    day, until = face.day.isoformat(), face.valid_until.isoformat()
    engine = found.issued.made_with["engine"]
    rows = [heading(said), wrapped(f"issued for {day}, valid until {until}, by quoting {engine}")]
    if len(piece.quotes) > 1:
        rows.append("revisions: " + ", ".join(str(one.number) for one in piece.quotes))
    if str(piece.number) != str(found.issued.number):
        rows.append(f"not the one that holds: {piece.number} does")
    rows += [
        f"{one.entry.day.isoformat()} change {one.change.position}, {one.change.ruled}: {one_line(one.entry.words)}"
        f" ({money(plan, one.change.total)})"
        for one in piece.changes
    ]
    rows.append(row("contract", money(plan, found.figures.contract.total)))
    return "\n".join(rows) + "\n\n" + breakdown(plan, short=True)

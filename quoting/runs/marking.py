"""Steps of an issued piece, each an entry with its day: how it stands, and change orders at the prices of its quote."""

from datetime import date
from decimal import Decimal, InvalidOperation
from pathlib import Path
from typing import NamedTuple

from quoting.advice import Advice, argument
from quoting.errors import Problem, Reading, nearest, noted, refuse, refused
from quoting.job.brief import Brief
from quoting.ledger import entries, quotes
from quoting.ledger import frozen as files
from quoting.ledger.entries import Change, add_change
from quoting.ledger.frozen import Kept
from quoting.ledger.states import AGREED, BOUND, CANCELLED, OWN_STOCK, RETURNED, SOLD, refuse_step
from quoting.ledger.store import Connection, reading
from quoting.logbook.piece import Contract, Piece, contract_of, piece_of, price_of
from quoting.logbook.saying import day_of, money_of
from quoting.money import exact, trusted
from quoting.pricing.record import Priced
from quoting.pricing.sale import ChangePrice, agreed_price, change_price
from quoting.reading.readers import text as clean_text
from quoting.runs.as_quoted import changed_plan
from quoting.runs.issuing import ISSUED_FOLDER
from quoting.runs.keeping import job_sources, results
from quoting.runs.pricing import Tell
from quoting.runs.shops import ledger_to_write, typed, write_issued

MONEY_OF = {SOLD: "price", CANCELLED: "kept", RETURNED: "kept"}
"""States that carry an amount, and the argument that gives it."""


def mark(
    folder: Path,
    today: date,
    name: str,
    state: str,
    on: str,
    words: str,
    price: str,
    kept: str,
    option: str,
    tell: Tell,
) -> Piece:
    """Mark a piece; gives it as it stands then. `price` is what a buyer paid in all, `kept` what stays of an order
    that was cancelled or a piece that came back, `option` the option that was agreed. Raises Problems with everything that is wrong.
    """
    with ledger_to_write(folder, tell) as book:
        named = quotes.asked(book, name)
        piece = piece_of(book, named)
        wanted = " ".join(state.casefold().split())
        refuse_step(piece.standing, wanted)
        problems: list[Problem] = []
        day = _day_of_mark(piece, today, on, problems)
        money = _money(piece, wanted, {"price": price.strip(), "kept": kept.strip()}, problems)
        _check_option(price_of(book, "quote_file", named.id), wanted, option, problems)
        with noted(problems, argument("words")):
            words = clean_text(words)
        refuse(problems)
        binding = named if wanted == AGREED else piece.quote
        newest = piece.quotes[-1].number
        if wanted == AGREED and named.number != newest:
            tell(Advice("agreed_before_revision", number=named.number, newest=newest))
        entry = entries.Entry(
            kind="state", day=day, piece=named.piece_id, quote=binding.id, said=wanted, item=option,
            money=money, digits=binding.face.digits, words=words,
        )  # fmt: skip
        entries.add(book, entry)
        return piece_of(book, named)


def _day_of_mark(piece: Piece, today: date, on: str, problems: list[Problem]) -> date:
    """The day of the step: not to come, and not before the last one."""
    day = last = max(entry.day for entry in piece.holding if entry.kind == "state")
    with noted(problems, argument("on")):
        day = day_of(on, max(today, last))
        if day < last:
            found = f'found {day}, before it became "{piece.standing.words}" ({last})'
            wanted = "write a later day, or take the last state back first"
            raise Reading(found, wanted, "day_order", day=day, last=last, state=piece.standing.words)
    return day


def _money(piece: Piece, wanted: str, given: dict[str, str], problems: list[Problem]) -> Decimal | None:
    asked = MONEY_OF.get(wanted)
    for name in (name for name, text in given.items() if text and name != asked):
        found = f'found {given[name]} for "{wanted}"'
        problems.append(
            Problem.of(argument(name), found, "leave it out", "conflict", found=given[name], state=wanted)
        )
    if asked is None:
        return None
    text = given[asked]
    if asked == "kept" and text in ("", "0"):
        return piece.quote.face.total * 0
    try:
        return money_of(text, piece.quote.face.digits)
    except Reading as wrong:
        found, wanted = wrong.found if text else "found nothing", Advice(f"write_{asked}")
        problems.append(Problem.of(argument(asked), found, wanted, "not_a_number", found=text))
        return None


def _check_option(asked: Priced, wanted: str, option: str, problems: list[Problem]) -> None:
    names = [one.name for one in asked.options]
    if option and wanted != AGREED:
        found = f'found "{option[:40]}" for "{wanted}"'
        problems.append(Problem.of(argument("option"), found, "leave it out", "conflict", state=wanted))
    elif option and option not in names:
        advice = nearest(option, names) if names else "leave it out: this quote has no options"
        found = f'found "{option[:40]}"'
        problems.append(
            Problem.of(argument("option"), found, advice, "unknown_name", name=option, known=names)
        )


class Changed(NamedTuple):
    """A change as reckoned: its price by the rules, what it does to the contract, and whether it was recorded."""

    piece: Piece
    plan: Priced
    brief: Brief
    asked: ChangePrice
    agreed: ChangePrice
    contract: Contract
    position: int
    written: list[Path]


class Asked(NamedTuple):
    """What the maker says of a change. `agreed` is a day, `mine` a change of the maker's own; neither: only reckon it."""

    job: Path
    words: str
    agreed: str
    mine: bool
    on: str
    price: str
    out: Path | None


def change(folder: Path, today: date, name: str, asked: Asked, tell: Tell) -> Changed:
    """Record a change order, or reckon it where it is neither agreed nor the maker's own. Raises Problems."""
    if asked.agreed and asked.mine:
        raise refused(argument("agreed"), Advice("agreed_and_mine"), "write one of them", code="conflict")
    if not (asked.agreed or asked.mine):
        with reading(folder) as book:
            found = _reckoned(book, folder, name, asked)
            paper = _paper(book, found, asked, today) if asked.out is not None else {}
        return found._replace(written=_write(asked.out, found, paper))
    with typed("words"):
        clean_text(asked.words)
    if not asked.words.strip():
        raise refused(argument("words"), "found nothing", "write what changes, in words", code="missing")
    with ledger_to_write(folder, tell) as book:
        found = _reckoned(book, folder, name, asked)
        piece, agreed = found.piece, found.agreed
        entry = entries.Entry(
            kind="change", day=_day_of_change(piece, today, asked.agreed or asked.on), piece=piece.quote.piece_id, quote=piece.quote.id,
            money=agreed.total, digits=piece.plan.digits, words=asked.words.strip(), said=asked.job.name,
        )  # fmt: skip
        by = "mine" if asked.mine else "agreed"
        row = Change(found.position, by, agreed.net, agreed.tax, agreed.fees, found.asked.net)
        paper = _paper(book, found, asked, entry.day)
        papers = [Kept(files.DOCUMENT, name, data) for name, data in paper.items()]
        job = job_sources(found.brief, asked.job)
        add_change(book, entry, row, (*job, *papers, *results(found.brief, found.plan, {})))
        found = found._replace(contract=contract_of(piece_of(book, quotes.asked(book, name))))
    target = asked.out if asked.out is not None else folder / ISSUED_FOLDER
    return found._replace(written=_write(target, found, paper))


def _reckoned(book: Connection, folder: Path, name: str, asked: Asked) -> Changed:
    piece = piece_of(book, quotes.asked(book, name))
    _refuse_state(piece, asked)
    plan, brief = changed_plan(book, folder, piece, asked.job)
    least = exact(trusted(piece.sold.shop.pricing.least_change), plan.digits)
    by_rules = change_price(piece.plan, plan, least)
    agreed = by_rules
    if asked.mine:
        agreed = agreed_price(piece.plan, by_rules.cost, exact(0, plan.digits))
    elif asked.price:
        agreed = agreed_price(piece.plan, by_rules.cost, _signed(asked.price, plan.digits))
    now = contract_of(piece)
    then = Contract(now.net + agreed.net, now.tax + agreed.tax, now.fees + agreed.fees, now.firm)
    position = 1 + sum(1 for entry in piece.entries if entry.kind == "change")
    return Changed(piece, plan, brief, by_rules, agreed, then, position, [])


def _paper(book: Connection, found: Changed, asked: Asked, day: date) -> dict[str, bytes]:
    """The paper for the client by its file name; none for a change of the maker's own."""
    from quoting.documents.quote.pdf import ChangePaper, change_bytes

    if asked.mine:
        return {}
    kept = files.kept(book, "quote_file", found.piece.quote.id, files.SOURCE)
    number, before, words = str(found.piece.number), contract_of(found.piece).total, asked.words.strip()
    paper = ChangePaper(found.piece.sold, number, found.position, day, words, found.agreed, before)
    return {f"{number} change {found.position}.pdf": change_bytes(paper, kept.get("logo"))}


def _write(folder: Path | None, found: Changed, paper: dict[str, bytes]) -> list[Path]:
    """Write the paper; one that was written for an offer before gives way to the one that was agreed."""
    return write_issued(folder, str(found.piece.number), paper) if folder is not None and paper else []


def _refuse_state(piece: Piece, asked: Asked) -> None:
    deal, number = piece.standing.deal, piece.number
    if piece.standing.ordered:
        return
    if asked.mine and deal in OWN_STOCK:
        return
    found = f'{number} is "{piece.standing.words}"'
    if deal in BOUND:
        wanted: str = "issue a new quote for what is asked after delivery"
    elif deal in OWN_STOCK:
        wanted = Advice("mine_or_new_price", number=number)
    else:
        wanted = Advice("agree_or_revise", number=number)
    raise refused("", found, wanted, code="state", number=number, state=piece.standing.words)


def _day_of_change(piece: Piece, today: date, text: str) -> date:
    last = max(entry.day for entry in piece.holding if entry.kind in ("state", "change"))
    with typed("agreed"):
        day = day_of(text, max(today, last))
        if day < last:
            wanted = "write a day of the contract or later"
            raise Reading(f"found {day}, before {last}", wanted, "day_order", day=day, last=last)
    return day


def _signed(text: str, digits: int) -> Decimal:
    """A price agreed for a change: 0 for a gift, below it for money given back."""
    try:
        amount = Decimal(text.strip())
        if not amount.is_finite() or amount != exact(amount, digits) or abs(amount) >= Decimal(10) ** 12:
            raise ValueError
    except (InvalidOperation, ValueError):
        wanted = "write an amount such as 120, 0 or -80, as your prices are shown"
        found = text[:40]
        raise refused(
            argument("price"), f'found "{found}"', wanted, code="not_a_number", found=found
        ) from None
    return exact(amount, digits)

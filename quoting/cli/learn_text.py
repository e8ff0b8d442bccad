"""What finished pieces teach, on the terminal."""

from __future__ import annotations

from typing import TYPE_CHECKING

from quoting.cli.terminal import bold, dim, row, whole_row, wrapped
from quoting.errors import one_line
from quoting.pricing.sentences import plain_money

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from quoting.review.pieces import Calibration
    from quoting.runs.learn import Lessons, Proposal

FEW = 3


def learn_text(found: Lessons) -> str:
    """Standards, old and new, what they rest on, and the patch."""
    count = f"{found.pieces} finished {'piece' if found.pieces == 1 else 'pieces'}"
    blocks = [bold(f"What {count} teach" if found.pieces != 1 else f"What {count} teaches")]
    blocks += list(standard_rows(found.proposals))
    blocks += list(_prices(found))
    blocks += list(calibration_rows(found.calibration))
    if found.pieces < FEW:
        blocks.append(
            wrapped(f"Nothing is proposed before {FEW} pieces are finished: one build proves little.", "")
        )
    if found.patch:
        title = (
            "Put into shop.toml"
            if found.kept is not None
            else "The change to shop.toml (quoting learn --accept puts it in)"
        )
        blocks.append("\n".join([bold(title), found.patch.rstrip("\n")]))
    elif found.pieces >= FEW:
        blocks.append("Nothing to change in shop.toml.")
    if found.kept is not None:
        blocks.append(f"the former file is kept as {found.kept.name}; issued quotes stay as they are")
    blocks += [dim(wrapped(one_line(f"could not be read: {one}"), "")) for one in found.unread]
    return "\n\n".join(blocks)


def standard_rows(proposals: Sequence[Proposal]) -> Iterator[str]:
    """Standards with their proposals, one a row; nothing where there are none."""
    if not proposals:
        return
    rows = [
        bold(
            wrapped("Standards: now -> as the pieces show, ± its standard error, pieces (> is proposed)", "")
        )
    ]
    for one in proposals:
        learned = one.learned
        error = f" ± {one.error_text}" if learned.pieces > 1 else ""
        mark = ">" if learned.proposed else " "
        old = one.old_text or "none of its own"
        rows.append(
            whole_row(
                one_line(f"{mark} {learned.name} ({old})"), f"{one.value_text}{error}  {learned.pieces:>3}"
            )
        )
    yield "\n".join(rows)


def _prices(found: Lessons) -> Iterator[str]:
    if not found.prices:
        return
    rows = [
        bold(
            wrapped(
                "Prices paid: in prices.csv -> paid, ± its standard error, pieces (> write it into prices.csv)",
                "",
            )
        )
    ]
    for one in found.prices:
        mark = ">" if one.proposed else " "
        error = f" ± {plain_money(one.error)}" if one.pieces > 1 else ""
        words = f"{mark} {one.item}, a {one.unit} ({plain_money(one.old)})"
        rows.append(row(one_line(words), f"{plain_money(one.new)}{error}  {one.pieces:>3}"))
    yield "\n".join(rows)


def calibration_rows(found: Calibration) -> Iterator[str]:
    """How often pieces cost what was stated; nothing where none stated it."""
    if found.share is None:
        return
    held = sum(one.held for one in found.bands)
    rows = [bold("Bands: 8 in 10 builds were to cost between")]
    rows.append(row("  pieces that did", f"{held} of {len(found.bands)}"))
    if found.width is not None and len(found.bands) >= FEW:
        said = (
            "wide enough"
            if found.width <= 1
            else f"too narrow: they should be {found.width:.1f} times as wide"
        )
        rows.append(row("  ranges as a whole", said))
    yield "\n".join(rows)

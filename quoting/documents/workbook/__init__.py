"""The workbook of a priced job: its sheets, their cells and looks."""

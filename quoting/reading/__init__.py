"""The door: text in a maker's files becomes frozen records of plain numbers."""

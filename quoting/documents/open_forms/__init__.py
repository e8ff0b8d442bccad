"""Documents in open forms: OASIS UBL 2.1, schema.org, iCalendar."""

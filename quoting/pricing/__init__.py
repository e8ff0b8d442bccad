"""From cost to price: margin, fees, delivery, tax, payments, warnings."""

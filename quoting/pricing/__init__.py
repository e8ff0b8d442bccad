"""From cost to price: margin, fees, delivery, tax, stages, warnings."""

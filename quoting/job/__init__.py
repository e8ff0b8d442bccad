"""Records of what a maker writes of a job and a shop, put together, checked, named and placed."""

"""What happened against the plan: the maker's words become entries, entries fill the lines of the plan."""

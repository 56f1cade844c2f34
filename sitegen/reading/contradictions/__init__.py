"""Find contradictions within a record, and claims that no seller may make."""

"""Whether a text of the record says that somebody can be hurt, or left at the roadside."""

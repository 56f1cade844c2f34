"""Find texts of the record that say that somebody can be hurt, or left at the roadside."""

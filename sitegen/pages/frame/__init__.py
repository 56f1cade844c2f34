"""What stands round every page: its address, head, header and footer, and the theme that draws it."""

"""The parts that all pages share: addresses, head, header and footer, scripts, and the theme that renders them."""

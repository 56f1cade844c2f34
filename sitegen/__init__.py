"""sitegen: honest used-vehicle pages from inspections and photos.

One way through: `reading` turns a store's files into `records`; `condition` judges them; `photos` makes their
pictures; `pages` renders what a visitor sees; `publishing` puts it out, whole; `commands` is how a person asks.
"""

__version__ = "0.1.0"

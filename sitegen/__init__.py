"""sitegen: honest used-vehicle pages from inspections and photos.

`reading` turns a store's files into `records`; `condition` judges them; `photos` makes their pictures; `pages`
renders what a visitor sees; `publishing` publishes the site as a whole; `commands` run these steps.
"""

__version__ = "0.1.0"

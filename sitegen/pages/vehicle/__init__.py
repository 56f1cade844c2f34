"""The page of one vehicle. Each module builds the view of one section; `condition_page` puts them in order."""

"""What is seen of a vehicle elsewhere: the picture of a shared link, and the facts that search engines read."""

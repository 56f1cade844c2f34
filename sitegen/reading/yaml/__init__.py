"""What stands in a YAML file, and at which line and column?"""

"""What do the figures mean? Pure: records in, findings out; limits and today's date are arguments."""

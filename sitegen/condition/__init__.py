"""What do the figures mean? Pure: records in, findings out; limits are arguments, and no clock is read."""

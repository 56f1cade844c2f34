"""Judge what a record's figures mean. Pure: records in, findings out; limits are arguments, and no clock is read."""

"""Judge the tests of batteries and fluids, and the readings of paint and rust."""

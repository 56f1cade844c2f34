"""Does one value agree with the others, and with the files that lie beside it?"""

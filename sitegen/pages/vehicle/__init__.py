"""What does the page of one vehicle say? Each section is a file; the page puts them in order."""

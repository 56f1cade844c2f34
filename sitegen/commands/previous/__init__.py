"""The previous result of a command, and the check whether any file has changed since."""

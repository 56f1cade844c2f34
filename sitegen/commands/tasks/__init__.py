"""The engine's tasks about one vehicle, and the inputs that they read."""

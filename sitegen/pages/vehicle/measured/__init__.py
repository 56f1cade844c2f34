"""Views of measured figures: tires, brakes, batteries, fluids and paint, in words and as rulers."""

"""What is a tire, a defect, a store's settings? Types only: frozen, typed, exact. Imports nothing of ours."""

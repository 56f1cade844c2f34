"""What does the visitor see? Records, findings and pictures become view models, then HTML as bytes."""

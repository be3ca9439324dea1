"""Settings, dose working, active insulin and the rules that every dose must pass."""

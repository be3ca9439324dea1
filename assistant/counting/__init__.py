"""Food facts, portions, policies and label checks: what a plate comes to."""

"""What a range of days comes to: readings, meals and doses; bands, spreads, pairs. Facts only."""

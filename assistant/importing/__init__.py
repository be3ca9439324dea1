"""Open food data as foods: one file for each layout, from text to rows or faults."""

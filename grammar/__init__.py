"""Words to typed values: numbers, portions, statements, labels. Knows no food, gram or dose."""

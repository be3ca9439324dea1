"""One turn of the talk: a pure function of the record, the words and the clock."""

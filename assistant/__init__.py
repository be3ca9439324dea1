"""countaloud: counts what is on the plate, shows its working, suggests or refuses a dose."""

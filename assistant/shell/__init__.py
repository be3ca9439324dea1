"""The command line and the chat: the clock, the folder and the terminal meet here."""

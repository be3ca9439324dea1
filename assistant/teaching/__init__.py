"""Sessions as files: recording, replay, learning, practice, handouts."""

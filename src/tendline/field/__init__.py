"""Out to the phone and back: the round as a phone takes it, and a phone's messages read for ever."""

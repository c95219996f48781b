"""Owns `python -m tendline.cli`, the same as the command `tendline`.

Does not own anything else.
"""

from tendline.cli.main import main

if __name__ == "__main__":
    main()

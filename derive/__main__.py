"""``python -m derive``: the same as the ``derive`` command."""

from derive.command import main

if __name__ == "__main__":
    main()

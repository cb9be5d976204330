"""The way in: ``python3 -m rooflab`` opens the workbooks, ``python3 -m rooflab test`` runs the tests.

This file stays readable for much older Pythons, so that they can say what is wrong.
"""

import sys

if __name__ == "__main__":
    if sys.version_info < (3, 11):  # noqa: UP036
        sys.exit("rooflab: needs Python 3.11 or newer; this is Python %d.%d." % sys.version_info[:2])  # noqa: UP031
    from rooflab.start.command import main

    sys.exit(main(sys.argv[1:]))

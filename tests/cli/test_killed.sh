#!/bin/sh
# The short form of tests/verify/killed.py: twenty runs killed outright.
exec "${PYTHON:-python3}" -B "$(dirname "$0")/../verify/killed.py" 20 run

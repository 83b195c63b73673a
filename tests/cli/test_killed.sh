#!/bin/sh
# Runs tests/verify/killed.py briefly: twenty runs with SIGKILL.
exec "${PYTHON:-python3}" -B "$(dirname "$0")/../verify/killed.py" 20 run

# shellcheck shell=sh
# The job beside the installed service: shows what is on its glass, and does what the host says.
python3 /airladder/tests/board/inside/watch.py /run/i2cbus &
echo ready
# shellcheck source=tests/board/inside/serve.sh
. /airladder/tests/board/inside/serve.sh

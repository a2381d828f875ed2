#!/bin/sh
# @PROGRAM@ with the Node that it was built and tested with.
exec /usr/lib/girthlog/bin/node /usr/lib/girthlog/dist/@PROGRAM@.js "$@"

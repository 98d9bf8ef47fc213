#!/bin/sh
# A student's server: lessons first, then JupyterLab. A failed hand-out (a full disk) must not keep anyone from their work.
umask 077
"$EVENGROUND_NODE" "$EVENGROUND_COURSE/scripts/class/hand-out.mjs" "$HOME/course" || true
mkdir -p "$HOME/course"
exec "$EVENGROUND_SINGLEUSER" "$@"

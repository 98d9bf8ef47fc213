#!/bin/sh
# A student's server: lessons first, then JupyterLab. A failed hand-out (a full disk) must not keep anyone from their work.
umask 077
"$EVENGROUND_NODE" "$EVENGROUND_COURSE/scripts/class/server/hand-out.mjs" "$HOME/course" || true
mkdir -p "$HOME/course"
# Where nbgrader puts an exercise that is fetched: into what the student sees.
cd "$HOME/course" || exit 1
# Sockets to kernels: in a folder that this account alone enters, its name short, since a socket's may have 107 letters.
JUPYTER_RUNTIME_DIR=$(mktemp -d /tmp/eg.XXXXXX) && export JUPYTER_RUNTIME_DIR
exec "$EVENGROUND_COURSE/.venv-class/bin/python" "$EVENGROUND_COURSE/scripts/jupyter/quick_start.py" jupyterhub.singleuser \
  --LabApp.extra_labextensions_path="$EVENGROUND_COURSE/scripts/jupyter/extensions" "$@"

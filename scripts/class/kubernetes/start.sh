#!/bin/sh
# A student's server in its pod: the same as on one machine.
export EVENGROUND_COURSE=/opt/evenground EVENGROUND_NODE=/usr/local/bin/node
export PYTHONPATH=/opt/evenground/scripts/jupyter
exec /opt/evenground/scripts/class/server/student.sh \
  --KernelSpecManager.allowed_kernelspecs=tslab \
  --KernelSpecManager.ensure_native_kernel=False \
  --MappingKernelManager.default_kernel_name=tslab \
  --KernelManager.transport=ipc \
  --ServerApp.terminals_enabled=False \
  "--ServerApp.jpserver_extensions={'quick_kernels': True}" \
  --ServerApp.root_dir=/home/jovyan/course \
  '--ServerApp.extra_static_paths=["/opt/evenground/dist/static"]' "$@"

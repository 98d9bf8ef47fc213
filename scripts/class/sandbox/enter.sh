#!/bin/sh
# Runs a program that a stranger may have written, within namespaces that unshare made: no network, no other processes, and as
# its root a folder that holds only what is named here, read only, and 32 MB to write into, which vanish with it.
#
#   enter.sh ROOT ACCOUNT PATH... -- COMMAND...    ACCOUNT: a number, or - where it is to be nobody of a user namespace
set -eu
root=$1 account=$2
shift 2
mount -t tmpfs -o size=1m,nr_inodes=20k,mode=755,nosuid,nodev tmpfs "$root"
while [ "$1" != -- ]; do
  if [ -d "$1" ]; then mkdir -p "$root$1"; else mkdir -p "$root$(dirname "$1")" && : >"$root$1"; fi
  mount --bind "$1" "$root$1"
  # In a user namespace the flags that a mount has must stay.
  mount -o remount,bind,ro,nosuid,nodev "$root$1" 2>/dev/null || mount -o remount,bind,ro,nosuid,nodev,relatime "$root$1"
  shift
done
shift
mkdir "$root/scratch"
if [ "$account" = - ]; then owner=0; else owner=$account; fi
mount -t tmpfs -o size=32m,nr_inodes=2k,mode=700,nosuid,nodev,uid="$owner",gid="$owner" tmpfs "$root/scratch"
ln -s "$EVENGROUND_MODULES" "$root/scratch/node_modules"
mount -o remount,bind,ro,nosuid,nodev "$root"
if [ "$account" = - ]; then
  exec setpriv --no-new-privs unshare --user --map-user=65534 --map-group=65534 --root="$root" --wd=/scratch "$@"
fi
cd "$root"
exec setpriv --no-new-privs chroot --userspec="$account:$account" --groups= "$root" "$@"

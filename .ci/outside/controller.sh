#!/usr/bin/env bash
# Brings the interpreter of a PC controller into a folder: Debian's package of it, and what
# it needs, unpacked and not installed. Prints nothing where all went well.
#
# usage: controller.sh DIR        then gcode_controller.py DIR PROGRAM...
set -euo pipefail
dir=$1
packages=(linuxcnc-uspace libboost-python1.74.0 libpython3.11 libedit2 libtirpc3)
[[ -x $dir/usr/bin/rs274 ]] && exit 0
mkdir -p "$dir/packages"
cd "$dir/packages"
fetch() { apt-get download -q "${packages[@]}" >"$dir/packages/log" 2>&1; }
if ! fetch && ! { apt-get update -q >/dev/null 2>&1; fetch; }; then
  cat "$dir/packages/log" >&2
  echo "controller.sh: Debian's packages are not reachable, or no longer have ${packages[*]}" >&2
  exit 1
fi
for package in ./*.deb; do dpkg-deb -x "$package" "$dir"; done
rm -r "$dir/packages"

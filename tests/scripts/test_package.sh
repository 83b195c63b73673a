#!/bin/sh
# SPDX-FileCopyrightText: 2026 the wintergrub authors
# SPDX-License-Identifier: GPL-3.0-or-later
#
# Checks what a distribution requires of the build: no search path for libraries that the loader finds by default, no path
# of the build machine in the program, the model's flags in a build without a type, a clear message for a missing library,
# and a source tree that another project can include.
set -eu
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT
fault() {
  echo "test_package: $1"
  exit 1
}
# configure NAME OPTIONS...: a build folder of that name, or another time with other options; NAME.log has the output of cmake.
configure() {
  name=$1
  shift
  cmake -G Ninja -B "$work/$name" "$@" >"$work/$name.log" 2>&1
}

# ---- the program ----

hdf5=$(readlink -f "$(pkg-config --variable=libdir hdf5-serial)/libhdf5.so" || true)
case $hdf5 in
/usr/lib/*/libhdf5*)
  if [ "$(dirname "$hdf5")" = "/usr/lib/$(cc -print-multiarch)" ]; then
    if readelf -d "$WINTERGRUB" | grep -E 'R(UN)?PATH'; then fault "a search path, although HDF5 is in the system's folder"; fi
  fi
  ;;
esac
# gcov needs the paths, and sanitizers name them
if grep -q 'WINTERGRUB_COVERAGE:BOOL=OFF' "$BUILD/CMakeCache.txt" &&
  grep -q 'WINTERGRUB_SANITIZE:STRING=$' "$BUILD/CMakeCache.txt"; then
  if grep -aoE "$SRC/[a-z./_]*" "$WINTERGRUB" | head -n 3 | grep .; then fault "the program names folders of this machine"; fi
fi

# ---- the build ----

configure none -S "$SRC" -DCMAKE_BUILD_TYPE=None -DBUILD_TESTING=OFF || fault "no build without a type: $(cat "$work/none.log")"
grep '"command".*/src/colony/life\.c"' "$work/none/compile_commands.json" | grep -q -e ' -O3 ' || fault "the model without -O3"
configure none -S "$SRC" -DCMAKE_BUILD_TYPE=Debug -DBUILD_TESTING=OFF
if grep -q -e ' -O3 ' "$work/none/compile_commands.json"; then fault "-O3 in a Debug build"; fi

cat >"$work/pkg-config" <<'WRAPPER'
#!/bin/sh
case " $* " in *" criterion "*) exit 1 ;; esac
exec /usr/bin/pkg-config "$@"
WRAPPER
chmod +x "$work/pkg-config"
if configure none -S "$SRC" -DPKG_CONFIG_EXECUTABLE="$work/pkg-config" -DBUILD_TESTING=ON; then
  fault "tests were configured without Criterion"
fi
grep -q 'scripts/setup --test' "$work/none.log" || fault "no way out is named: $(cat "$work/none.log")"
grep -q 'BUILD_TESTING=OFF' "$work/none.log" || fault "no way round is named"
if grep -q 'FindPkgConfig' "$work/none.log"; then fault "a trace of pkg-config: $(cat "$work/none.log")"; fi

mkdir "$work/outer"
cat >"$work/outer/CMakeLists.txt" <<OUTER
cmake_minimum_required(VERSION 3.20)
project(outer LANGUAGES C)
add_subdirectory($SRC inner)
OUTER
configure whole -S "$work/outer" -DBUILD_TESTING=OFF || fault "no part of another project: $(cat "$work/whole.log")"
echo "test_package: passed"

# SPDX-FileCopyrightText: 2026 the wintergrub authors
# SPDX-License-Identifier: GPL-3.0-or-later

# What scripts/build-workshop and scripts/build-page share: packages, sources of libraries, the compiler's flags. Source it
# in the root of the tree, with the name of the calling script in $script.
#
# Compiler and C library are Debian's packages. Debian has no libraries for the web, so their files are compiled from its
# source packages. Only that download needs a list of source packages, which is in a folder of our own (build-web): the
# machine's lists stay unchanged.
root=$PWD
sources=$root/build-web

# install_packages NAME ...: those that are missing.
install_packages() {
  missing=''
  for package; do
    state=$(dpkg-query --show --showformat='${db:Status-Status}' "$package" 2>/dev/null) || state=absent
    [ "$state" = installed ] || missing="$missing $package"
  done
  [ -n "$missing" ] || return 0
  as_root=''
  [ "$(id -u)" -eq 0 ] || as_root=sudo
  $as_root apt-get -qq update
  # shellcheck disable=SC2086 # a list of words
  $as_root env DEBIAN_FRONTEND=noninteractive apt-get -qq install --yes --no-install-recommends $missing >/dev/null
}

# fetch_source NAME: unpacks a source package into build-web/NAME.part; its caller renames the folder once it is complete.
fetch_source() {
  mkdir -p "$sources/apt/lists/partial" "$sources/apt/cache/archives/partial"
  echo 'deb-src [signed-by=/usr/share/keyrings/debian-archive-keyring.gpg] http://deb.debian.org/debian bookworm main' \
    >"$sources/apt/sources.list"
  own="-qq -o Dir::Etc::SourceList=$sources/apt/sources.list -o Dir::Etc::SourceParts=/dev/null
    -o Dir::State::Lists=$sources/apt/lists -o Dir::Cache=$sources/apt/cache -o Acquire::Retries=3 -o APT::Sandbox::User="
  # shellcheck disable=SC2086 # a list of words
  (cd "$sources/apt" && apt-get $own update && apt-get $own source --download-only "$1")
  rm -rf "$sources/$1.part"
  mkdir -p "$sources/$1.part"
  tar xf "$sources/apt/$1"_*.orig.tar.* --strip-components=1 -C "$sources/$1.part"
}

# get_gsl: with the headers in one folder, and what its configure script would determine for this target.
get_gsl() {
  [ ! -e "$sources/gsl/config.h" ] || return 0
  fetch_source gsl
  mkdir "$sources/gsl.part/include"
  ln -s . "$sources/gsl.part/include/gsl"
  cp "$sources"/gsl.part/gsl_*.h "$sources"/gsl.part/*/gsl_*.h "$sources/gsl.part/include/"
  cat >"$sources/gsl.part/config.h" <<'CONFIG'
#define HAVE_DECL_EXPM1 1
#define HAVE_DECL_HYPOT 1
#define HAVE_DECL_LOG1P 1
#define HAVE_DECL_ISFINITE 1
#define HAVE_DECL_ISINF 1
#define HAVE_DECL_ISNAN 1
#define HAVE_DECL_LDEXP 1
#define HAVE_DECL_FREXP 1
#define HAVE_IEEE_COMPARISONS 1
#define HAVE_IEEE_DENORMALS 1
#define HAVE_PRINTF_LONGDOUBLE 1
#define GSL_COERCE_DBL(x) (x)
#define RETURN_IF_NULL(x) if (!x) { return; }
CONFIG
  mv "$sources/gsl.part" "$sources/gsl"
}

# get_fyaml: the reader of YAML, without terminals and mapped files, which a page has not.
get_fyaml() {
  [ ! -e "$sources/libfyaml/config.h" ] || return 0
  fetch_source libfyaml
  echo '#define VERSION "0.7.12"' >"$sources/libfyaml.part/config.h"
  mv "$sources/libfyaml.part" "$sources/libfyaml"
}

# get_jansson: the reader and writer of JSON.
get_jansson() {
  [ ! -e "$sources/jansson/jansson_private_config.h" ] || return 0
  fetch_source jansson
  sed -e 's/@json_inline@/inline/; s/@json_have_long_long@/1/; s/@json_have_localeconv@/0/' \
    -e 's/@json_have_atomic_builtins@/0/; s/@json_have_sync_builtins@/0/' \
    "$sources/jansson.part/src/jansson_config.h.in" >"$sources/jansson.part/src/jansson_config.h"
  printf '#define HAVE_STDINT_H 1\n#define HAVE_STRTOLL 1\n#define INITIAL_HASHTABLE_ORDER 3\n' \
    >"$sources/jansson.part/jansson_private_config.h"
  mv "$sources/jansson.part" "$sources/jansson"
}

# The same arithmetic as in every build (-ffp-contract=off): the page must simulate the same colony as the program. With
# -nostdlibinc a header that the web's C library lacks is missing, and not taken from the machine's own.
web_flags="--target=wasm32-wasi -nostdlibinc -isystem /usr/include/wasm32-wasi -ffp-contract=off -fno-math-errno
  -fno-trapping-math -ffunction-sections -fdata-sections -ffile-prefix-map=$sources/= -isystem $sources/gsl/include"
# The stack comes first in memory and ends a program that needs more; by default it would grow into the data in silence.
web_link="--target=wasm32-wasi -mexec-model=reactor -Wl,--gc-sections -Wl,--stack-first -Wl,-z,stack-size=1048576"

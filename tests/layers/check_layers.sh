#!/bin/sh
# SPDX-FileCopyrightText: 2026 the wintergrub authors
# SPDX-License-Identifier: GPL-3.0-or-later
#
# Checks the layer rule: check_layers.sh ROOT lists each include that breaks it and fails if there are any.
#
#   base <- species, climate <- housing <- plan <- colony <- forecast <- analysis <- sizing, inference, search <- text <- records <- schema
#        <- variants <- scenario <- outline <- data <- drawing <- figures <- json <- report <- answers <- size <- cheapest <- pages <- cli <- commands
#   data <- storage <- results <- library <- cli     colony <- workshop <- commands     scenario <- asking <- cli
#   pages, asking, workshop <- browser
#
# Species and climate must not include each other, nor sizing, inference and search. The model layers, workshop included, use no input or output, no threads
# and no clock: of the C library only the headers listed below, and GSL. Only the files listed below use other libraries.
# src/browser/native_only.txt lists what a web page leaves out; no other file may include a header of it, or one that a
# browser has no library for.
# A header is beside its source and is included by its path from src/. include/ has the one public header, which includes
# no header of ours.
set -eu
cd "$1"
find src include -name '*.[ch]' | LC_ALL=C sort >"${TMPDIR:-/tmp}/layers.$$"
trap 'rm -f "${TMPDIR:-/tmp}/layers.$$"' EXIT

awk '
function fault(text) { print where ": " text; faults++ }
function exists(path) { return path in known }
function layer_of(path, parts, n) {
    n = split(path, parts, "/")
    return n >= 3 && parts[1] == "src" ? parts[2] : path ~ /^include\// ? "public" : ""
}
# Returns the file of the project for a name in an include, "" if it is not ours.
function resolve(name) {
    if (exists("src/" name)) return "src/" name
    if (exists("include/" name)) return "include/" name
    return ""
}
# Whether a path below src/ is left out of a web page.
function is_native(path, i) {
    for (i = 1; i <= n_native; i++)
        if (path == native[i] || (native[i] ~ /\/$/ && index(path, native[i]) == 1)) return 1
    return 0
}
function outside(name, library) {
    for (library in pattern)
        if (name ~ pattern[library] && index(" " home[library] " ", " " FILENAME " ") == 0)
            fault(library " belongs in " home[library])
}
BEGIN {
    may["base"] = "base"
    may["species"] = may["base"] " species"
    may["climate"] = may["base"] " climate"
    may["housing"] = may["climate"] " housing"
    may["plan"] = may["housing"] " species plan"
    may["colony"] = may["plan"] " colony"
    may["forecast"] = may["colony"] " forecast"
    may["analysis"] = may["forecast"] " analysis"
    may["sizing"] = may["analysis"] " sizing"
    may["inference"] = may["analysis"] " inference"
    may["search"] = may["analysis"] " search"
    may["text"] = may["sizing"] " inference search text"
    may["records"] = may["text"] " records"
    may["schema"] = may["records"] " schema"
    may["variants"] = may["schema"] " variants"
    may["scenario"] = may["variants"] " scenario"
    may["asking"] = may["scenario"] " asking"
    may["outline"] = may["scenario"] " outline"
    may["data"] = may["outline"] " data"
    may["storage"] = may["data"] " storage"
    may["results"] = may["storage"] " results"
    may["drawing"] = may["data"] " drawing"
    may["figures"] = may["drawing"] " figures"
    may["json"] = may["figures"] " json"
    may["report"] = may["json"] " report"
    may["library"] = may["results"] " public library"
    may["workshop"] = may["colony"] " workshop"
    may["answers"] = may["report"] " answers"
    may["size"] = may["answers"] " size"
    may["cheapest"] = may["size"] " cheapest"
    may["pages"] = may["cheapest"] " pages"
    may["browser"] = may["pages"] " asking workshop browser"
    may["cli"] = may["pages"] " asking storage results public library cli"
    may["commands"] = may["cli"] " workshop browser commands"
    may["public"] = ""
    model = "^(species|climate|housing|plan|colony|workshop)$"
    plain = "^((math|string|stdlib|stdint|stdbool|stddef|float|limits)\\.h|gsl/gsl_[a-z_0-9]+\\.h)$"
    prints = "(^|[^A-Za-z0-9_])(v?f?printf|puts|putchar|fputs|perror|exit|_exit|_Exit|quick_exit|abort|assert|system|getenv|s?rand|rand_r|drand48|time|clock)[ ]*\\("
    pattern["HDF5"] = "^(hdf5|hdf5_hl|H5[A-Za-z]*)\\.h$|(^|/)hdf5_handle\\.h$"
    home["HDF5"] = "src/storage/hdf5_file.c src/storage/hdf5_write.c src/storage/hdf5_read.c src/storage/hdf5_compare.c src/storage/hdf5_verify.c src/storage/hdf5_handle.h"
    pattern["libfyaml"] = "^libfyaml\\.h$"; home["libfyaml"] = "src/records/yaml.c"
    pattern["jansson"] = "^jansson\\.h$"; home["jansson"] = "src/json/json.c src/browser/request.c"
    pattern["nettle"] = "^nettle/"; home["nettle"] = "src/storage/sha256_file.c"
    pattern["zlib"] = "^z(lib|conf)\\.h$"; home["zlib"] = "src/storage/pack.c"
    pattern["cairo"] = "^(cairo/)?cairo[a-z-]*\\.h$"; home["cairo"] = "src/drawing/pen_cairo.c"
    pattern["MPI"] = "^mpi\\.h$"; home["MPI"] = "src/forecast/ranks_mpi.c"

    unknown_to_browsers = "^(pthread|signal|sched|spawn|termios|pwd|grp|glob|mpi|sys/(wait|mman|socket|resource|ioctl))\\.h$"
    while ((getline path < "src/browser/native_only.txt") > 0)
        if (path !~ /^(#.*)?$/) native[++n_native] = "src/" path
    if (n_native == 0) { where = "src/browser/native_only.txt"; fault("it lists nothing") }
    while ((getline path < ARGV[1]) > 0) {
        known[path]
        files[++n_files] = path
    }
    ARGC = 1
    for (i = 1; i <= n_files; i++) ARGV[ARGC++] = files[i]
    if (n_files == 0) { where = "src"; fault("no source was found"); exit }
}
FNR == 1 {
    layer = layer_of(FILENAME)
    in_comment = 0
    where = FILENAME ":1"
    if (FILENAME ~ /^src\// && !(layer in may)) fault("a source must be in the folder of a layer")
    allowed = layer in may ? " " may[layer] " " : ""
    checked++
}
{ where = FILENAME ":" FNR }
/^[ \t]*#[ \t]*include/ {
    name = $0
    quoted = name ~ /include[ \t]*"/
    sub(/^[ \t]*#[ \t]*include[ \t]*[<"]/, "", name)
    sub(/[>"].*$/, "", name)
    if (name ~ /^wintergrub\/(version|source_digest)\.h$/) next # written by the build, for all
    if (name == "species/plausible_table.h" && FILENAME == "src/species/plausible.c") next
    if (name ~ /\.\.\//) {
        fault("write the path from src/: " name)
        next
    }
    outside(name)
    target = resolve(name)
    if (!is_native(FILENAME) && FILENAME ~ /^src\// && (is_native(target) || name ~ unknown_to_browsers))
        fault("a web page has no " name)
    if (target != "") {
        if (index(allowed, " " layer_of(target) " ") == 0)
            fault("layer " layer " may not include " name " of layer " layer_of(target))
        if (target ~ /\.c$/) fault("a .c file is included: " name)
        next
    }
    if (quoted || name ~ /^wintergrub\//) fault("there is no header " name)
    if (layer ~ model && name !~ plain) fault("layer " layer " may not include " name)
    next
}
# Calls, without comments and strings: no layer below the command line may print or exit.
{
    line = $0
    gsub(/"([^"\\]|\\.)*"/, "\"\"", line)
    if (in_comment) {
        if (!sub(/^.*\*\//, "", line)) next
        in_comment = 0
    }
    gsub(/\/\*([^*]|\*+[^*\/])*\*+\//, "", line)
    sub(/\/\/.*$/, "", line)
    if (sub(/\/\*.*$/, "", line)) in_comment = 1
    if (layer ~ model && match(line, prints)) fault("layer " layer " may not call " substr(line, RSTART, RLENGTH) ")")
}
END {
    if (faults) exit 1
    print "layers: " checked " files keep to the table"
}' "${TMPDIR:-/tmp}/layers.$$"

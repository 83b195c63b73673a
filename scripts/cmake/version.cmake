# SPDX-FileCopyrightText: 2026 the wintergrub authors
# SPDX-License-Identifier: GPL-3.0-or-later

# Writes the version headers: cmake -D SOURCE=dir -D VERSION=0.1.0 -D OUTPUT=folder -P version.cmake
#
# version.h: version and git description; source_digest.h: a digest of the sources, in a separate header because it
# changes with each source.
#
# The git description is empty outside a git checkout, without git, or before the first commit; the build still works.
# Writes a file only if its text changes, to avoid needless rebuilds.
set(description "")
find_program(GIT git)
if(GIT AND EXISTS ${SOURCE}/.git)
  execute_process(COMMAND ${GIT} -C ${SOURCE} describe --always --dirty --tags --match "v[0-9]*"
    OUTPUT_VARIABLE described RESULT_VARIABLE failed OUTPUT_STRIP_TRAILING_WHITESPACE ERROR_QUIET)
  if(NOT failed)
    set(description "${described}")
  endif()
endif()
file(CONFIGURE OUTPUT ${OUTPUT}/version.h @ONLY NEWLINE_STYLE UNIX CONTENT [[
/** Which wintergrub this is. Written by the build. */
#ifndef WINTERGRUB_VERSION_H
#define WINTERGRUB_VERSION_H

/** Version of the program, "major.minor.patch". */
#define WG_VERSION "@VERSION@"
/** What `git describe --always --dirty` says of the source it was built from, "" when that is not known. */
#define WG_GIT_DESCRIPTION "@description@"

#endif
]])

# Names and contents, sorted by name. Includes the lists of flags: they can change the last digit.
file(GLOB_RECURSE sources RELATIVE ${SOURCE} ${SOURCE}/src/*.c ${SOURCE}/src/*.h ${SOURCE}/src/*.tsv ${SOURCE}/include/*.h)
list(APPEND sources CMakeLists.txt)
list(SORT sources)
set(all "")
foreach(source IN LISTS sources)
  file(SHA256 ${SOURCE}/${source} one)
  string(APPEND all "${one} ${source}\n")
endforeach()
string(SHA256 digest "${all}")
file(CONFIGURE OUTPUT ${OUTPUT}/source_digest.h @ONLY NEWLINE_STYLE UNIX CONTENT [[
/** From which sources. Written by the build. */
#ifndef WINTERGRUB_SOURCE_DIGEST_H
#define WINTERGRUB_SOURCE_DIGEST_H

/** SHA-256 over the names and contents of the sources, in hexadecimal digits. */
#define WG_SOURCE_DIGEST "@digest@"

#endif
]])

# Writes the version header: cmake -D SOURCE=dir -D VERSION=0.1.0 -D OUTPUT=version.h -P version.cmake
#
# The git description is empty outside a git checkout, without git, or before the first commit: a build never fails
# for want of it. The file is touched only when its text changes, so nothing is rebuilt for nothing.
set(description "")
find_program(GIT git)
if(GIT AND EXISTS ${SOURCE}/.git)
  execute_process(COMMAND ${GIT} -C ${SOURCE} describe --always --dirty --tags --match "v[0-9]*"
    OUTPUT_VARIABLE described RESULT_VARIABLE failed OUTPUT_STRIP_TRAILING_WHITESPACE ERROR_QUIET)
  if(NOT failed)
    set(description "${described}")
  endif()
endif()
file(CONFIGURE OUTPUT ${OUTPUT} @ONLY NEWLINE_STYLE UNIX CONTENT [[
/* layer: base */
/** Which wintergrub this is. Written by the build. */
#ifndef WINTERGRUB_VERSION_H
#define WINTERGRUB_VERSION_H

/** Version of the program, "major.minor.patch". */
#define WG_VERSION "@VERSION@"
/** What `git describe --always --dirty` says of the source it was built from, "" when that is not known. */
#define WG_GIT_DESCRIPTION "@description@"

#endif
]])

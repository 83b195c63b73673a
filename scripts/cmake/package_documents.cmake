# SPDX-FileCopyrightText: 2026 the wintergrub authors
# SPDX-License-Identifier: GPL-3.0-or-later

# Adds to each staged Debian package what the policy asks for: copyright, changelog, compressed manual pages. CPack runs it.
if(NOT CPACK_WINTERGRUB_PREFIX STREQUAL "/usr") # CMake would put libraries beside Debian's folder for them
  message(FATAL_ERROR "Debian packages need a build with -DCMAKE_INSTALL_PREFIX=/usr")
endif()
if(DEFINED ENV{SOURCE_DATE_EPOCH})
  string(TIMESTAMP today "%a, %d %b %Y %H:%M:%S +0000" UTC) # of that time
else()
  string(TIMESTAMP today "%a, %d %b %Y 00:00:00 +0000" UTC)
endif()
foreach(pair IN ITEMS runtime:wintergrub library:libwintergrub0 dev:libwintergrub-dev
    python:python3-wintergrub)
  string(REPLACE ":" ";" pair ${pair})
  list(GET pair 0 component)
  list(GET pair 1 package)
  set(root ${CPACK_TEMPORARY_DIRECTORY}/${component}/usr/share)
  set(documents ${root}/doc/${package})
  set(comment "")
  if(component STREQUAL runtime)
    set(comment
"Comment:
 The web pages in the program contain parts of other libraries, whose notices
 are in /usr/share/doc/wintergrub/notices.txt. The weather record among the
 examples is a work of the United States Government, without copyright.
")
  endif()
  file(MAKE_DIRECTORY ${documents})
  file(WRITE ${documents}/copyright
"Format: https://www.debian.org/doc/packaging-manuals/copyright-format/1.0/
Upstream-Name: wintergrub
${comment}
Files: *
Copyright: 2026 the wintergrub authors
License: GPL-3+

License: GPL-3+
 This program is free software: you can redistribute it and/or modify it under
 the terms of the GNU General Public License as published by the Free Software
 Foundation, either version 3 of the License, or (at your option) any later
 version.
 .
 This program is distributed in the hope that it will be useful, but WITHOUT ANY
 WARRANTY; without even the implied warranty of MERCHANTABILITY or FITNESS FOR A
 PARTICULAR PURPOSE. See the GNU General Public License for more details.
 .
 The complete text is in /usr/share/common-licenses/GPL-3.
")
  file(WRITE ${documents}/changelog
"wintergrub (${CPACK_PACKAGE_VERSION}) unstable; urgency=medium

  * See the release notes of the source.

 -- ${CPACK_PACKAGE_CONTACT}  ${today}
")
  file(REMOVE ${documents}/LICENSE) # Debian has one copy for all packages
  file(GLOB_RECURSE texts ${root}/man/*.[157])
  execute_process(COMMAND gzip -9nf ${documents}/changelog ${texts} COMMAND_ERROR_IS_FATAL ANY)
endforeach()

# where Debian's zsh looks for completions of packages; it finds those of `cmake --install` below /usr/local
set(zsh ${CPACK_TEMPORARY_DIRECTORY}/runtime/usr/share/zsh)
if(EXISTS ${zsh}/site-functions)
  file(RENAME ${zsh}/site-functions ${zsh}/vendor-completions)
endif()

# CPack writes a postinst that calls ldconfig beside the trigger that replaced it; both do the same.
set(overrides ${CPACK_TEMPORARY_DIRECTORY}/library/usr/share/lintian/overrides)
file(WRITE ${overrides}/libwintergrub0 "libwintergrub0: maintscript-calls-ldconfig *\n")

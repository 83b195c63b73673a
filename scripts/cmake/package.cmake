# SPDX-FileCopyrightText: 2026 the wintergrub authors
# SPDX-License-Identifier: GPL-3.0-or-later

# Describes the Debian packages that `cpack -G DEB` makes in the build folder: wintergrub (the program with manual, examples
# and completions), libwintergrub0, libwintergrub-dev and python3-wintergrub, one for each component.
set(CPACK_GENERATOR DEB)
set(CPACK_PACKAGE_NAME wintergrub)
set(CPACK_PACKAGE_VENDOR "the wintergrub authors")
set(WINTERGRUB_MAINTAINER "the wintergrub authors <wintergrub@wintergrub.example>" CACHE STRING
  "Name and address of who makes the Debian packages")
set(CPACK_PACKAGE_CONTACT "${WINTERGRUB_MAINTAINER}")
set(CPACK_PACKAGING_INSTALL_PREFIX /usr)
set(CPACK_WINTERGRUB_PREFIX ${CMAKE_INSTALL_PREFIX}) # for the script below
set(CPACK_STRIP_FILES ON)
set(CPACK_DEB_COMPONENT_INSTALL ON)
set(CPACK_COMPONENTS_ALL runtime library dev python)
set(CPACK_COMPONENTS_GROUPING ONE_PER_GROUP)
set(CPACK_INSTALL_DEFAULT_DIRECTORY_PERMISSIONS
  OWNER_READ OWNER_WRITE OWNER_EXECUTE GROUP_READ GROUP_EXECUTE WORLD_READ WORLD_EXECUTE)
set(CPACK_DEBIAN_FILE_NAME DEB-DEFAULT)
set(CPACK_DEBIAN_PACKAGE_SHLIBDEPS ON)
set(CPACK_DEBIAN_PACKAGE_CONTROL_STRICT_PERMISSION ON)
# the papers that the policy asks for
set(CPACK_PRE_BUILD_SCRIPTS ${CMAKE_CURRENT_LIST_DIR}/package_documents.cmake)

set(CPACK_PACKAGE_DESCRIPTION_SUMMARY "odds, dates and pounds for a black soldier fly colony")
set(forecast "Forecasts a small colony of black soldier flies through all seasons from a
plan in YAML: whether it lives, when larvae crawl off and flies emerge, how
much is harvested and what the heat costs, over many possible years.")
set(CPACK_DEBIAN_RUNTIME_PACKAGE_NAME wintergrub)
set(CPACK_DEBIAN_RUNTIME_PACKAGE_SECTION science)
set(CPACK_DEBIAN_RUNTIME_PACKAGE_DEPENDS fonts-dejavu-core)
set(CPACK_COMPONENT_RUNTIME_DESCRIPTION "${forecast}")
set(CPACK_DEBIAN_LIBRARY_PACKAGE_NAME libwintergrub0)
set(CPACK_DEBIAN_LIBRARY_PACKAGE_SECTION libs)
set(CPACK_DEBIAN_LIBRARY_PACKAGE_CONTROL_EXTRA ${PROJECT_BINARY_DIR}/package/shlibs ${PROJECT_BINARY_DIR}/package/triggers)
file(WRITE ${PROJECT_BINARY_DIR}/package/shlibs "libwintergrub 0 libwintergrub0 (>= ${PROJECT_VERSION})\n")
file(WRITE ${PROJECT_BINARY_DIR}/package/triggers "activate-noawait ldconfig\n")
set(CPACK_COMPONENT_LIBRARY_DESCRIPTION "${forecast}\n\nThis package has the shared library.")
set(CPACK_DEBIAN_DEV_PACKAGE_NAME libwintergrub-dev)
set(CPACK_DEBIAN_DEV_PACKAGE_SECTION libdevel)
set(CPACK_DEBIAN_DEV_PACKAGE_DEPENDS "libwintergrub0 (= ${PROJECT_VERSION})")
set(CPACK_COMPONENT_DEV_DESCRIPTION "${forecast}\n\nThis package has the header, the static library and the files with which
pkg-config and CMake find them.")
set(CPACK_DEBIAN_PYTHON_PACKAGE_NAME python3-wintergrub)
set(CPACK_DEBIAN_PYTHON_PACKAGE_SECTION python)
set(CPACK_DEBIAN_PYTHON_PACKAGE_ARCHITECTURE all)
set(CPACK_DEBIAN_PYTHON_PACKAGE_SHLIBDEPS OFF)
set(CPACK_DEBIAN_PYTHON_PACKAGE_DEPENDS
  "libwintergrub0 (>= ${PROJECT_VERSION}), python3:any, python3-cffi, python3-numpy")
set(CPACK_DEBIAN_PYTHON_PACKAGE_SUGGESTS "python3-xarray, python3-h5netcdf, python3-matplotlib")
set(CPACK_DEBIAN_PYTHON_PACKAGE_CONTROL_EXTRA ${PROJECT_BINARY_DIR}/package/postinst ${PROJECT_BINARY_DIR}/package/prerm)
file(WRITE ${PROJECT_BINARY_DIR}/package/postinst
  "#!/bin/sh\nset -e\nif command -v py3compile >/dev/null; then py3compile -p python3-wintergrub; fi\n")
file(WRITE ${PROJECT_BINARY_DIR}/package/prerm
  "#!/bin/sh\nset -e\nif command -v py3clean >/dev/null; then py3clean -p python3-wintergrub; fi\n")
file(CHMOD ${PROJECT_BINARY_DIR}/package/postinst ${PROJECT_BINARY_DIR}/package/prerm PERMISSIONS
  OWNER_READ OWNER_WRITE OWNER_EXECUTE GROUP_READ GROUP_EXECUTE WORLD_READ WORLD_EXECUTE)
set(CPACK_COMPONENT_PYTHON_DESCRIPTION "${forecast}\n\nThis package has the module for Python 3: it runs and compares plans, with
results as arrays of numpy, datasets of xarray and plots of matplotlib.")
include(CPack)

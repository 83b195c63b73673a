# SPDX-FileCopyrightText: 2026 the wintergrub authors
# SPDX-License-Identifier: GPL-3.0-or-later

# Writes the style sheets of reports as C arrays: cmake -D STYLES=FOLDER -D OUTPUT=report_style.c -P embed_style.cmake
set(arrays "")
foreach(name IN ITEMS report_page report)
  file(READ ${STYLES}/${name}.css digits HEX)
  string(REGEX REPLACE "([0-9a-f][0-9a-f])" "0x\\1," bytes "${digits}")
  string(REGEX REPLACE "(0x..,0x..,0x..,0x..,0x..,0x..,0x..,0x..,0x..,0x..,0x..,0x..,0x..,0x..,0x..,0x..,)" "\\1\n" bytes
    "${bytes}")
  string(APPEND arrays "const unsigned char wg_${name}_style[] = {\n${bytes}};\n"
    "const size_t wg_${name}_style_size = sizeof wg_${name}_style;\n")
endforeach()
file(WRITE ${OUTPUT} "#include \"figures/report_style.h\"\n\n${arrays}")

# SPDX-FileCopyrightText: 2026 the wintergrub authors
# SPDX-License-Identifier: GPL-3.0-or-later

# Writes a file as a C array: cmake -D PAGE=FILE -D HEADER=workshop/page.h -D NAME=wg_workshop_page -D OUTPUT=FILE.c -P embed.cmake
file(READ ${PAGE} digits HEX)
string(REGEX REPLACE "([0-9a-f][0-9a-f])" "0x\\1," bytes "${digits}")
string(REGEX REPLACE "(0x..,0x..,0x..,0x..,0x..,0x..,0x..,0x..,0x..,0x..,0x..,0x..,0x..,0x..,0x..,0x..,)" "\\1\n" bytes
  "${bytes}")
file(WRITE ${OUTPUT} "#include \"${HEADER}\"\n\nconst unsigned char ${NAME}[] = {\n${bytes}};\n"
  "const size_t ${NAME}_size = sizeof ${NAME};\n")

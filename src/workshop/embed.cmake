# Writes a file as a C array: cmake -D PAGE=workshop.html -D OUTPUT=workshop_page.c -P embed.cmake
file(READ ${PAGE} digits HEX)
string(REGEX REPLACE "([0-9a-f][0-9a-f])" "0x\\1," bytes "${digits}")
string(REGEX REPLACE "(0x..,0x..,0x..,0x..,0x..,0x..,0x..,0x..,0x..,0x..,0x..,0x..,0x..,0x..,0x..,0x..,)" "\\1\n" bytes
  "${bytes}")
file(WRITE ${OUTPUT} "#include \"workshop/page.h\"\n\nconst unsigned char wg_workshop_page[] = {\n${bytes}};\n"
  "const size_t wg_workshop_page_size = sizeof wg_workshop_page;\n")

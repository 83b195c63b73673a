/**
 * The workshop's web page as it stands in src/workshop/workshop.html, put into the program by the build (embed.cmake).
 */
#ifndef WG_WORKSHOP_PAGE_H
#define WG_WORKSHOP_PAGE_H

#include <stddef.h>

/** UTF-8, wg_workshop_page_size bytes; not ended by a NUL. */
extern const unsigned char wg_workshop_page[];
extern const size_t wg_workshop_page_size;

#endif

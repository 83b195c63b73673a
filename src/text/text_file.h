/**
 * A whole text file in memory.
 */
#ifndef WG_TEXT_TEXT_FILE_H
#define WG_TEXT_TEXT_FILE_H

#include "base/error.h"

#include <stddef.h>

/**
 * Reads at most `most` bytes; a larger file is WG_ERR_INPUT, one that cannot be
 * read WG_ERR_FILE with the system's reason, both with `path` in err->where.
 * *text is malloc'ed, with a NUL behind its `size` bytes; NULL on failure.
 */
int wg_text_file_read(const char *path, size_t most, char **text, size_t *size, struct wg_error *err);

#endif

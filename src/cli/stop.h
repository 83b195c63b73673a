/**
 * Ctrl-C and its like.
 */
#ifndef WG_CLI_STOP_H
#define WG_CLI_STOP_H

#include <stdatomic.h>

/**
 * From here on SIGINT, SIGTERM and SIGHUP set a flag (SIGHUP unless it is ignored, as under nohup), and a closed
 * pipe or a full disk quota shows as a failed write instead of ending the program.
 */
void wg_stop_install(void);
/** The signal that came, 0 while none did. */
const atomic_int *wg_stop_flag(void);
/** The exit status of a program that a signal ended: 128 and its number. */
int wg_stop_status(void);

/** How to leave at once. The texts, borrowed, may be NULL. */
struct wg_exit_cleanup {
    const char *line;          /* for standard error, with its end of line */
    const char *file, *folder; /* removed, in this order */
};
/**
 * While a file is read or compared, which may take minutes and leaves nothing behind, a signal ends the program where it
 * is; one that has come already does so now. NULL: it sets the flag again. *farewell must last until then.
 */
void wg_stop_immediately(const struct wg_exit_cleanup *farewell);

#endif

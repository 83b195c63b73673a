/* layer: cli, private */
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
void wg_stop_listen(void);
/** The signal that came, 0 while none did. */
const atomic_int *wg_stop_flag(void);
/** The exit status of a program that a signal ended: 128 and its number. */
int wg_stop_status(void);

#endif

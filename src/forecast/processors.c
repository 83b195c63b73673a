/*
 * How many threads are worth starting?
 *
 * As many as there are processors that this process may use: on a machine that is shared out (taskset, a job of a
 * cluster) those are fewer than it has. Linux tells; elsewhere all that are there are taken.
 */
#ifdef __linux__
#define _GNU_SOURCE /* sched_getaffinity() is Linux's own */
#include <sched.h>
#endif

#include "forecast/thread_pool.h"

#include <unistd.h>

int wg_processors(void) {
    long n = 0;
#ifdef __linux__
    cpu_set_t allowed;
    if (sched_getaffinity(0, sizeof allowed, &allowed) == 0) /* not where there are more than 1024: then all */
        n = CPU_COUNT(&allowed);
#endif
    if (n < 1)
        n = sysconf(_SC_NPROCESSORS_ONLN);
    return n < 1 ? 1 : (int)n;
}

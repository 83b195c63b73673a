/*
 * Counts the processors that this process may use.
 *
 * On a shared machine (taskset, a cluster job) those are fewer than the machine has. Linux reports them; elsewhere the
 * count is of all processors online.
 */
#ifdef __linux__
#define _GNU_SOURCE /* sched_getaffinity() is specific to Linux */
#include <sched.h>
#endif

#include "forecast/thread_pool.h"

#include <unistd.h>

int wg_processors(void) {
    long n = 0;
#ifdef __linux__
    cpu_set_t allowed;
    if (sched_getaffinity(0, sizeof allowed, &allowed) == 0) /* fails beyond 1024 processors: then count all */
        n = CPU_COUNT(&allowed);
#endif
    if (n < 1)
        n = sysconf(_SC_NPROCESSORS_ONLN);
    return n < 1 ? 1 : (int)n;
}

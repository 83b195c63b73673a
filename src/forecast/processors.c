/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Counts the processors that this process may use.
 *
 * On a shared machine (taskset, a cluster job) those are fewer than the machine has, and a container may have a quota of
 * their time (cgroup v2: cpu.max of its group and of all groups above it). Linux reports both; elsewhere the count is of
 * all processors online.
 */
#ifdef __linux__
#define _GNU_SOURCE /* sched_getaffinity() is specific to Linux */
#include <sched.h>
#endif

#include "forecast/thread_pool.h"

#include <math.h>
#include <stdio.h>
#include <string.h>
#include <unistd.h>

#define PATH_SIZE 4352 /* PATH_MAX and a few names */

/* Reads "200000 100000", microseconds of processor time in each period: 2. "max", or no such file: no limit, 0. */
static double read_quota(const char *folder) {
    char path[2 * PATH_SIZE + 16];
    double quota, period;
    (void)snprintf(path, sizeof path, "%s/cpu.max", folder);
    FILE *const file = fopen(path, "re");
    if (file == NULL)
        return 0;
    const int n = fscanf(file, "%lf %lf", &quota, &period);
    (void)fclose(file);
    return n == 2 && quota > 0 && period > 0 ? quota / period : 0;
}

/* Reads the group of this process from the line "0::/group" of a list of groups. */
static bool read_control_group(const char *list, char group[PATH_SIZE]) {
    FILE *const file = fopen(list, "re");
    bool is_found = false;
    if (file == NULL)
        return false;
    while (!is_found && fgets(group, PATH_SIZE, file) != NULL)
        is_found = strncmp(group, "0::/", 4) == 0;
    (void)fclose(file);
    if (!is_found)
        return false;
    group[strcspn(group, "\n")] = '\0';
    const char *const path = group + 3;
    memmove(group, path, strlen(path) + 1);
    return true;
}

int wg_processors_quota(const char *mount, const char *list) {
    char group[PATH_SIZE], folder[2 * PATH_SIZE];
    double least = 0;
    if (!read_control_group(list, group))
        return 0;
    for (char *slash; (slash = strrchr(group, '/')) != NULL; *slash = '\0') {
        (void)snprintf(folder, sizeof folder, "%s%s", mount, group);
        const double quota = read_quota(folder);
        if (quota > 0 && (least <= 0 || quota < least))
            least = quota;
    }
    const double root = read_quota(mount); /* in a container, the group that it sees as the root */
    if (root > 0 && (least <= 0 || root < least))
        least = root;
    return (int)ceil(fmin(least, 1 << 20));
}

int wg_processors(void) {
    long n = 0;
#ifdef __linux__
    cpu_set_t allowed;
    if (sched_getaffinity(0, sizeof allowed, &allowed) == 0) /* fails beyond 1024 processors: then count all */
        n = CPU_COUNT(&allowed);
#endif
    if (n < 1)
        n = sysconf(_SC_NPROCESSORS_ONLN);
    const int quota = wg_processors_quota("/sys/fs/cgroup", "/proc/self/cgroup");
    if (quota > 0 && quota < n)
        n = quota;
    return n < 1 ? 1 : (int)n;
}

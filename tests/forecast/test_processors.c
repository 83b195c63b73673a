/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Counts processors as the system limits them: by affinity (taskset(1)) and by the quota of a control group, as the
 * kernel's documentation describes it (admin-guide/cgroup-v2, cpu.max: "$MAX $PERIOD", the tightest ancestor counts).
 */
#define _GNU_SOURCE
#include "forecast/thread_pool.h"

#include <criterion/criterion.h>
#include <sched.h>
#include <stdio.h>
#include <stdlib.h>
#include <sys/stat.h>

static char mount[] = "/tmp/wintergrub-groups-XXXXXX";

static void write_text(const char *name, const char *text) {
    char path[128];
    (void)snprintf(path, sizeof path, "%s/%s", mount, name);
    FILE *const file = fopen(path, "w");
    cr_assert_not_null(file);
    (void)fputs(text, file);
    (void)fclose(file);
}

static int quota_of(const char *list) {
    char path[128];
    write_text("list", list);
    (void)snprintf(path, sizeof path, "%s/list", mount);
    return wg_processors_quota(mount, path);
}

static void make_group(const char *name) {
    char path[128];
    (void)snprintf(path, sizeof path, "%s/%s", mount, name);
    cr_assert_eq(mkdir(path, 0700), 0);
}

static void make_mount(void) {
    cr_assert_not_null(mkdtemp(mount));
    make_group("pen");
    make_group("pen/trough");
}

static void remove_mount(void) {
    char command[160];
    (void)snprintf(command, sizeof command, "rm -r %s", mount);
    cr_assert_eq(system(command), 0);
}

TestSuite(processors, .init = make_mount, .fini = remove_mount);

Test(processors, a_quota_is_rounded_up) {
    write_text("pen/trough/cpu.max", "150000 100000\n");
    cr_assert_eq(quota_of("0::/pen/trough\n"), 2);
    write_text("pen/trough/cpu.max", "20000 100000\n");
    cr_assert_eq(quota_of("12:cpu:/x\n0::/pen/trough\n"), 1, "after the lines of cgroup v1");
}

Test(processors, the_tightest_group_counts) {
    write_text("pen/trough/cpu.max", "800000 100000\n");
    write_text("pen/cpu.max", "300000 100000\n");
    cr_assert_eq(quota_of("0::/pen/trough\n"), 3);
    write_text("cpu.max", "100000 50000\n");
    cr_assert_eq(quota_of("0::/pen/trough\n"), 2, "a container sees its own group as the root");
    cr_assert_eq(quota_of("0::/\n"), 2);
}

Test(processors, no_limit) {
    cr_assert_eq(quota_of("0::/pen/trough\n"), 0, "no file");
    write_text("pen/trough/cpu.max", "max 100000\n");
    cr_assert_eq(quota_of("0::/pen/trough\n"), 0);
    write_text("pen/trough/cpu.max", "0 0\n");
    cr_assert_eq(quota_of("0::/pen/trough\n"), 0);
    cr_assert_eq(quota_of("1:cpu:/pen\n"), 0, "no group of version 2");
    cr_assert_eq(wg_processors_quota(mount, "/nowhere"), 0);
}

Test(processors, affinity_limits_the_threads) {
    cpu_set_t one;
    CPU_ZERO(&one);
    CPU_SET(sched_getcpu(), &one);
    cr_assert_eq(sched_setaffinity(0, sizeof one, &one), 0);
    cr_assert_eq(wg_processors(), 1);
}

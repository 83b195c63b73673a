/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/* Checks atomic files: valid and rejected paths, their messages, and that the old file survives each failure. */
#include "results/hand_made.h"

#include <errno.h>
#include <signal.h>
#include <sys/file.h>
#include <sys/mount.h>
#include <sys/resource.h>
#include <sys/wait.h>

struct case_ {
    char folder[64], path[256];
    struct wg_scenario scenario;
    struct wg_provenance provenance;
    struct wg_error err;
} it;

static void begin(void) {
    memset(&it, 0, sizeof it);
    hand_made_scenario(&it.scenario);
    fresh_folder(it.folder);
    (void)snprintf(it.path, sizeof it.path, "%s/a.h5", it.folder);
    it.provenance = hand_made_provenance;
}

static void end(void) {
    clear_folder(it.folder);
    hand_made_scenario_free(&it.scenario);
}

TestSuite(atomic_file, .init = begin, .fini = end);

static const char old[] = "an older result";

static void put_old(void) {
    put_bytes(it.path, old, sizeof old);
}

static int old_is_whole(void) {
    size_t size;
    char *const bytes = bytes_of(it.path, &size);
    const int whole = size == sizeof old && memcmp(bytes, old, size) == 0;
    free(bytes);
    return whole;
}

static void assert_old(void) {
    cr_assert(old_is_whole(), "the old file is intact");
}

/* Expects an error with this code and text. */
static void expect_error(const char *path, int force, int code, const char *words) {
    struct wg_result_writer *writer;
    cr_assert_eq(wg_result_create(&writer, path, force, &it.scenario, &it.provenance, &it.err), code, "%s",
                 it.err.text);
    cr_assert_null(writer);
    cr_assert_not_null(strstr(it.err.text, words), "%s", it.err.text);
}

static int write_whole(int force) {
    return hand_made_result(it.path, force, &it.scenario, &it.provenance, NULL, &it.err);
}

Test(atomic_file, keeps_an_existing_file_without_force) {
    put_old();
    expect_error(it.path, 0, WG_ERR_EXISTS, "already a file");
    cr_assert_str_eq(it.err.where, it.path);
    assert_old();
    cr_assert_eq(entries_of(it.folder), 1);
}

Test(atomic_file, replaces_an_existing_file_with_force) {
    struct hand_made_read back;
    put_old();
    cr_assert_eq(write_whole(1), 0, "%s", it.err.text);
    cr_assert_eq(hand_made_read(&back, it.path, &it.err), 0);
    hand_made_read_free(&back);
    cr_assert_eq(entries_of(it.folder), 1);
}

Test(atomic_file, keeps_a_file_created_meanwhile) {
    struct wg_result_writer *writer;
    struct wg_diary diary;
    it.provenance.replicates = 1;
    cr_assert_eq(wg_result_create(&writer, it.path, 0, &it.scenario, &it.provenance, &it.err), 0);
    cr_assert_eq(wg_diary_init(&diary, &it.scenario.plan, &it.err), 0);
    hand_made_diary(&diary, 0);
    const struct wg_observer observer = wg_result_observer(writer);
    cr_assert_eq(observer.on_replicate(observer.self, 0, &diary, &it.err), 0);
    put_old();
    cr_assert_eq(wg_result_close(writer, &it.err), WG_ERR_EXISTS);
    assert_old();
    cr_assert_eq(entries_of(it.folder), 1);
    wg_diary_free(&diary);
}

/* ---- permissions and identity ---- */

static unsigned mode_of(const char *path) {
    struct stat about;
    cr_assert_eq(stat(path, &about), 0);
    return (unsigned)about.st_mode & 07777u;
}

Test(atomic_file, keeps_the_permissions_of_the_file_it_replaces) {
    const mode_t before = umask(022);
    put_old();
    cr_assert_eq(chmod(it.path, 0600), 0);
    cr_assert_eq(write_whole(1), 0, "%s", it.err.text);
    cr_assert_eq(mode_of(it.path), 0600);
    cr_assert_eq(chmod(it.path, 0664), 0);
    cr_assert_eq(write_whole(1), 0, "%s", it.err.text);
    cr_assert_eq(mode_of(it.path), 0664);
    cr_assert_eq(unlink(it.path), 0);
    cr_assert_eq(write_whole(1), 0, "%s", it.err.text);
    cr_assert_eq(mode_of(it.path), 0644, "a new file has the default permissions");
    umask(before);
}

/* Root could write the file, but the mode bits forbid it. */
Test(atomic_file, rejects_a_read_only_file) {
    put_old();
    cr_assert_eq(chmod(it.path, 0444), 0);
    expect_error(it.path, 1, WG_ERR_FILE, "is read-only");
    assert_old();
    cr_assert_eq(entries_of(it.folder), 1);
}

static struct wg_result_writer *begin_over(const struct wg_file_identity *over, struct wg_diary *diary) {
    struct wg_result_writer *writer = NULL;
    it.provenance.replicates = 1;
    cr_assert_eq(wg_result_create_over(&writer, it.path, over, &it.scenario, &it.provenance, &it.err), 0, "%s",
                 it.err.text);
    cr_assert_eq(wg_diary_init(diary, &it.scenario.plan, &it.err), 0);
    hand_made_diary(diary, 0);
    const struct wg_observer observer = wg_result_observer(writer);
    cr_assert_eq(observer.on_replicate(observer.self, 0, diary, &it.err), 0);
    return writer;
}

Test(atomic_file, replaces_the_identified_file) {
    struct wg_file_identity over;
    struct wg_diary diary;
    put_old();
    cr_assert_eq(wg_file_identify(it.path, &over), 0);
    struct wg_result_writer *const writer = begin_over(&over, &diary);
    cr_assert_eq(wg_result_close(writer, &it.err), 0, "%s", it.err.text);
    cr_assert_not(old_is_whole());
    wg_diary_free(&diary);
}

Test(atomic_file, keeps_a_file_that_replaced_the_identified_one) {
    struct wg_file_identity over;
    struct wg_diary diary;
    char other[128];
    put_bytes(it.path, "identified", 10);
    cr_assert_eq(wg_file_identify(it.path, &over), 0);
    struct wg_result_writer *const writer = begin_over(&over, &diary);
    (void)snprintf(other, sizeof other, "%s/other.h5", it.folder);
    put_bytes(other, old, sizeof old);
    cr_assert_eq(rename(other, it.path), 0);
    cr_assert_eq(wg_result_close(writer, &it.err), WG_ERR_EXISTS);
    assert_old();
    cr_assert_eq(entries_of(it.folder), 1);
    wg_diary_free(&diary);
}

Test(atomic_file, keeps_a_file_changed_before_the_start) {
    struct wg_file_identity over;
    struct wg_result_writer *writer;
    put_bytes(it.path, "identified", 10);
    cr_assert_eq(wg_file_identify(it.path, &over), 0);
    put_old();
    cr_assert_eq(wg_result_create_over(&writer, it.path, &over, &it.scenario, &it.provenance, &it.err), WG_ERR_EXISTS);
    assert_old();
}

Test(atomic_file, rejects_an_empty_name) {
    expect_error("", 0, WG_ERR_FILE, "file name is empty");
}

Test(atomic_file, rejects_a_folder) {
    expect_error(it.folder, 1, WG_ERR_FILE, "This is a folder");
    it.err.code = 0;
    strcpy(it.path, it.folder);
    strcat(it.path, "/");
    expect_error(it.path, 1, WG_ERR_FILE, "name of a folder");
}

Test(atomic_file, rejects_a_missing_folder) {
    strcpy(it.path, it.folder);
    strcat(it.path, "/nowhere/a.h5");
    expect_error(it.path, 0, WG_ERR_FILE, "does not exist");
}

Test(atomic_file, rejects_a_file_used_as_a_folder) {
    put_old();
    strcat(it.path, "/b.h5");
    expect_error(it.path, 0, WG_ERR_FILE, "is a file, not a folder");
}

Test(atomic_file, rejects_a_device_even_with_force) {
    expect_error("/dev/null", 1, WG_ERR_FILE, "regular file");
}

Test(atomic_file, rejects_a_name_that_is_too_long) {
    char path[512], name[301] = {0};
    memset(name, 'x', 300);
    (void)snprintf(path, sizeof path, "%s/%s", it.folder, name);
    expect_error(path, 0, WG_ERR_FILE, strerror(ENAMETOOLONG));
}

Test(atomic_file, accepts_the_longest_name) {
    char path[512], name[256] = {0};
    memset(name, 'x', 255);
    (void)snprintf(path, sizeof path, "%s/%s", it.folder, name);
    cr_assert_eq(hand_made_result(path, 0, &it.scenario, &it.provenance, NULL, &it.err), 0, "%s", it.err.text);
}

Test(atomic_file, follows_a_link_and_keeps_it) {
    char link_path[128];
    struct stat about;
    put_old();
    (void)snprintf(link_path, sizeof link_path, "%s/link.h5", it.folder);
    cr_assert_eq(symlink("a.h5", link_path), 0);
    expect_error(link_path, 0, WG_ERR_EXISTS, "already a file");
    it.err.code = 0;
    cr_assert_eq(hand_made_result(link_path, 1, &it.scenario, &it.provenance, NULL, &it.err), 0, "%s", it.err.text);
    cr_assert_eq(lstat(link_path, &about), 0);
    cr_assert(S_ISLNK(about.st_mode));
    struct hand_made_read back;
    cr_assert_eq(hand_made_read(&back, it.path, &it.err), 0, "%s", it.err.text);
    hand_made_read_free(&back);
}

Test(atomic_file, rejects_a_broken_link) {
    cr_assert_eq(symlink("missing/b.h5", it.path), 0);
    expect_error(it.path, 1, WG_ERR_FILE, "broken link");
}

static const char *host(void) {
    static char name[65];
    cr_assert_eq(gethostname(name, sizeof name - 1), 0);
    return name;
}

Test(atomic_file, removes_temporary_files_of_killed_runs) {
    char part[256];
    (void)snprintf(part, sizeof part, "%s/.a.h5.%s.%ld.0.part", it.folder, host(), (long)getpid());
    put_bytes(part, old, sizeof old);
    (void)snprintf(part, sizeof part, "%s/.a.h5.%s.1.17.part", it.folder, host());
    put_bytes(part, old, sizeof old);
    cr_assert_eq(write_whole(0), 0, "%s", it.err.text);
    cr_assert_eq(entries_of(it.folder), 1);
}

/* A lock may be visible on its own host only, so files of another host must stay. */
Test(atomic_file, keeps_temporary_files_of_other_hosts) {
    char part[256];
    (void)snprintf(part, sizeof part, "%s/.a.h5.another-%s.1.17.part", it.folder, host());
    put_bytes(part, old, sizeof old);
    cr_assert_eq(write_whole(0), 0, "%s", it.err.text);
    cr_assert_eq(access(part, F_OK), 0);
}

Test(atomic_file, keeps_the_temporary_file_of_a_running_process) {
    char part[256];
    (void)snprintf(part, sizeof part, "%s/.a.h5.%s.%ld.0.part", it.folder, host(), (long)getpid());
    put_bytes(part, old, sizeof old);
    const int fd = open(part, O_RDONLY);
    cr_assert_eq(flock(fd, LOCK_EX), 0);
    cr_assert_eq(write_whole(0), 0, "%s", it.err.text);
    cr_assert_eq(entries_of(it.folder), 2, "the other run's file remains");
    close(fd);
}

/* Similar names, a folder and a link. */
Test(atomic_file, keeps_everything_else) {
    static const char *const name[][2] = {{".a.h5.", ".1.part"},   {".a.h5.", ".1.2.part.x"}, {".a.h5.", ".1.2.3.part"},
                                          {".b.h5.", ".1.2.part"}, {"a.h5.", ".1.2.part"},    {".a.h5.", ".x.2.part"},
                                          {".a.h5.", "..2.part"}};
    char path[256];
    for (size_t i = 0; i < sizeof name / sizeof *name; i++) {
        (void)snprintf(path, sizeof path, "%s/%s%s%s", it.folder, name[i][0], host(), name[i][1]);
        put_bytes(path, old, sizeof old);
    }
    (void)snprintf(path, sizeof path, "%s/.a.h5.%s.1.2.part", it.folder, host());
    cr_assert_eq(symlink("elsewhere", path), 0);
    cr_assert_eq(write_whole(0), 0, "%s", it.err.text);
    cr_assert_eq(entries_of(it.folder), 9);
}

Test(atomic_file, writes_to_the_working_folder_by_default) {
    char here[512];
    cr_assert_not_null(getcwd(here, sizeof here));
    cr_assert_eq(chdir(it.folder), 0);
    cr_assert_eq(hand_made_result("b.h5", 0, &it.scenario, &it.provenance, NULL, &it.err), 0, "%s", it.err.text);
    cr_assert_eq(access("b.h5", R_OK), 0);
    cr_assert_eq(chdir(here), 0);
}

/* ---- in a child process, because a process cannot regain rights and limits ---- */

/* Runs `body` in a child; 0 is success. */
static void in_child(int (*body)(void)) {
    const pid_t child = fork();
    cr_assert(child >= 0);
    if (child == 0)
        _exit(body());
    int status = 0;
    cr_assert_eq(waitpid(child, &status, 0), child);
    cr_assert(WIFEXITED(status), "the child was killed by signal %d", WTERMSIG(status));
    cr_assert_eq(WEXITSTATUS(status), 0, "the child failed at check %d", WEXITSTATUS(status));
}

#define CHILD_CHECK(number, condition)                                                                                 \
    do {                                                                                                               \
        if (!(condition)) {                                                                                            \
            (void)fprintf(stderr, "check %d: %s (%d %s)\n", number, #condition, it.err.code, it.err.text);             \
            return number;                                                                                             \
        }                                                                                                              \
    } while (0)

static int without_permission(void) {
    struct wg_result_writer *writer;
    if (geteuid() == 0) /* root may write anywhere: become user nobody */
        CHILD_CHECK(1, setgid(65534) == 0 && setuid(65534) == 0);
    CHILD_CHECK(2, wg_result_create(&writer, it.path, 0, &it.scenario, &it.provenance, &it.err) == WG_ERR_FILE);
    CHILD_CHECK(3, strstr(it.err.text, "is not writable") != NULL);
    CHILD_CHECK(4, strstr(it.err.text, strerror(EACCES)) != NULL);
    return 0;
}

Test(atomic_file, rejects_an_unwritable_folder) {
    cr_assert_eq(chmod(it.folder, 0555), 0);
    /* outside the working folder: an inaccessible ancestor would give a different message */
    char away[] = "/tmp/result-XXXXXX";
    cr_assert_not_null(mkdtemp(away));
    cr_assert_eq(chmod(away, 0555), 0);
    (void)snprintf(it.path, sizeof it.path, "%s/a.h5", away);
    in_child(without_permission);
    cr_assert_eq(entries_of(away), 0);
    cr_assert_eq(rmdir(away), 0);
    cr_assert_eq(chmod(it.folder, 0755), 0);
}

/* Raises the limit on the file size step by step, so that each write fails in turn, the last one at closing. */
static int with_a_limit(void) {
    struct rlimit limit;
    CHILD_CHECK(1, signal(SIGXFSZ, SIG_IGN) != SIG_ERR && getrlimit(RLIMIT_FSIZE, &limit) == 0);
    int failures = 0;
    for (rlim_t most = 0;; most += 20011) {
        limit.rlim_cur = most;
        it.err.code = 0;
        CHILD_CHECK(2, setrlimit(RLIMIT_FSIZE, &limit) == 0);
        const int code = write_whole(1);
        if (code == 0)
            break;
        failures++;
        CHILD_CHECK(3, code == WG_ERR_FILE);
        CHILD_CHECK(4, strstr(it.err.text, strerror(EFBIG)) != NULL);
        CHILD_CHECK(5, strchr(it.err.text, '\n') == NULL);
        CHILD_CHECK(6, entries_of(it.folder) == 1);
        CHILD_CHECK(7, old_is_whole());
    }
    CHILD_CHECK(8, failures > 10); /* 250 kB in steps of 20 kB */
    exit(0);                       /* not _exit(): the exit handlers must work too */
}

static int with_a_limit_without_force(void) {
    struct rlimit limit = {.rlim_cur = 60000, .rlim_max = 60000};
    CHILD_CHECK(1, signal(SIGXFSZ, SIG_IGN) != SIG_ERR && setrlimit(RLIMIT_FSIZE, &limit) == 0);
    CHILD_CHECK(2, write_whole(0) == WG_ERR_FILE);
    CHILD_CHECK(3, entries_of(it.folder) == 0);
    return 0;
}

Test(atomic_file, keeps_the_old_file_when_the_new_one_grows_too_large) {
    put_old();
    in_child(with_a_limit);
}

Test(atomic_file, leaves_no_file_when_the_new_one_grows_too_large) {
    in_child(with_a_limit_without_force);
}

/* Needs root to mount a disk of 100 kB; the limit above is the same test without a disk. */
Test(atomic_file, keeps_the_old_file_on_a_full_disk) {
    if (geteuid() != 0 || mount("none", it.folder, "tmpfs", 0, "size=100k") != 0)
        return;
    put_old();
    const int code = write_whole(1);
    const int entries = entries_of(it.folder);
    assert_old();
    (void)umount(it.folder);
    cr_assert_eq(code, WG_ERR_FILE);
    cr_assert_eq(entries, 1);
    cr_assert_not_null(strstr(it.err.text, strerror(ENOSPC)), "%s", it.err.text);
}

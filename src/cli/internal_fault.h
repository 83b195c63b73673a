/**
 * A mistake in the program itself: one sentence, nothing unfinished left, exit status 5.
 */
#ifndef WG_CLI_INTERNAL_FAULT_H
#define WG_CLI_INTERNAL_FAULT_H

/**
 * From here on a signal that only a mistake of ours raises (SIGSEGV, SIGBUS, SIGFPE, SIGILL, SIGABRT) ends the program as
 * wg_assert() does. One that somebody else listens to already, as a sanitizer does, is left to him.
 */
void wg_fault_install(void);

/** A file and the folder made for it that are to go when the command ends, by whatever end. Borrowed while it is told. */
struct wg_cleanup_paths {
    const char *file, *folder;
};
/** There is one at a time; NULL: no more. */
void wg_fault_set_cleanup(const struct wg_cleanup_paths *passing);

#endif

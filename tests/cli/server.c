/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Runs a program many times without starting it anew: most of the time of a short command goes into loading the 57
 * libraries that HDF5 and cairo bring along. Linked with the objects of the program, whose main() it wraps.
 *
 *   PROGRAM --serve FD     serves requests from the socket FD, until it closes; any other command line runs as usual
 *
 * A request is a message of NUL-terminated texts (the largest size of a file or an empty text, the number of words, the
 * words, the environment) with four file descriptors: the current folder, standard input, output and error. Each runs in
 * a child, forked from a process that has loaded everything and run nothing; the reply is its status as from wait(2).
 * tests/cli/commands.py has the other end.
 */
#include <signal.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/prctl.h>
#include <sys/resource.h>
#include <sys/socket.h>
#include <sys/wait.h>
#include <unistd.h>

#define MAX_REQUEST (192 * 1024)
#define MAX_TEXTS 8192
#define N_FDS 4

extern char **environ;

int __real_main(int argc, char **argv);
int __wrap_main(int argc, char **argv);

/* What a linked file may want done in each child: with its environment, before main(), and after it (faulty.c). */
__attribute__((weak)) void served_begin(void);
__attribute__((weak)) void served_end(void);

struct request {
    char bytes[MAX_REQUEST + 1];
    char *text[MAX_TEXTS + 1];
    int n;
    int fd[N_FDS];
};

static void give_up(const char *what) {
    perror(what);
    _exit(125);
}

static void split_request(struct request *request, size_t size) {
    request->n = 0;
    for (size_t at = 0; at < size; at += strlen(request->bytes + at) + 1) {
        if (request->n == MAX_TEXTS)
            give_up("server: too many words");
        request->text[request->n++] = request->bytes + at;
    }
    request->text[request->n] = NULL;
}

/* Returns 0 at the end. */
static int receive_request(int from, struct request *request) {
    union {
        struct cmsghdr header;
        char space[CMSG_SPACE(N_FDS * sizeof(int))];
    } control;
    struct iovec part = {request->bytes, MAX_REQUEST};
    struct msghdr message = {
        .msg_iov = &part, .msg_iovlen = 1, .msg_control = control.space, .msg_controllen = sizeof control.space};
    const ssize_t size = recvmsg(from, &message, MSG_CMSG_CLOEXEC);
    if (size <= 0)
        return 0;
    const struct cmsghdr *const fds = CMSG_FIRSTHDR(&message);
    if (fds == NULL || fds->cmsg_len != CMSG_LEN(N_FDS * sizeof(int)) || (message.msg_flags & MSG_TRUNC) != 0)
        give_up("server: a request without its descriptors");
    memcpy(request->fd, CMSG_DATA(fds), sizeof request->fd);
    request->bytes[size] = '\0';
    split_request(request, (size_t)size);
    return 1;
}

static void limit_files(const char *largest) {
    const struct rlimit limit = {strtoul(largest, NULL, 10), strtoul(largest, NULL, 10)};
    if (*largest != '\0' && setrlimit(RLIMIT_FSIZE, &limit) != 0)
        give_up("server: setrlimit");
}

static int run_request(struct request *request) {
    const int argc = atoi(request->text[1]);
    char **const argv = request->text + 2, **const environment = argv + argc;
    if (fchdir(request->fd[0]) != 0)
        give_up("server: fchdir");
    for (int i = 1; i < N_FDS; i++)
        if (dup2(request->fd[i], i - 1) < 0)
            give_up("server: dup2");
    for (int i = 0; i < N_FDS; i++)
        (void)close(request->fd[i]);
    limit_files(request->text[0]);
    (void)clearenv();
    for (char **variable = environment; *variable != NULL; variable++)
        (void)putenv(*variable);
    argv[argc] = NULL; /* the environment has its own pointers now */
    if (served_begin != NULL)
        served_begin();
    const int status = __real_main(argc, argv);
    if (served_end != NULL)
        served_end();
    return status;
}

static int serve(int socket) {
    static struct request request;
    (void)prctl(PR_SET_PDEATHSIG, SIGKILL); /* with the test */
    while (receive_request(socket, &request)) {
        int status = 0;
        const pid_t child = fork();
        if (child == 0) {
            (void)close(socket);
            (void)prctl(PR_SET_PDEATHSIG, SIGKILL); /* with the server */
            const int code = run_request(&request);
            (void)fflush(NULL);
            _exit(code); /* without the destructors of all libraries */
        }
        for (int i = 0; i < N_FDS; i++)
            (void)close(request.fd[i]);
        if (child < 0 || waitpid(child, &status, 0) != child || send(socket, &status, sizeof status, 0) < 0)
            give_up("server");
    }
    return 0;
}

int __wrap_main(int argc, char **argv) {
    return argc == 3 && strcmp(argv[1], "--serve") == 0 ? serve(atoi(argv[2])) : __real_main(argc, argv);
}

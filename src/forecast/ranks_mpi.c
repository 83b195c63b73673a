/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Distributes one ensemble over MPI ranks: each simulates every (n-1)th replicate; rank 0 receives their diaries in order.
 *
 * Messages, per ensemble: rank 0 sends each rank an ORDER (its bytes and, for a rerun, the plausible animals); each rank sends one HEAD and diary per
 * replicate, then one HEAD with its final status; rank 0 ends with one OVER, which also cancels when it comes early.
 * A HEAD is sent synchronously (MPI_Issend): the sender blocks until rank 0 receives it, meanwhile its ring of diaries
 * fills up and blocks too, so memory is bounded without a counter. A diary is sent from where it lies in memory, as one
 * MPI type made of its arrays, without a copy.
 *
 * Long waits poll with sleeps: an MPI that spins would take processor time from the workers.
 *
 * MPI Forum 2015, "MPI: A Message-Passing Interface Standard", version 3.1.
 */
#include "forecast/ranks.h"

#ifdef WG_MPI

#include "species/plausible.h"

#include <limits.h>
#include <mpi.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>
#include <wintergrub/version.h>

#define POLL_NS 50000        /* 0.05 ms: short against a replicate (1 ms and more). Judgement */
#define IDLE_POLL_NS 1000000 /* between ensembles */
#define GRACE_POLLS 20000    /* one second: a stop reaches the ranks one after the other. Judgement */

#define BUILD_SIZE 96

enum tag { TAG_ORDER, TAG_BYTES, TAG_ANIMALS, TAG_HEAD, TAG_DIARY, TAG_OVER };

/* From rank 0: an ensemble, or the end of the service. */
struct order {
    int is_end;
    int threads;
    int64_t first, count, stride, values; /* of this rank; values of a diary, as a check */
    uint64_t seed;
    enum wg_animals animals;
    struct wg_species species; /* of the middle animal, which may differ from that of the bytes, as may the seed */
    int n_plausible;           /* animals of the plan's own that follow the bytes, or 0 */
    int64_t size;              /* of the bytes that follow */
    char build[BUILD_SIZE];
};

/* To rank 0: a replicate is ready, or the final status. */
struct message_header {
    int is_end, code; /* code: the final status */
    int64_t replicate;
    size_t n_alive; /* of the diary that follows: the only length that the plan does not determine */
    struct wg_error err;
};

static void name_build(char out[BUILD_SIZE]) {
    (void)snprintf(out, BUILD_SIZE, "%s%s%s", WG_VERSION, WG_GIT_DESCRIPTION[0] != '\0' ? " " : "", WG_GIT_DESCRIPTION);
}

static void sleep_ns(long ns) {
    (void)nanosleep(&(struct timespec){.tv_nsec = ns}, NULL);
}

/* ---- sending a diary ---- */

#define PLUS_ONE(...) +1
enum { N_SERIES = 0 WG_DIARY_TABLE(PLUS_ONE) };
enum { N_BLOCKS = N_SERIES + 2 + WG_N_OUTCOMES };

/* The parts of an MPI type. */
struct blocks {
    int n, length[N_BLOCKS];
    MPI_Aint address[N_BLOCKS];
    MPI_Datatype type[N_BLOCKS];
    int64_t values;
};

static void add_block(struct blocks *blocks, const void *array, size_t length, MPI_Datatype type) {
    wg_assert(blocks->n < N_BLOCKS && length <= INT_MAX);
    blocks->length[blocks->n] = (int)length;
    blocks->type[blocks->n] = type;
    (void)MPI_Get_address(array, &blocks->address[blocks->n]);
    blocks->values += (int64_t)length;
    blocks->n++;
}

static void list_blocks(const struct wg_diary *diary, struct blocks *blocks) {
    const size_t days = (size_t)diary->n_days;
    *blocks = (struct blocks){0};
    for (const struct wg_series *s = wg_diary_series(); s->name != NULL; s++)
        add_block(blocks, wg_diary_values(diary, s), days * (size_t)wg_diary_width(diary, s->dims),
                  s->is_count ? MPI_INT64_T : MPI_DOUBLE);
    add_block(blocks, diary->living, days * sizeof *diary->living, MPI_BYTE);
    add_block(blocks, diary->alive, diary->n_alive, MPI_INT64_T);
    for (const struct wg_outcome *o = wg_diary_outcomes(); o->name != NULL; o++)
        add_block(blocks, (const char *)diary + o->offset, 1, MPI_DOUBLE);
}

static int64_t count_values(const struct wg_diary *diary) {
    struct blocks blocks;
    list_blocks(diary, &blocks);
    return blocks.values;
}

/* Returns the diary as one MPI type; free it with MPI_Type_free(). */
static MPI_Datatype diary_type(const struct wg_diary *diary) {
    struct blocks blocks;
    MPI_Datatype type;
    list_blocks(diary, &blocks);
    (void)MPI_Type_create_struct(blocks.n, blocks.length, blocks.address, blocks.type, &type);
    (void)MPI_Type_commit(&type);
    return type;
}

static void send_diary(const struct wg_diary *diary) {
    MPI_Datatype type = diary_type(diary);
    (void)MPI_Send(MPI_BOTTOM, 1, type, 0, TAG_DIARY, MPI_COMM_WORLD);
    (void)MPI_Type_free(&type);
}

static void receive_diary(struct wg_diary *diary, const struct message_header *head, int from) {
    diary->n_alive = head->n_alive;
    MPI_Datatype type = diary_type(diary);
    (void)MPI_Recv(MPI_BOTTOM, 1, type, from, TAG_DIARY, MPI_COMM_WORLD, MPI_STATUS_IGNORE);
    (void)MPI_Type_free(&type);
}

/* ---- begin, end ---- */

int wg_ranks_begin(int *argc, char ***argv, struct wg_error *err) {
    int level = 0;
    if (MPI_Init_thread(argc, argv, MPI_THREAD_FUNNELED, &level) != MPI_SUCCESS || level < MPI_THREAD_FUNNELED)
        return wg_fail(err, WG_ERR_THREAD, NULL, "MPI could not be started with support for threads.");
    return 0;
}

int wg_ranks_count(void) {
    int n = 1;
    (void)MPI_Comm_size(MPI_COMM_WORLD, &n);
    return n;
}

int wg_ranks_rank(void) {
    int me = 0;
    (void)MPI_Comm_rank(MPI_COMM_WORLD, &me);
    return me;
}

void wg_ranks_end(void) {
    const struct order end = {.is_end = 1};
    const int n = wg_ranks_rank() == 0 ? wg_ranks_count() : 0;
    for (int to = 1; to < n; to++)
        (void)MPI_Send(&end, sizeof end, MPI_BYTE, to, TAG_ORDER, MPI_COMM_WORLD);
    (void)MPI_Finalize();
}

/* ---- rank 0 ---- */

struct worker_rank {
    bool has_ended;
    MPI_Request over;
};

struct coordinator {
    const struct wg_ensemble_options *options;
    const struct wg_observer *observers;
    int n_observers, n_ranks;
    struct worker_rank *rank; /* number i is rank i + 1 */
    struct wg_diary diary;
    struct wg_error *err;
};

static void send_orders(const struct coordinator *coordinator, const struct wg_plan *plan,
                        const struct wg_ranks_order *bytes) {
    const struct wg_ensemble_options *const options = coordinator->options;
    struct order order = {.threads = options->threads > 0 ? options->threads : 1,
                          .stride = coordinator->n_ranks,
                          .values = count_values(&coordinator->diary),
                          .seed = plan->seed,
                          .animals = plan->animals,
                          .species = plan->species,
                          .n_plausible = plan->plausible != NULL ? wg_plausible_count() : 0,
                          .size = (int64_t)bytes->size};
    wg_assert(bytes->size <= INT_MAX);
    name_build(order.build);
    for (int i = 0; i < coordinator->n_ranks; i++) {
        order.first = options->first + i;
        order.count = (options->count - i + coordinator->n_ranks - 1) / coordinator->n_ranks;
        (void)MPI_Send(&order, sizeof order, MPI_BYTE, i + 1, TAG_ORDER, MPI_COMM_WORLD);
        (void)MPI_Send(bytes->bytes, (int)bytes->size, MPI_BYTE, i + 1, TAG_BYTES, MPI_COMM_WORLD);
        if (order.n_plausible > 0)
            (void)MPI_Send(plan->plausible, order.n_plausible * (int)sizeof *plan->plausible, MPI_BYTE, i + 1,
                           TAG_ANIMALS, MPI_COMM_WORLD);
    }
}

/* Waits for a header from worker i. False: stop requested. */
static bool wait_for_header(const struct coordinator *coordinator, int i, const atomic_int *stop,
                            struct message_header *head) {
    for (int available = 0;;) {
        (void)MPI_Iprobe(i + 1, TAG_HEAD, MPI_COMM_WORLD, &available, MPI_STATUS_IGNORE);
        if (available)
            break;
        if (wg_is_stop_asked(stop))
            return false;
        sleep_ns(POLL_NS);
    }
    (void)MPI_Recv(head, sizeof *head, MPI_BYTE, i + 1, TAG_HEAD, MPI_COMM_WORLD, MPI_STATUS_IGNORE);
    coordinator->rank[i].has_ended = head->is_end != 0;
    return true;
}

/* Reports that worker i ended early. */
static int fail_rank_ended(const struct coordinator *coordinator, int i, const struct message_header *head) {
    if (head->code < 0) {
        if (coordinator->err != NULL && coordinator->err->code == 0)
            *coordinator->err = head->err;
        return head->code;
    }
    for (int polls = 0; polls < GRACE_POLLS;
         polls++) { /* the launcher stops one rank after the other, perhaps this one next */
        if (wg_is_stop_asked(coordinator->options->stop))
            return WG_STOPPED;
        sleep_ns(POLL_NS);
    }
    return wg_fail(coordinator->err, WG_ERR_THREAD, NULL, "Process %d of %d stopped, so no result was kept.", i + 1,
                   coordinator->n_ranks + 1);
}

static int observe_replicate(const struct coordinator *coordinator, int64_t k) {
    const struct wg_ensemble_options *const options = coordinator->options;
    for (int i = 0; i < coordinator->n_observers; i++) {
        const struct wg_observer *const observer = &coordinator->observers[i];
        const int code =
            observer->on_replicate(observer->self, options->first + k, &coordinator->diary, coordinator->err);
        if (code != 0)
            return code;
    }
    if (options->progress != NULL)
        options->progress(options->progress_self, k + 1, options->count);
    return 0;
}

/* Receives the k-th replicate from the worker that has it. */
static int receive_replicate(struct coordinator *coordinator, int64_t k) {
    const int i = (int)(k % coordinator->n_ranks);
    struct message_header head;
    if (wg_is_stop_asked(coordinator->options->stop) ||
        !wait_for_header(coordinator, i, coordinator->options->stop, &head))
        return WG_STOPPED;
    if (head.is_end)
        return fail_rank_ended(coordinator, i, &head);
    wg_assert(head.replicate == coordinator->options->first + k);
    receive_diary(&coordinator->diary, &head, i + 1);
    return observe_replicate(coordinator, k);
}

/* Tells all workers to stop, then receives and discards pending messages. */
static void drain_ranks(struct coordinator *coordinator) {
    struct message_header head;
    for (int i = 0; i < coordinator->n_ranks; i++)
        (void)MPI_Isend(NULL, 0, MPI_BYTE, i + 1, TAG_OVER, MPI_COMM_WORLD, &coordinator->rank[i].over);
    for (int i = 0; i < coordinator->n_ranks; i++)
        while (!coordinator->rank[i].has_ended && wait_for_header(coordinator, i, NULL, &head))
            if (!head.is_end)
                receive_diary(&coordinator->diary, &head, i + 1);
    for (int i = 0; i < coordinator->n_ranks; i++)
        (void)MPI_Wait(&coordinator->rank[i].over, MPI_STATUS_IGNORE);
}

static int coordinate_ranks(void *self, const struct wg_plan *plan, const struct wg_ensemble_options *options,
                            const struct wg_observer *observers, int n_observers, struct wg_error *err) {
    struct coordinator coordinator = {.options = options,
                                      .observers = observers,
                                      .n_observers = n_observers,
                                      .n_ranks = wg_ranks_count() - 1,
                                      .err = err};
    wg_assert(coordinator.n_ranks >= 1 && options->stride <= 1);
    coordinator.rank = calloc((size_t)coordinator.n_ranks, sizeof *coordinator.rank);
    int code = wg_diary_init(&coordinator.diary, plan, err);
    if (code == 0 && coordinator.rank == NULL)
        code = wg_no_memory(err, NULL);
    if (code == 0) {
        send_orders(&coordinator, plan, self);
        for (int64_t k = 0; k < options->count && code == 0; k++)
            code = receive_replicate(&coordinator, k);
        drain_ranks(&coordinator);
    }
    wg_diary_free(&coordinator.diary);
    free(coordinator.rank);
    return code;
}

struct wg_backend wg_ranks_backend(const struct wg_ranks_order *order) {
    return (struct wg_backend){.run = coordinate_ranks, .self = (void *)(uintptr_t)order}; /* read only */
}

/* ---- the other ranks ---- */

struct service {
    const struct wg_ranks_reader *reader;
    const atomic_int *stop;
    struct order order;
    bool is_over; /* rank 0 has sent OVER */
};

static void poll_end(struct service *service) {
    int available = 0;
    if (!service->is_over)
        (void)MPI_Iprobe(0, TAG_OVER, MPI_COMM_WORLD, &available, MPI_STATUS_IGNORE);
    if (!available)
        return;
    (void)MPI_Recv(NULL, 0, MPI_BYTE, 0, TAG_OVER, MPI_COMM_WORLD, MPI_STATUS_IGNORE);
    service->is_over = true;
}

/* Blocks until rank 0 receives it. */
static void send_head(const struct message_header *head) {
    MPI_Request request;
    (void)MPI_Issend(head, sizeof *head, MPI_BYTE, 0, TAG_HEAD, MPI_COMM_WORLD, &request);
    for (int done = 0; !done; done ? (void)0 : sleep_ns(POLL_NS))
        (void)MPI_Request_get_status(request, &done, MPI_STATUS_IGNORE);
    (void)MPI_Wait(&request, MPI_STATUS_IGNORE); /* already complete: does not block */
}

static int send_replicate(void *self, int64_t replicate, const struct wg_diary *diary, struct wg_error *err) {
    struct service *const service = self;
    (void)err;
    poll_end(service);
    if (service->is_over)
        return WG_STOPPED;
    send_head(&(struct message_header){.replicate = replicate, .n_alive = diary->n_alive});
    send_diary(diary);
    return 0;
}

/* Refuses to mix two versions of the program in one result. */
static int check_same_program(const struct service *service, const struct wg_plan *plan, struct wg_error *err) {
    struct wg_diary diary;
    char build[BUILD_SIZE];
    name_build(build);
    if (strcmp(service->order.build, build) != 0)
        return wg_fail(err, WG_ERR_THREAD, NULL,
                       "Process %d runs wintergrub %s, process 0 runs %s: install the same version.", wg_ranks_rank(),
                       build, service->order.build);
    const int code = wg_diary_init(&diary, plan, err);
    if (code < 0)
        return code;
    const int64_t values = count_values(&diary);
    wg_diary_free(&diary);
    return values == service->order.values
               ? 0
               : wg_fail(err, WG_ERR_INTERNAL, NULL, "Process %d reads the scenario differently from process 0.",
                         wg_ranks_rank());
}

static int run_service(struct service *service, struct wg_plan *plan, struct wg_error *err) {
    const struct wg_ensemble_options options = {.first = service->order.first,
                                                .count = service->order.count,
                                                .stride = service->order.stride,
                                                .threads = service->order.threads,
                                                .stop = service->stop};
    const struct wg_observer observer = {.on_replicate = send_replicate, .self = service};
    plan->seed = service->order.seed;
    plan->animals = service->order.animals;
    plan->species = service->order.species;
    const int code = check_same_program(service, plan, err);
    return code < 0 || options.count < 1 ? code : wg_ensemble_run(plan, &options, &observer, 1, err);
}

/* Receives what follows an order, malloc'ed. The message must be received, so without memory this rank cannot continue. */
static void *receive_bytes(size_t size, enum tag tag) {
    void *const bytes = malloc(size + 1);
    if (bytes == NULL)
        (void)MPI_Abort(MPI_COMM_WORLD, wg_error_exit_status(WG_ERR_MEMORY));
    else
        (void)MPI_Recv(bytes, (int)size, MPI_BYTE, 0, tag, MPI_COMM_WORLD, MPI_STATUS_IGNORE);
    return bytes;
}

/* One ensemble, from its order to its OVER. */
static void run_order(struct service *service) {
    struct message_header end = {.is_end = 1};
    struct wg_plan *plan = NULL;
    void *const bytes = receive_bytes((size_t)service->order.size, TAG_BYTES);
    const size_t animals_size = (size_t)service->order.n_plausible * sizeof *plan->plausible;
    struct wg_species *const animals = animals_size > 0 ? receive_bytes(animals_size, TAG_ANIMALS) : NULL;
    end.code = service->reader->plan(service->reader->self, bytes, (size_t)service->order.size, &plan, &end.err);
    if (end.code == 0) {
        plan->plausible = animals; /* the plan frees it */
        end.code = run_service(service, plan, &end.err);
    } else {
        free(animals);
    }
    service->reader->release(service->reader->self);
    free(bytes);
    send_head(&end);
    while (!service->is_over) {
        poll_end(service);
        sleep_ns(POLL_NS);
    }
}

void wg_ranks_serve(const struct wg_ranks_reader *reader, const atomic_int *stop) {
    for (;;) {
        struct service service = {.reader = reader, .stop = stop};
        for (int available = 0; !available; available ? (void)0 : sleep_ns(IDLE_POLL_NS))
            (void)MPI_Iprobe(0, TAG_ORDER, MPI_COMM_WORLD, &available, MPI_STATUS_IGNORE);
        (void)MPI_Recv(&service.order, sizeof service.order, MPI_BYTE, 0, TAG_ORDER, MPI_COMM_WORLD, MPI_STATUS_IGNORE);
        if (service.order.is_end)
            return;
        run_order(&service);
    }
}

#endif

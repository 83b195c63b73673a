/*
 * Counts the replicates that meet each goal, with Wilson intervals (1927, JASA 22:209).
 */
#include "analysis/goal_tally.h"

#include <math.h>

void wg_goal_tally_init(struct wg_goal_tally *tally, const struct wg_plan *plan) {
    wg_assert(plan->n_goals >= 0 && plan->n_goals <= WG_MAX_GOALS);
    *tally = (struct wg_goal_tally){.plan = plan};
}

static int on_replicate_goals(void *self, int64_t replicate, const struct wg_diary *diary, struct wg_error *err) {
    struct wg_goal_tally *const tally = self;
    (void)replicate;
    (void)err;
    int64_t all = 1;
    for (int i = 0; i < tally->plan->n_goals; i++) {
        const int64_t met = wg_goal_met(&tally->plan->goal[i], diary);
        tally->hits[i] += met;
        all &= met;
    }
    tally->all += all;
    tally->alive += diary->survived > 0;
    tally->n++;
    return 0;
}

struct wg_observer wg_goal_tally_observer(struct wg_goal_tally *tally) {
    return (struct wg_observer){.on_replicate = on_replicate_goals, .self = tally};
}

const char *wg_verdict_name(enum wg_verdict verdict) {
    static const char *const name[] = {[WG_NO] = "no", [WG_YES] = "yes", [WG_UNDECIDED] = "cannot tell"};
    return name[verdict];
}

enum wg_verdict wg_verdict(struct wg_interval interval, double wanted) {
    return interval.low >= wanted ? WG_YES : interval.high < wanted ? WG_NO : WG_UNDECIDED;
}

static struct wg_goal_chance goal_chance_of(int64_t hits, int64_t n, double confidence) {
    return (struct wg_goal_chance){.hits = hits,
                                   .n = n,
                                   .share = n > 0 ? (double)hits / (double)n : (double)NAN,
                                   .interval = wg_wilson((size_t)hits, (size_t)n, confidence)};
}

struct wg_goal_chance wg_goal_tally_chance(const struct wg_goal_tally *tally, int i, double confidence) {
    wg_assert(i >= 0 && i < tally->plan->n_goals);
    struct wg_goal_chance answer = goal_chance_of(tally->hits[i], tally->n, confidence);
    answer.verdict = wg_verdict(answer.interval, tally->plan->goal[i].chance);
    return answer;
}

struct wg_goal_chance wg_goal_tally_chance_of_all(const struct wg_goal_tally *tally, double confidence) {
    struct wg_goal_chance answer = goal_chance_of(tally->all, tally->n, confidence);
    answer.verdict = WG_YES;
    for (int i = 0; i < tally->plan->n_goals; i++) {
        const enum wg_verdict one = wg_goal_tally_chance(tally, i, confidence).verdict;
        if (one == WG_NO || answer.verdict == WG_NO)
            answer.verdict = WG_NO;
        else if (one == WG_UNDECIDED)
            answer.verdict = WG_UNDECIDED;
    }
    return answer;
}

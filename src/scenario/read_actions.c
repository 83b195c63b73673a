/*
 * What does the keeper do, besides feeding? One reader per action, in one table.
 */
#include "scenario/read.h"

#include <string.h>

static bool read_share(struct wg_walk *walk, const struct wg_yaml_node *map, const char *key, double otherwise,
                       double *share) {
    const struct wg_yaml_node *const node = wg_yaml_get(map, key);
    *share = otherwise;
    return node == NULL || wg_walk_quantity(walk, node, WG_SHARE, 0, 1, share);
}

static struct wg_action action_of(enum wg_do kind, const struct wg_timing *when) {
    return (struct wg_action){
        .kind = kind, .from = when->from, .to = when->to, .every = when->every, .bin = -1, .place = -1};
}

/* ---- crawl-off ---- */

static void read_collect(struct wg_walk *walk, const struct wg_yaml_node *map) {
    static const char *const keys[] = {"do", "in", "share", "give_back", "from", "to", NULL};
    static const char what[] = "the action \"collect crawl-off\"";
    if (!wg_walk_map(walk, map, what, keys))
        return;
    struct wg_timing when;
    bool good = wg_walk_timing(walk, map, what, WG_TIMING_REPEATED, 1, &when);
    struct wg_action action = action_of(WG_DO_COLLECT, &when);
    action.bin = wg_walk_bin(walk, map, "in", what);
    good &= wg_walk_need(walk, map, "share", what, "share: 80 %") != NULL;
    good &= read_share(walk, map, "share", 0, &action.as.collect.share);
    good &= read_share(walk, map, "give_back", 0, &action.as.collect.give_back);
    if (good && action.bin >= 0)
        wg_walk_add(walk, map, action);
}

/* ---- egg traps ---- */

static void read_set_traps(struct wg_walk *walk, const struct wg_yaml_node *map) {
    static const char *const keys[] = {"do", "in", "share_laid_in_traps", "from", "to", NULL};
    static const char what[] = "the action \"set traps\"";
    if (!wg_walk_map(walk, map, what, keys))
        return;
    struct wg_timing when;
    bool good = wg_walk_timing(walk, map, what, WG_TIMING_REPEATED, 1, &when);
    struct wg_action action = action_of(WG_DO_LAY_IN_TRAPS, &when);
    action.place = wg_walk_place(walk, map, "in", what);
    good &= wg_walk_need(walk, map, "share_laid_in_traps", what, "share_laid_in_traps: 60 %") != NULL;
    good &= read_share(walk, map, "share_laid_in_traps", 0, &action.as.traps.share);
    if (good && action.place >= 0)
        wg_walk_add(walk, map, action);
}

/* Where the eggs go: a bin, or -1 for carried off. False if it is not said, or said twice. */
static bool read_destination(struct wg_walk *walk, const struct wg_yaml_node *map, const char *what, int *put_in) {
    const struct wg_yaml_node *const bin = wg_yaml_get(map, "put_in"), *const off = wg_yaml_get(map, "carry_off");
    bool carry_off = false;
    *put_in = -1;
    if (off != NULL && !wg_walk_flag(walk, off, &carry_off))
        return false;
    if (carry_off && bin != NULL) {
        wg_complain_key(walk, off, "The eggs are put in a bin or carried off, not both.");
        return false;
    }
    if (!carry_off && bin == NULL) {
        wg_complain(walk, map, "Where do the eggs go? Write put_in: trough, or carry_off: yes.");
        return false;
    }
    if (bin != NULL)
        *put_in = wg_walk_bin(walk, map, "put_in", what);
    return carry_off || *put_in >= 0;
}

/* Nothing is laid in traps that hang on the one day on which they are pulled in the morning. */
static bool refuse_one_day(struct wg_walk *walk, const struct wg_yaml_node *map) {
    const struct wg_yaml_node *const share = wg_yaml_get(map, "share_laid_in_traps"), *const on =
                                                                                          wg_yaml_get(map, "on");
    int32_t day;
    if (share == NULL || on == NULL || !wg_walk_day(walk, on, &day))
        return false;
    char from[11], to[11];
    wg_day_format(day - 7, from);
    wg_day_format(day, to);
    wg_complain_key(walk, share,
                    "From when do the traps hang? Eggs are laid in them on the days before they are pulled. Instead of "
                    "\"on\" write for example from: %s, to: %s, every: 3 days.",
                    from, to);
    return true;
}

static void read_pull(struct wg_walk *walk, const struct wg_yaml_node *map) {
    static const char *const keys[] = {"do",   "in", "every", "put_in", "carry_off", "share_laid_in_traps",
                                       "from", "to", "on",    NULL};
    static const char what[] = "the action \"pull traps\"";
    if (!wg_walk_map(walk, map, what, keys) || refuse_one_day(walk, map))
        return;
    struct wg_timing when;
    bool good = wg_walk_timing(walk, map, what, WG_TIMING_ONCE | WG_TIMING_REPEATED, 0, &when);
    struct wg_action pull = action_of(WG_DO_PULL_TRAPS, &when);
    pull.place = wg_walk_place(walk, map, "in", what);
    good &= read_destination(walk, map, what, &pull.as.pull.put_in);
    struct wg_action lay = action_of(WG_DO_LAY_IN_TRAPS, &when);
    lay.place = pull.place;
    lay.every = 1; /* the traps hang there on the days between, too */
    good &= read_share(walk, map, "share_laid_in_traps", -1, &lay.as.traps.share);
    if (!good || pull.place < 0)
        return;
    wg_walk_add(walk, map, pull);
    if (wg_yaml_get(map, "share_laid_in_traps") != NULL)
        wg_walk_add(walk, map, lay);
}

static bool is_due(const struct wg_action *action, int32_t day) {
    return day >= action->from && day <= action->to && (day - action->from) % action->every == 0;
}

/* The pull of a place's traps in force on a day or, if none is, the latest before: its index, or -1. */
static int find_pull(const struct wg_plan *plan, int place, int32_t day) {
    int found = -1;
    for (int i = 0; i < plan->n_actions; i++) {
        const struct wg_action *const pull = &plan->actions[i];
        if (pull->kind == WG_DO_PULL_TRAPS && pull->place == place && pull->from <= day &&
            (found < 0 || (pull->to < day ? pull->to : day) > plan->actions[found].to))
            found = i;
    }
    return found;
}

/* The traps go on hanging by another line of the plan. */
static bool hang_on(const struct wg_plan *plan, const struct wg_action *traps) {
    for (int i = 0; i < plan->n_actions; i++)
        if (plan->actions[i].kind == WG_DO_LAY_IN_TRAPS && plan->actions[i].place == traps->place &&
            plan->actions[i].from == traps->to + 1)
            return true;
    return false;
}

/* Traps that come down before the end are pulled that morning, and nothing is laid in them from then on. */
static void take_down(struct wg_walk *walk, int traps) {
    const struct wg_plan *const plan = walk->plan;
    const int32_t day = plan->actions[traps].to;
    const int found = find_pull(plan, plan->actions[traps].place, day);
    if (day >= plan->last_day || found < 0 || hang_on(plan, &plan->actions[traps]))
        return;
    if (day == plan->actions[traps].from) {
        wg_complain(walk, walk->action_at[traps],
                    "These traps go up and come down on one day: nothing is laid in them. Write a later \"to\".");
        return;
    }
    plan->actions[traps].to = day - 1;
    struct wg_action last = plan->actions[found];
    if (is_due(&last, day))
        return;
    last.from = last.to = day;
    last.every = 1;
    wg_walk_add(walk, walk->action_at[traps], last);
}

/* ---- larvae and prepupae ---- */

/* Prepupae lie in the ground of a place: a bin stands for its place. */
static int read_ground(struct wg_walk *walk, const struct wg_yaml_node *map, const char *key, const char *what) {
    const struct wg_yaml_node *const node =
        wg_walk_need(walk, map, key, what, key[0] == 'f' ? "from: yard" : "to: shed");
    if (wg_walk_text(walk, node, "the name of a place", "shed") == NULL)
        return -1;
    const int bin = wg_walk_find_bin(walk, node->text);
    const int place = bin >= 0 ? walk->plan->bins[bin].place : wg_walk_find_place(walk, node->text);
    if (place < 0)
        wg_walk_no_such(walk, node, false, true);
    return place;
}

static void read_move(struct wg_walk *walk, const struct wg_yaml_node *map) {
    static const char *const keys[] = {"do", "on", "from", "to", "what", "share", NULL};
    static const char *const whats[] = {"larvae", "prepupae", "eggs", NULL};
    static const enum wg_what whats_mean[] = {WG_WHAT_LARVAE, WG_WHAT_PREPUPAE, WG_WHAT_EGGS};
    static const char what[] = "the action \"move\"";
    if (!wg_walk_map(walk, map, what, keys))
        return;
    struct wg_action action = {.kind = WG_DO_MOVE, .bin = -1, .place = -1, .every = 1};
    action.as.move.to_bin = action.as.move.to_place = -1;
    int32_t day = 0;
    const struct wg_yaml_node *const on = wg_walk_need(walk, map, "on", what, "on: 2027-01-10");
    bool good = wg_walk_day(walk, on, &day);
    action.from = action.to = day;
    const int i = wg_walk_word(walk, wg_walk_need(walk, map, "what", what, "what: larvae (or prepupae, eggs)"),
                               "what can be moved", whats);
    good &= read_share(walk, map, "share", 1, &action.as.move.share);
    if (i < 0)
        return;
    action.as.move.what = whats_mean[i];
    const bool ground = action.as.move.what == WG_WHAT_PREPUPAE;
    const int from = ground ? read_ground(walk, map, "from", what) : wg_walk_bin(walk, map, "from", what);
    const int to = ground ? read_ground(walk, map, "to", what) : wg_walk_bin(walk, map, "to", what);
    if (from >= 0 && from == to) {
        wg_complain(walk, wg_yaml_get(map, "to"),
                    ground ? "Prepupae are in the ground of a place, and these two are the same place."
                           : "A bin cannot be moved into itself.");
        return;
    }
    *(ground ? &action.place : &action.bin) = from;
    *(ground ? &action.as.move.to_place : &action.as.move.to_bin) = to;
    if (good && from >= 0 && to >= 0)
        wg_walk_add(walk, map, action);
}

static void read_scoop(struct wg_walk *walk, const struct wg_yaml_node *map) {
    static const char *const keys[] = {"do", "in", "amount", "share", "every", "from", "to", "on", NULL};
    static const char what[] = "the action \"scoop larvae\"";
    if (!wg_walk_map(walk, map, what, keys))
        return;
    struct wg_timing when;
    bool good = wg_walk_timing(walk, map, what, WG_TIMING_ONCE | WG_TIMING_REPEATED, 0, &when);
    struct wg_action action = action_of(WG_DO_SCOOP, &when);
    action.bin = wg_walk_bin(walk, map, "in", what);
    const struct wg_yaml_node *const amount = wg_yaml_get(map, "amount"), *const share = wg_yaml_get(map, "share");
    action.as.scoop.mass_kg = -1;
    if (amount != NULL && share != NULL) {
        wg_complain_key(walk, share, "Larvae are scooped by amount or by share, not both.");
        return;
    }
    if (amount == NULL && share == NULL) {
        wg_complain(walk, map, "How much? Write amount: 1 lb, or share: 20 %%.");
        return;
    }
    good &= amount == NULL || wg_walk_quantity(walk, amount, WG_MASS, 0, WG_MOST_SCOOP_KG, &action.as.scoop.mass_kg);
    good &= read_share(walk, map, "share", 0, &action.as.scoop.share);
    if (good && action.bin >= 0)
        wg_walk_add(walk, map, action);
}

static void read_clear(struct wg_walk *walk, const struct wg_yaml_node *map) {
    static const char *const keys[] = {"do", "in", "share", "every", "from", "to", "on", NULL};
    static const char what[] = "the action \"clear residue\"";
    if (!wg_walk_map(walk, map, what, keys))
        return;
    struct wg_timing when;
    bool good = wg_walk_timing(walk, map, what, WG_TIMING_ONCE | WG_TIMING_REPEATED, 0, &when);
    struct wg_action action = action_of(WG_DO_CLEAR, &when);
    action.bin = wg_walk_bin(walk, map, "in", what);
    good &= read_share(walk, map, "share", 1, &action.as.clear.share);
    if (good && action.bin >= 0)
        wg_walk_add(walk, map, action);
}

/* ---- changes of a setting ---- */

struct change {
    const struct wg_yaml_node *map;
    struct wg_timing when;
    int bin, place; /* one of them */
};

static void add_setting(struct wg_walk *walk, const struct change *change, enum wg_setting_key key, double value) {
    struct wg_action action = action_of(WG_DO_SET, &change->when);
    action.bin = change->bin;
    action.place = change->place;
    action.as.set.key = key;
    action.as.set.value = value;
    wg_walk_add(walk, change->map, action);
}

/* heater: on, heater: off, mat: on, mat: off */
static void change_switch(struct wg_walk *walk, const struct change *change, const char *key, bool there,
                          enum wg_setting_key setting) {
    const struct wg_yaml_node *const node = wg_yaml_get(change->map, key);
    bool on;
    if (node == NULL)
        return;
    if (!there)
        wg_complain_key(walk, node, "There is no %s here to switch. Give the %s one first.", key,
                        change->bin >= 0 ? "bin" : "place");
    else if (node->kind == WG_YAML_TEXT && strcmp(node->text, "on") != 0 && strcmp(node->text, "off") != 0)
        wg_complain(walk, node, "\"%.40s\" is neither on nor off.", node->text);
    else if (wg_walk_flag(walk, node, &on))
        add_setting(walk, change, setting, on);
}

static void change_place(struct wg_walk *walk, const struct change *change) {
    const struct wg_place_plan *const place = &walk->plan->places[change->place];
    const bool heated = walk->has_heater[change->place];
    change_switch(walk, change, "heater", heated, WG_SET_HEATER);
    const struct wg_yaml_node *const node = wg_yaml_get(change->map, "set_point");
    double set_point_c;
    if (node != NULL && !heated)
        wg_complain_key(walk, node, "There is no heater here to set. Give the place one first.");
    else if (wg_walk_quantity(walk, node, WG_TEMPERATURE, WG_LEAST_SET_POINT_C, WG_MOST_SET_POINT_C, &set_point_c)) {
        if (place->shelter.vent_air_changes > 0 && set_point_c >= place->shelter.vent_above_c)
            wg_complain(
                walk, node,
                "This is not below the temperature at which the vents open. The heater would heat the open air.");
        else
            add_setting(walk, change, WG_SET_SET_POINT, set_point_c);
    }
}

static void change_bin(struct wg_walk *walk, const struct change *change) {
    const struct wg_bin_plan *const bin = &walk->plan->bins[change->bin];
    const enum wg_housing_kind kind = walk->plan->places[bin->place].shelter.kind;
    const bool warmed = bin->spec.mat.power_w > 0;
    change_switch(walk, change, "mat", warmed, WG_SET_MAT);
    const struct wg_yaml_node *const node = wg_yaml_get(change->map, "set_point");
    double value;
    if (node != NULL && !warmed)
        wg_complain_key(walk, node, "This bin has no mat to set. Give the bin one first.");
    else if (wg_walk_quantity(walk, node, WG_TEMPERATURE, WG_LEAST_SET_POINT_C, WG_MOST_MAT_SET_POINT_C, &value))
        add_setting(walk, change, WG_SET_MAT_SET_POINT, value);
    if (wg_walk_insulation(walk, wg_yaml_get(change->map, "insulation"), &value)) {
        struct wg_bin_spec other;
        wg_bin_defaults(&other, kind, bin->spec.volume_m3, value);
        add_setting(walk, change, WG_SET_BIN_U, other.u_w_m2k);
    }
    if (wg_walk_lid(walk, wg_yaml_get(change->map, "lid"), bin->spec.closed_lid, &value))
        add_setting(walk, change, WG_SET_BIN_LID, value);
}

static bool changes_something(const struct wg_yaml_node *map) {
    static const char *const settings[] = {"heater", "set_point", "mat", "insulation", "lid"};
    for (size_t i = 0; i < sizeof settings / sizeof *settings; i++)
        if (wg_yaml_get(map, settings[i]) != NULL)
            return true;
    return false;
}

/* What belongs to a bin is not asked of a place, nor the other way round. */
static void refuse_settings_of_other(struct wg_walk *walk, const struct wg_yaml_node *map, bool bin) {
    static const char *const of_place[] = {"heater", NULL}, *const of_bin[] = {"mat", "insulation", "lid", NULL};
    const char *const *const keys = bin ? of_place : of_bin;
    for (size_t i = 0; keys[i] != NULL; i++) {
        const struct wg_yaml_node *const other = wg_yaml_get(map, keys[i]);
        if (other != NULL)
            wg_complain_key(walk, other, "A %s has no %s of its own: name %s after \"in\".", bin ? "bin" : "place",
                            keys[i], bin ? "its place" : "the bin");
    }
}

static void read_change(struct wg_walk *walk, const struct wg_yaml_node *map) {
    static const char *const keys[] = {"do", "on", "in", "heater", "set_point", "mat", "insulation", "lid", NULL};
    static const char what[] = "the action \"change\"";
    if (!wg_walk_map(walk, map, what, keys))
        return;
    struct change change = {.map = map, .bin = -1, .place = -1};
    const bool timed = wg_walk_timing(walk, map, what, WG_TIMING_ONCE, 1, &change.when);
    const struct wg_yaml_node *const in =
        wg_walk_need(walk, map, "in", what, "in: trough (a bin), or in: hoop house (a place)");
    if (wg_walk_text(walk, in, "the name of a bin or place", "trough") == NULL)
        return;
    change.bin = wg_walk_find_bin(walk, in->text);
    change.place = change.bin >= 0 ? -1 : wg_walk_find_place(walk, in->text);
    if (change.bin < 0 && change.place < 0) {
        wg_walk_no_such(walk, in, true, true);
        return;
    }
    const bool bin = change.bin >= 0;
    refuse_settings_of_other(walk, map, bin);
    if (map->n <= 3 && !changes_something(map))
        wg_complain(
            walk, map,
            "What is changed? Write for example heater: off, set_point: 65 degF, insulation: none or lid: screen.");
    if (timed)
        (bin ? change_bin : change_place)(walk, &change);
}

/* ---- the table ---- */

static const char *const action_words[] = {"collect crawl-off", "pull traps",    "set traps", "move",
                                           "scoop larvae",      "clear residue", "change",    NULL};
static void (*const action_readers[])(struct wg_walk *, const struct wg_yaml_node *) = {
    read_collect, read_pull, read_set_traps, read_move, read_scoop, read_clear, read_change};

static void read_action(struct wg_walk *walk, const struct wg_yaml_node *map) {
    if (map->kind != WG_YAML_MAP) {
        wg_complain(walk, map,
                    "Here an action is needed, for example {do: collect crawl-off, in: trough, share: 80 %%}.");
        return;
    }
    const int i = wg_walk_word(walk, wg_walk_need(walk, map, "do", "an action", "do: collect crawl-off"),
                               "an action known here", action_words);
    if (i >= 0)
        action_readers[i](walk, map);
}

void wg_walk_keeping(struct wg_walk *walk) {
    const struct wg_yaml_node *const list = wg_yaml_get(walk->root, "keeping");
    if (!wg_walk_list(walk, list, "a list of actions", "keeping: [{do: collect crawl-off, in: trough, share: 80 %}]"))
        return;
    for (const struct wg_yaml_node *map = list->first; map != NULL; map = map->next)
        read_action(walk, map);
    const int n = walk->plan->n_actions;
    for (int i = 0; i < n; i++)
        if (walk->plan->actions[i].kind == WG_DO_LAY_IN_TRAPS)
            take_down(walk, i);
}

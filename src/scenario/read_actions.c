/*
 * What does the keeper do, besides feeding? One reader per action, in one table.
 */
#include "scenario/read.h"

#include <string.h>

static bool read_share(struct wg_scenario_reader *reader, const struct wg_yaml_node *map, const char *key,
                       double otherwise, double *share) {
    const struct wg_yaml_node *const node = wg_yaml_get(map, key);
    *share = otherwise;
    return node == NULL || wg_read_quantity(reader, node, WG_SHARE, 0, 1, share);
}

static struct wg_action action_of(enum wg_action_kind kind, const struct wg_timing *when) {
    return (struct wg_action){
        .kind = kind, .from = when->from, .to = when->to, .every = when->every, .bin = -1, .place = -1};
}

/* ---- crawl-off ---- */

static void read_collect(struct wg_scenario_reader *reader, const struct wg_yaml_node *map) {
    static const char *const keys[] = {"do", "in", "share", "give_back", "from", "to", NULL};
    static const char what[] = "the action \"collect crawl-off\"";
    if (!wg_read_map(reader, map, what, keys))
        return;
    struct wg_timing when;
    bool good = wg_read_timing(reader, map, what, WG_TIMING_REPEATED, 1, &when);
    struct wg_action action = action_of(WG_ACTION_COLLECT, &when);
    action.bin = wg_read_bin(reader, map, "in", what);
    good &= wg_read_required(reader, map, "share", what, "share: 80 %") != NULL;
    good &= read_share(reader, map, "share", 0, &action.as.collect.share);
    good &= read_share(reader, map, "give_back", 0, &action.as.collect.give_back);
    if (good && action.bin >= 0)
        wg_read_add_action(reader, map, action);
}

/* ---- egg traps ---- */

static void read_set_traps(struct wg_scenario_reader *reader, const struct wg_yaml_node *map) {
    static const char *const keys[] = {"do", "in", "share_laid_in_traps", "from", "to", NULL};
    static const char what[] = "the action \"set traps\"";
    if (!wg_read_map(reader, map, what, keys))
        return;
    struct wg_timing when;
    bool good = wg_read_timing(reader, map, what, WG_TIMING_REPEATED, 1, &when);
    struct wg_action action = action_of(WG_ACTION_LAY_IN_TRAPS, &when);
    action.place = wg_read_place(reader, map, "in", what);
    good &= wg_read_required(reader, map, "share_laid_in_traps", what, "share_laid_in_traps: 60 %") != NULL;
    good &= read_share(reader, map, "share_laid_in_traps", 0, &action.as.traps.share);
    if (good && action.place >= 0)
        wg_read_add_action(reader, map, action);
}

/* Where the eggs go: a bin, or -1 for carried off. False if it is not said, or said twice. */
static bool read_destination(struct wg_scenario_reader *reader, const struct wg_yaml_node *map, const char *what,
                             int *put_in) {
    const struct wg_yaml_node *const bin = wg_yaml_get(map, "put_in"), *const off = wg_yaml_get(map, "carry_off");
    bool carry_off = false;
    *put_in = -1;
    if (off != NULL && !wg_read_flag(reader, off, &carry_off))
        return false;
    if (carry_off && bin != NULL) {
        wg_read_mistake_key(reader, off, "The eggs are put in a bin or carried off, not both.");
        return false;
    }
    if (!carry_off && bin == NULL) {
        wg_read_mistake(reader, map, "Where do the eggs go? Write put_in: trough, or carry_off: yes.");
        return false;
    }
    if (bin != NULL)
        *put_in = wg_read_bin(reader, map, "put_in", what);
    return carry_off || *put_in >= 0;
}

/* Nothing is laid in traps that hang on the one day on which they are pulled in the morning. */
static bool refuse_one_day(struct wg_scenario_reader *reader, const struct wg_yaml_node *map) {
    const struct wg_yaml_node *const share = wg_yaml_get(map, "share_laid_in_traps"), *const on =
                                                                                          wg_yaml_get(map, "on");
    int32_t day;
    if (share == NULL || on == NULL || !wg_read_day(reader, on, &day))
        return false;
    char from[11], to[11];
    wg_day_format(day - 7, from);
    wg_day_format(day, to);
    wg_read_mistake_key(
        reader, share,
        "From when do the traps hang? Eggs are laid in them on the days before they are pulled. Instead of "
        "\"on\" write for example from: %s, to: %s, every: 3 days.",
        from, to);
    return true;
}

static void read_pull(struct wg_scenario_reader *reader, const struct wg_yaml_node *map) {
    static const char *const keys[] = {"do",   "in", "every", "put_in", "carry_off", "share_laid_in_traps",
                                       "from", "to", "on",    NULL};
    static const char what[] = "the action \"pull traps\"";
    if (!wg_read_map(reader, map, what, keys) || refuse_one_day(reader, map))
        return;
    struct wg_timing when;
    bool good = wg_read_timing(reader, map, what, WG_TIMING_ONCE | WG_TIMING_REPEATED, 0, &when);
    struct wg_action pull = action_of(WG_ACTION_PULL_TRAPS, &when);
    pull.place = wg_read_place(reader, map, "in", what);
    good &= read_destination(reader, map, what, &pull.as.pull.put_in);
    struct wg_action lay = action_of(WG_ACTION_LAY_IN_TRAPS, &when);
    lay.place = pull.place;
    lay.every = 1; /* the traps hang there on the days between, too */
    good &= read_share(reader, map, "share_laid_in_traps", -1, &lay.as.traps.share);
    if (!good || pull.place < 0)
        return;
    wg_read_add_action(reader, map, pull);
    if (wg_yaml_get(map, "share_laid_in_traps") != NULL)
        wg_read_add_action(reader, map, lay);
}

/* The pull of a place's traps in force on a day or, if none is, the latest before: its index, or -1. */
static int find_pull(const struct wg_plan *plan, int place, int32_t day) {
    int found = -1;
    for (int i = 0; i < plan->n_actions; i++) {
        const struct wg_action *const pull = &plan->actions[i];
        if (pull->kind == WG_ACTION_PULL_TRAPS && pull->place == place && pull->from <= day &&
            (found < 0 || (pull->to < day ? pull->to : day) > plan->actions[found].to))
            found = i;
    }
    return found;
}

/* The traps go on hanging by another line of the plan. */
static bool traps_continue(const struct wg_plan *plan, const struct wg_action *traps) {
    for (int i = 0; i < plan->n_actions; i++)
        if (plan->actions[i].kind == WG_ACTION_LAY_IN_TRAPS && plan->actions[i].place == traps->place &&
            plan->actions[i].from == traps->to + 1)
            return true;
    return false;
}

/* Traps that come down before the end are pulled that morning, and nothing is laid in them from then on. */
static void end_traps(struct wg_scenario_reader *reader, int traps) {
    const struct wg_plan *const plan = reader->plan;
    const int32_t day = plan->actions[traps].to;
    const int found = find_pull(plan, plan->actions[traps].place, day);
    if (day >= plan->last_day || found < 0 || traps_continue(plan, &plan->actions[traps]))
        return;
    if (day == plan->actions[traps].from) {
        wg_read_mistake(reader, reader->action_at[traps],
                        "These traps go up and come down on one day: nothing is laid in them. Write a later \"to\".");
        return;
    }
    plan->actions[traps].to = day - 1;
    struct wg_action last = plan->actions[found];
    if (wg_action_is_due(&last, day))
        return;
    last.from = last.to = day;
    last.every = 1;
    wg_read_add_action(reader, reader->action_at[traps], last);
}

/* ---- larvae and prepupae ---- */

/* Prepupae lie in the ground of a place: a bin stands for its place. */
static int read_ground_place(struct wg_scenario_reader *reader, const struct wg_yaml_node *map, const char *key,
                             const char *what) {
    const struct wg_yaml_node *const node =
        wg_read_required(reader, map, key, what, key[0] == 'f' ? "from: yard" : "to: shed");
    if (wg_read_text(reader, node, "the name of a place", "shed") == NULL)
        return -1;
    const int bin = wg_read_find_bin(reader, node->text);
    const int place = bin >= 0 ? reader->plan->bins[bin].place : wg_read_find_place(reader, node->text);
    if (place < 0)
        wg_read_unknown_name(reader, node, false, true);
    return place;
}

static void read_move(struct wg_scenario_reader *reader, const struct wg_yaml_node *map) {
    static const char *const keys[] = {"do", "on", "from", "to", "what", "share", NULL};
    static const char *const whats[] = {"larvae", "prepupae", "eggs", NULL};
    static const enum wg_movable whats_mean[] = {WG_MOVABLE_LARVAE, WG_MOVABLE_PREPUPAE, WG_MOVABLE_EGGS};
    static const char what[] = "the action \"move\"";
    if (!wg_read_map(reader, map, what, keys))
        return;
    struct wg_action action = {.kind = WG_ACTION_MOVE, .bin = -1, .place = -1, .every = 1};
    action.as.move.to_bin = action.as.move.to_place = -1;
    int32_t day = 0;
    const struct wg_yaml_node *const on = wg_read_required(reader, map, "on", what, "on: 2027-01-10");
    bool good = wg_read_day(reader, on, &day);
    action.from = action.to = day;
    const int i = wg_read_word(reader, wg_read_required(reader, map, "what", what, "what: larvae (or prepupae, eggs)"),
                               "what can be moved", whats);
    good &= read_share(reader, map, "share", 1, &action.as.move.share);
    if (i < 0)
        return;
    action.as.move.what = whats_mean[i];
    const bool ground = action.as.move.what == WG_MOVABLE_PREPUPAE;
    const int from = ground ? read_ground_place(reader, map, "from", what) : wg_read_bin(reader, map, "from", what);
    const int to = ground ? read_ground_place(reader, map, "to", what) : wg_read_bin(reader, map, "to", what);
    if (from >= 0 && from == to) {
        wg_read_mistake(reader, wg_yaml_get(map, "to"),
                        ground ? "Prepupae are in the ground of a place, and these two are the same place."
                               : "A bin cannot be moved into itself.");
        return;
    }
    *(ground ? &action.place : &action.bin) = from;
    *(ground ? &action.as.move.to_place : &action.as.move.to_bin) = to;
    if (good && from >= 0 && to >= 0)
        wg_read_add_action(reader, map, action);
}

static void read_scoop(struct wg_scenario_reader *reader, const struct wg_yaml_node *map) {
    static const char *const keys[] = {"do", "in", "amount", "share", "every", "from", "to", "on", NULL};
    static const char what[] = "the action \"scoop larvae\"";
    if (!wg_read_map(reader, map, what, keys))
        return;
    struct wg_timing when;
    bool good = wg_read_timing(reader, map, what, WG_TIMING_ONCE | WG_TIMING_REPEATED, 0, &when);
    struct wg_action action = action_of(WG_ACTION_SCOOP, &when);
    action.bin = wg_read_bin(reader, map, "in", what);
    const struct wg_yaml_node *const amount = wg_yaml_get(map, "amount"), *const share = wg_yaml_get(map, "share");
    action.as.scoop.mass_kg = -1;
    if (amount != NULL && share != NULL) {
        wg_read_mistake_key(reader, share, "Larvae are scooped by amount or by share, not both.");
        return;
    }
    if (amount == NULL && share == NULL) {
        wg_read_mistake(reader, map, "How much? Write amount: 1 lb, or share: 20 %%.");
        return;
    }
    good &= amount == NULL || wg_read_quantity(reader, amount, WG_MASS, 0, WG_MAX_SCOOP_KG, &action.as.scoop.mass_kg);
    good &= read_share(reader, map, "share", 0, &action.as.scoop.share);
    if (good && action.bin >= 0)
        wg_read_add_action(reader, map, action);
}

static void read_clear(struct wg_scenario_reader *reader, const struct wg_yaml_node *map) {
    static const char *const keys[] = {"do", "in", "share", "every", "from", "to", "on", NULL};
    static const char what[] = "the action \"clear residue\"";
    if (!wg_read_map(reader, map, what, keys))
        return;
    struct wg_timing when;
    bool good = wg_read_timing(reader, map, what, WG_TIMING_ONCE | WG_TIMING_REPEATED, 0, &when);
    struct wg_action action = action_of(WG_ACTION_CLEAR, &when);
    action.bin = wg_read_bin(reader, map, "in", what);
    good &= read_share(reader, map, "share", 1, &action.as.clear.share);
    if (good && action.bin >= 0)
        wg_read_add_action(reader, map, action);
}

/* ---- changes of a setting ---- */

struct change {
    const struct wg_yaml_node *map;
    struct wg_timing when;
    int bin, place; /* one of them */
};

static void add_setting(struct wg_scenario_reader *reader, const struct change *change, enum wg_setting_key key,
                        double value) {
    struct wg_action action = action_of(WG_ACTION_SET, &change->when);
    action.bin = change->bin;
    action.place = change->place;
    action.as.set.key = key;
    action.as.set.value = value;
    wg_read_add_action(reader, change->map, action);
}

/* heater: on, heater: off, mat: on, mat: off */
static void change_switch(struct wg_scenario_reader *reader, const struct change *change, const char *key, bool there,
                          enum wg_setting_key setting) {
    const struct wg_yaml_node *const node = wg_yaml_get(change->map, key);
    bool on;
    if (node == NULL)
        return;
    if (!there)
        wg_read_mistake_key(reader, node, "There is no %s here to switch. Give the %s one first.", key,
                            change->bin >= 0 ? "bin" : "place");
    else if (node->kind == WG_YAML_TEXT && strcmp(node->text, "on") != 0 && strcmp(node->text, "off") != 0)
        wg_read_mistake(reader, node, "\"%.40s\" is neither on nor off.", node->text);
    else if (wg_read_flag(reader, node, &on))
        add_setting(reader, change, setting, on);
}

static void change_place(struct wg_scenario_reader *reader, const struct change *change) {
    const struct wg_place_plan *const place = &reader->plan->places[change->place];
    const bool heated = reader->has_heater[change->place];
    change_switch(reader, change, "heater", heated, WG_SET_HEATER);
    const struct wg_yaml_node *const node = wg_yaml_get(change->map, "set_point");
    double set_point_c;
    if (node != NULL && !heated)
        wg_read_mistake_key(reader, node, "There is no heater here to set. Give the place one first.");
    else if (wg_read_quantity(reader, node, WG_TEMPERATURE, WG_MIN_SET_POINT_C, WG_MAX_SET_POINT_C, &set_point_c)) {
        if (place->shelter.vent_air_changes > 0 && set_point_c >= place->shelter.vent_above_c)
            wg_read_mistake(
                reader, node,
                "This is not below the temperature at which the vents open. The heater would heat the open air.");
        else
            add_setting(reader, change, WG_SET_SET_POINT, set_point_c);
    }
}

static void change_bin(struct wg_scenario_reader *reader, const struct change *change) {
    const struct wg_bin_plan *const bin = &reader->plan->bins[change->bin];
    const enum wg_housing_kind kind = reader->plan->places[bin->place].shelter.kind;
    const bool warmed = bin->spec.mat.power_w > 0;
    change_switch(reader, change, "mat", warmed, WG_SET_MAT);
    const struct wg_yaml_node *const node = wg_yaml_get(change->map, "set_point");
    double value;
    if (node != NULL && !warmed)
        wg_read_mistake_key(reader, node, "This bin has no mat to set. Give the bin one first.");
    else if (wg_read_quantity(reader, node, WG_TEMPERATURE, WG_MIN_SET_POINT_C, WG_MAX_MAT_SET_POINT_C, &value))
        add_setting(reader, change, WG_SET_MAT_SET_POINT, value);
    if (wg_read_insulation(reader, wg_yaml_get(change->map, "insulation"), &value)) {
        struct wg_bin_spec other;
        wg_bin_defaults(&other, kind, bin->spec.volume_m3, value);
        add_setting(reader, change, WG_SET_BIN_U, other.u_w_m2k);
    }
    if (wg_read_lid(reader, wg_yaml_get(change->map, "lid"), bin->spec.closed_lid, &value))
        add_setting(reader, change, WG_SET_BIN_LID, value);
}

static bool changes_something(const struct wg_yaml_node *map) {
    static const char *const settings[] = {"heater", "set_point", "mat", "insulation", "lid"};
    for (size_t i = 0; i < sizeof settings / sizeof *settings; i++)
        if (wg_yaml_get(map, settings[i]) != NULL)
            return true;
    return false;
}

/* What belongs to a bin is not asked of a place, nor the other way round. */
static void refuse_settings_of_other(struct wg_scenario_reader *reader, const struct wg_yaml_node *map, bool bin) {
    static const char *const of_place[] = {"heater", NULL}, *const of_bin[] = {"mat", "insulation", "lid", NULL};
    const char *const *const keys = bin ? of_place : of_bin;
    for (size_t i = 0; keys[i] != NULL; i++) {
        const struct wg_yaml_node *const other = wg_yaml_get(map, keys[i]);
        if (other != NULL)
            wg_read_mistake_key(reader, other, "A %s has no %s of its own: name %s after \"in\".",
                                bin ? "bin" : "place", keys[i], bin ? "its place" : "the bin");
    }
}

static void read_change(struct wg_scenario_reader *reader, const struct wg_yaml_node *map) {
    static const char *const keys[] = {"do", "on", "in", "heater", "set_point", "mat", "insulation", "lid", NULL};
    static const char what[] = "the action \"change\"";
    if (!wg_read_map(reader, map, what, keys))
        return;
    struct change change = {.map = map, .bin = -1, .place = -1};
    const bool timed = wg_read_timing(reader, map, what, WG_TIMING_ONCE, 1, &change.when);
    const struct wg_yaml_node *const in =
        wg_read_required(reader, map, "in", what, "in: trough (a bin), or in: hoop house (a place)");
    if (wg_read_text(reader, in, "the name of a bin or place", "trough") == NULL)
        return;
    change.bin = wg_read_find_bin(reader, in->text);
    change.place = change.bin >= 0 ? -1 : wg_read_find_place(reader, in->text);
    if (change.bin < 0 && change.place < 0) {
        wg_read_unknown_name(reader, in, true, true);
        return;
    }
    const bool bin = change.bin >= 0;
    refuse_settings_of_other(reader, map, bin);
    if (map->n <= 3 && !changes_something(map))
        wg_read_mistake(
            reader, map,
            "What is changed? Write for example heater: off, set_point: 65 degF, insulation: none or lid: screen.");
    if (timed)
        (bin ? change_bin : change_place)(reader, &change);
}

/* ---- the table ---- */

static const char *const action_words[] = {"collect crawl-off", "pull traps",    "set traps", "move",
                                           "scoop larvae",      "clear residue", "change",    NULL};
static void (*const action_readers[])(struct wg_scenario_reader *, const struct wg_yaml_node *) = {
    read_collect, read_pull, read_set_traps, read_move, read_scoop, read_clear, read_change};

static void read_action(struct wg_scenario_reader *reader, const struct wg_yaml_node *map) {
    if (map->kind != WG_YAML_MAP) {
        wg_read_mistake(reader, map,
                        "Here an action is needed, for example {do: collect crawl-off, in: trough, share: 80 %%}.");
        return;
    }
    const int i = wg_read_word(reader, wg_read_required(reader, map, "do", "an action", "do: collect crawl-off"),
                               "an action known here", action_words);
    if (i >= 0)
        action_readers[i](reader, map);
}

void wg_read_keeping(struct wg_scenario_reader *reader) {
    const struct wg_yaml_node *const list = wg_yaml_get(reader->root, "keeping");
    if (!wg_read_list(reader, list, "a list of actions", "keeping: [{do: collect crawl-off, in: trough, share: 80 %}]"))
        return;
    for (const struct wg_yaml_node *map = list->first; map != NULL; map = map->next)
        read_action(reader, map);
    const int n = reader->plan->n_actions;
    for (int i = 0; i < n; i++)
        if (reader->plan->actions[i].kind == WG_ACTION_LAY_IN_TRAPS)
            end_traps(reader, i);
}

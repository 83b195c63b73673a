/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Reads the keeper's actions besides feeding, with a hook for each action that needs more than its rows.
 */
#include "scenario/read.h"

#include <string.h>

/* ---- crawl-off, residue, larvae ---- */

static bool finish_scoop(struct wg_scenario_reader *reader, const struct wg_yaml_node *map, struct wg_action *action,
                         bool good) {
    const struct wg_yaml_node *const amount = wg_yaml_get(map, "amount"), *const share = wg_yaml_get(map, "share");
    if (amount != NULL && share != NULL)
        wg_read_mistake_key(reader, share, "Larvae are scooped by amount or by share, not both.");
    else if (amount == NULL && share == NULL)
        wg_read_mistake(reader, map, "Scooping needs an amount or a share. Write amount: 1 lb, or share: 20 %%.");
    else if (amount == NULL)
        action->as.scoop.mass_kg = -1;
    const struct wg_yaml_node *const leave = wg_yaml_get(map, "leave");
    if (leave != NULL && share != NULL)
        wg_read_mistake_key(reader, leave,
                            "A share leaves the rest. \"leave\" goes with an amount, as in amount: 1 lb.");
    const bool all = amount != NULL && amount->kind == WG_YAML_TEXT &&
                     (strcmp(amount->text, "all") == 0 || strcmp(amount->text, "everything") == 0);
    if (all)
        wg_read_mistake(reader, amount, "To take all larvae, write share: 100 %% instead of the amount.");
    const bool has_no_number =
        !all && amount != NULL && amount->kind == WG_YAML_TEXT && strpbrk(amount->text, "0123456789") == NULL;
    if (has_no_number && amount->text[0] != '\0')
        wg_read_mistake(reader, amount,
                        "How much do you need? Write for example amount: 1 lb a day; less is taken if less is there.");
    if (all || has_no_number || (amount == NULL) == (share == NULL))
        return false;
    if (amount != NULL)
        good &= wg_read_amount(reader, map, wg_schema_find(WG_GROUP_SCOOP, "amount"), action->every,
                               &action->as.scoop.mass_kg);
    return good && (leave == NULL || share == NULL);
}

/* ---- egg traps ---- */

/* Checks that exactly one of put_in and carry_off says where the eggs go. */
static bool read_destination(struct wg_scenario_reader *reader, const struct wg_yaml_node *map, int put_in) {
    const struct wg_yaml_node *const bin = wg_yaml_get(map, "put_in"), *const off = wg_yaml_get(map, "carry_off");
    bool carry_off = false;
    if (wg_read_key(reader, map, WG_GROUP_PULL_TRAPS, "carry_off", &carry_off) == WG_READ_WRONG)
        return false;
    if (carry_off && bin != NULL) {
        wg_read_mistake_key(reader, off,
                            "The eggs are put in a bin or carried off, not both. Keep one of the two keys.");
        return false;
    }
    if (!carry_off && bin == NULL) {
        wg_read_mistake(reader, map, "Where do the eggs go? Write put_in: trough, or carry_off: yes.");
        return false;
    }
    return carry_off || put_in >= 0;
}

/* Traps that hang only on the day on which they are pulled, in the morning, catch no eggs. */
static bool refuse_one_day(struct wg_scenario_reader *reader, const struct wg_yaml_node *map) {
    const struct wg_yaml_node *const share = wg_yaml_get(map, "share_laid_in_traps"), *const on =
                                                                                          wg_yaml_get(map, "on");
    int32_t day;
    if (share == NULL || on == NULL || wg_read_key(reader, map, WG_GROUP_PULL_TRAPS, "on", &day) != WG_READ_GOOD)
        return false;
    char from[11], to[11];
    wg_day_format(day - 7, from);
    wg_day_format(day, to);
    wg_read_mistake_key(
        reader, share,
        "When are the traps hung up? Eggs are laid in them on the days before they are pulled. Instead of "
        "\"on\" write for example from: %s, to: %s, every: 3 days.",
        from, to);
    return true;
}

static bool finish_pull(struct wg_scenario_reader *reader, const struct wg_yaml_node *map, struct wg_action *pull,
                        bool good) {
    double share;
    if (wg_yaml_get(map, "put_in") == NULL)
        pull->as.pull.put_in = -1;
    good &= read_destination(reader, map, pull->as.pull.put_in);
    return good && wg_read_key(reader, map, WG_GROUP_PULL_TRAPS, "share_laid_in_traps", &share) != WG_READ_WRONG;
}

/* With share_laid_in_traps the action also sets the traps. */
static void add_hung_traps(struct wg_scenario_reader *reader, const struct wg_yaml_node *map,
                           const struct wg_action *pull) {
    struct wg_action lay = *pull;
    lay.kind = WG_ACTION_LAY_IN_TRAPS;
    lay.every = 1;
    lay.cue = WG_CUE_NONE;
    if (wg_read_key(reader, map, WG_GROUP_PULL_TRAPS, "share_laid_in_traps", &lay.as.traps.share) == WG_READ_GOOD)
        wg_read_add_action(reader, map, lay);
}

/* Returns the index of the pull of a place's traps in force on a day, or else of the latest before it, or -1. */
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

/* Whether another line of the plan keeps the traps hanging. */
static bool traps_continue(const struct wg_plan *plan, const struct wg_action *traps) {
    for (int i = 0; i < plan->n_actions; i++)
        if (plan->actions[i].kind == WG_ACTION_LAY_IN_TRAPS && plan->actions[i].place == traps->place &&
            plan->actions[i].from == traps->to + 1)
            return true;
    return false;
}

/* Traps taken down before the end of the period are pulled that morning and catch no more eggs. */
static void end_traps(struct wg_scenario_reader *reader, int traps) {
    const struct wg_plan *const plan = reader->plan;
    const int32_t day = plan->actions[traps].to;
    const int found = find_pull(plan, plan->actions[traps].place, day);
    if (day >= plan->last_day || found < 0 || traps_continue(plan, &plan->actions[traps]))
        return;
    if (day == plan->actions[traps].from) {
        wg_read_mistake(
            reader, reader->action_at[traps],
            "These traps go up and come down on the same day, so they catch no eggs. Write a later \"to\".");
        return;
    }
    plan->actions[traps].to = day - 1;
    struct wg_action last = plan->actions[found];
    if (wg_action_is_due(&last, day) && last.cue == WG_CUE_NONE)
        return;
    last.cue = WG_CUE_NONE;
    last.from = last.to = day;
    last.every = 1;
    wg_read_add_action(reader, reader->action_at[traps], last);
}

/* ---- larvae and prepupae ---- */

/* Prepupae are in the ground of a place, so the name of a bin means its place. */
static int read_ground_place(struct wg_scenario_reader *reader, const struct wg_yaml_node *map, const char *key) {
    const struct wg_yaml_node *const node = wg_read_required(reader, map, WG_GROUP_MOVE, key);
    if (wg_read_text(reader, node, "the name of a place", "shed") == NULL)
        return -1;
    const int bin = wg_read_find_bin(reader, node->text);
    const int place = bin >= 0 ? reader->plan->bins[bin].place : wg_read_find_place(reader, node->text);
    if (place < 0)
        wg_read_unknown_name(reader, node, false, true);
    return place;
}

static int read_move_end(struct wg_scenario_reader *reader, const struct wg_yaml_node *map, const char *key,
                         bool ground) {
    struct wg_key bin = *wg_schema_find(WG_GROUP_MOVE, key);
    int found = -1;
    bin.kind = WG_KEY_BIN;
    if (ground)
        return read_ground_place(reader, map, key);
    return wg_read_value(reader, wg_read_required(reader, map, WG_GROUP_MOVE, key), &bin, &found) ? found : -1;
}

/* An end of a move of everything: a bin and its place, or a place (bin -1). */
struct move_end {
    int bin, place;
};

static bool read_everything_end(struct wg_scenario_reader *reader, const struct wg_yaml_node *map, const char *key,
                                struct move_end *end) {
    const struct wg_yaml_node *const node = wg_read_required(reader, map, WG_GROUP_MOVE, key);
    if (wg_read_text(reader, node, "the name of a bin or place", "shed") == NULL)
        return false;
    end->bin = wg_read_find_bin(reader, node->text);
    end->place = end->bin >= 0 ? reader->plan->bins[end->bin].place : wg_read_find_place(reader, node->text);
    if (end->place < 0)
        wg_read_unknown_name(reader, node, true, true);
    return end->place >= 0;
}

static int count_bins(const struct wg_plan *plan, int place) {
    int n = 0;
    for (int b = 0; b < plan->n_bins; b++)
        n += plan->bins[b].place == place;
    return n;
}

/* Eggs and larvae need one bin to go to. */
static bool find_receiving_bin(struct wg_scenario_reader *reader, const struct wg_yaml_node *at, struct move_end *to) {
    const struct wg_plan *const plan = reader->plan;
    const int n = count_bins(plan, to->place);
    if (to->bin >= 0)
        return true;
    for (int b = plan->n_bins - 1; b >= 0; b--)
        to->bin = plan->bins[b].place == to->place ? b : to->bin;
    if (n == 0)
        wg_read_mistake(reader, at, "There is no bin in \"%s\" to put eggs and larvae into. Give the place a bin.",
                        plan->places[to->place].name);
    else if (n > 1)
        wg_read_mistake(reader, at,
                        "There are %d bins in \"%s\". Name the one that gets the animals, for example to: %s.", n,
                        plan->places[to->place].name, plan->bins[to->bin].name);
    return n == 1;
}

/* Adds the moves of eggs and larvae out of each bin, and of prepupae and pupae if no other bin shares their ground. */
static void add_moves_of_everything(struct wg_scenario_reader *reader, const struct wg_yaml_node *map,
                                    const struct wg_action *action, struct move_end from, struct move_end to) {
    const struct wg_plan *const plan = reader->plan;
    struct wg_action move = *action;
    int n = 0;
    move.as.move.job = plan->n_actions + 1; /* no other job begins at this number of actions */
    for (int b = 0; b < plan->n_bins; b++) {
        if (plan->bins[b].place != from.place || (from.bin >= 0 && b != from.bin) || b == to.bin)
            continue;
        move.bin = b;
        move.as.move.to_bin = to.bin;
        for (int what = WG_MOVABLE_EGGS; what <= WG_MOVABLE_LARVAE; what++, n++) {
            move.as.move.what = (enum wg_movable)what;
            wg_read_add_action(reader, map, move);
        }
    }
    if (from.place != to.place && (from.bin < 0 || count_bins(plan, from.place) == 1)) {
        move.as.move.what = WG_MOVABLE_PREPUPAE;
        move.bin = move.as.move.to_bin = -1;
        move.place = from.place;
        move.as.move.to_place = to.place;
        wg_read_add_action(reader, map, move);
        n++;
    }
    if (n == 0)
        wg_read_mistake(reader, wg_yaml_get(map, "to"),
                        "The animals are there already: \"from\" and \"to\" must differ.");
}

static bool move_everything(struct wg_scenario_reader *reader, const struct wg_yaml_node *map, struct wg_action *action,
                            bool good) {
    struct move_end from, to;
    good &= read_everything_end(reader, map, "from", &from);
    good = read_everything_end(reader, map, "to", &to) && good;
    if (good && find_receiving_bin(reader, wg_yaml_get(map, "to"), &to))
        add_moves_of_everything(reader, map, action, from, to);
    return false; /* it has added its moves itself */
}

/* Reports "all" and the like in place of everything. */
static bool is_all(struct wg_scenario_reader *reader, const struct wg_yaml_node *what) {
    static const char *const words[] = {"all", "all of it", "every", "everyone", "the lot", "colony", "all animals"};
    for (size_t i = 0; what != NULL && what->kind == WG_YAML_TEXT && i < sizeof words / sizeof *words; i++)
        if (strcmp(what->text, words[i]) == 0) {
            wg_read_mistake(reader, what, "To move eggs, larvae, prepupae and pupae, write what: everything.");
            return true;
        }
    return false;
}

static bool finish_move(struct wg_scenario_reader *reader, const struct wg_yaml_node *map, struct wg_action *action,
                        bool good) {
    static const enum wg_movable whats_mean[] = {WG_MOVABLE_LARVAE, WG_MOVABLE_PREPUPAE, WG_MOVABLE_EGGS};
    int i;
    if (is_all(reader, wg_yaml_get(map, "what")) || wg_read_key(reader, map, WG_GROUP_MOVE, "what", &i) != WG_READ_GOOD)
        return false;
    action->as.move.to_bin = action->as.move.to_place = -1;
    if (i == (int)(sizeof whats_mean / sizeof *whats_mean))
        return move_everything(reader, map, action, good);
    action->as.move.what = whats_mean[i];
    const bool ground = action->as.move.what == WG_MOVABLE_PREPUPAE;
    const int from = read_move_end(reader, map, "from", ground), to = read_move_end(reader, map, "to", ground);
    if (from >= 0 && from == to) {
        wg_read_mistake(reader, wg_yaml_get(map, "to"),
                        ground ? "Prepupae are in the ground of a place, and these two names mean the same place."
                               : "The animals are in this bin already: \"from\" and \"to\" must differ.");
        return false;
    }
    *(ground ? &action->place : &action->bin) = from;
    *(ground ? &action->as.move.to_place : &action->as.move.to_bin) = to;
    if (good && from >= 0 && to >= 0)
        wg_read_add_action(reader, map, *action);
    return false; /* it has no targets of "in" */
}

/* ---- changes of a setting ---- */

struct change {
    const struct wg_yaml_node *map;
    struct wg_action action; /* its days, and its bin or place */
    bool good;               /* the days are */
};

static void add_setting(struct wg_scenario_reader *reader, const struct change *change, enum wg_setting_key key,
                        double value, enum wg_lid lid) {
    struct wg_action action = change->action;
    action.as.set.key = key;
    action.as.set.value = value;
    action.as.set.lid = lid;
    wg_read_add_action(reader, change->map, action);
}

static void add_foam_change(struct wg_scenario_reader *reader, const struct change *change, double u_w_m2k,
                            double foam_m) {
    struct change foamed = *change;
    foamed.action.as.set.foam_given = true;
    foamed.action.as.set.foam_m = foam_m;
    add_setting(reader, &foamed, WG_SET_BIN_U, u_w_m2k, WG_LID_CLOSED);
}

/* heater: on, heater: off, mat: on, mat: off */
static void change_switch(struct wg_scenario_reader *reader, const struct change *change, const char *key,
                          bool has_device, enum wg_setting_key setting) {
    const struct wg_yaml_node *const node = wg_yaml_get(change->map, key);
    bool on;
    if (node == NULL)
        return;
    if (!has_device)
        wg_read_mistake_key(reader, node, "There is no %s here to switch. Give the %s one first.", key,
                            change->action.bin >= 0 ? "bin" : "place");
    else if (node->kind == WG_YAML_TEXT && strcmp(node->text, "on") != 0 && strcmp(node->text, "off") != 0)
        wg_read_mistake(reader, node, "\"%.40s\" is neither on nor off.", node->text);
    else if (wg_read_key(reader, change->map, WG_GROUP_CHANGE, key, &on) == WG_READ_GOOD)
        add_setting(reader, change, setting, on, WG_LID_CLOSED);
}

/* Whether a plan says set_point: off of a place or bin: then any other set point switches it on. */
static bool is_ever_off(const struct wg_scenario_reader *reader, const struct change *change, bool starts_off) {
    const struct wg_yaml_node *const list = wg_yaml_get(reader->root, "keeping");
    const char *const in = wg_yaml_get(change->map, "in")->text;
    bool off = starts_off;
    for (const struct wg_yaml_node *map = list->first; map != NULL; map = map->next)
        off = off ||
              (wg_read_is_word(wg_yaml_get(map, "in"), in) && wg_read_is_word(wg_yaml_get(map, "set_point"), "off"));
    return off;
}

/* Adds a set point; "off" switches off, and a set point after it switches on. */
static void add_set_point(struct wg_scenario_reader *reader, const struct change *change,
                          const struct wg_heater_spec *heater, double set_point_c) {
    const bool is_bin = change->action.bin >= 0, is_off = wg_read_is_word(wg_yaml_get(change->map, "set_point"), "off");
    if (!is_off)
        add_setting(reader, change, is_bin ? WG_SET_MAT_SET_POINT : WG_SET_SET_POINT, set_point_c, WG_LID_CLOSED);
    if (wg_yaml_get(change->map, is_bin ? "mat" : "heater") == NULL && is_ever_off(reader, change, heater->starts_off))
        add_setting(reader, change, is_bin ? WG_SET_MAT : WG_SET_HEATER, !is_off, WG_LID_CLOSED);
}

static void change_place(struct wg_scenario_reader *reader, const struct change *change) {
    const struct wg_place_plan *const place = &reader->plan->places[change->action.place];
    const bool heated = reader->has_heater[change->action.place];
    change_switch(reader, change, "heater", heated, WG_SET_HEATER);
    const struct wg_yaml_node *const node = wg_yaml_get(change->map, "set_point");
    double set_point_c;
    if (node != NULL && !heated)
        wg_read_mistake_key(reader, node, "There is no heater here to set. Give the place one first.");
    else if (wg_read_key(reader, change->map, WG_GROUP_CHANGE, "set_point", &set_point_c) == WG_READ_GOOD) {
        if (place->shelter.vent_air_changes > 0 && set_point_c >= place->shelter.vent_above_c)
            wg_read_mistake(reader, node,
                            "This set point is not below the temperature at which the vents open. The heater would "
                            "heat the open air.");
        else
            add_set_point(reader, change, &place->heater, set_point_c);
    }
}

static void change_bin(struct wg_scenario_reader *reader, const struct change *change) {
    const struct wg_bin_plan *const bin = &reader->plan->bins[change->action.bin];
    const enum wg_housing_kind kind = reader->plan->places[bin->place].shelter.kind;
    const bool warmed = bin->spec.mat.power_w > 0;
    change_switch(reader, change, "mat", warmed, WG_SET_MAT);
    const struct wg_yaml_node *const node = wg_yaml_get(change->map, "set_point");
    struct wg_key set_point = *wg_schema_find(WG_GROUP_CHANGE, "set_point");
    enum wg_lid lid = WG_LID_CLOSED;
    double value;
    set_point.most = WG_MAX_MAT_SET_POINT_C;
    if (node != NULL && !warmed)
        wg_read_mistake_key(reader, node, "This bin has no mat to set. Give the bin one first.");
    else if (wg_read_value(reader, node, &set_point, &value))
        add_set_point(reader, change, &bin->spec.mat, value);
    if (wg_read_key(reader, change->map, WG_GROUP_CHANGE, "insulation", &value) == WG_READ_GOOD) {
        struct wg_bin_spec other;
        wg_bin_defaults(&other, kind, bin->spec.volume_m3, value);
        add_foam_change(reader, change, other.u_w_m2k, value);
    }
    if (wg_read_lid(reader, change->map, WG_GROUP_CHANGE, bin->spec.closed_lid, &lid, &value))
        add_setting(reader, change, WG_SET_BIN_LID, value, lid);
}

/* How many keys of the map say what is done, where and when. */
static int timing_keys(const struct wg_yaml_node *map) {
    static const char *const keys[] = {"do", "in", "on", "when", "earliest", "latest"};
    int n = 0;
    for (size_t i = 0; i < sizeof keys / sizeof *keys; i++)
        n += wg_yaml_get(map, keys[i]) != NULL;
    return n;
}

static bool changes_something(const struct wg_yaml_node *map) {
    static const char *const settings[] = {"heater", "set_point", "mat", "insulation", "lid"};
    for (size_t i = 0; i < sizeof settings / sizeof *settings; i++)
        if (wg_yaml_get(map, settings[i]) != NULL)
            return true;
    return false;
}

/* Refuses settings of a bin for a place, and of a place for a bin. */
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

/* Changes one bin or place by its name. */
static void change_named(struct wg_scenario_reader *reader, const struct wg_yaml_node *in, struct change *change) {
    if (wg_read_text(reader, in, "the name of a bin or place", "trough") == NULL)
        return;
    change->action.bin = wg_read_find_bin(reader, in->text);
    change->action.place = change->action.bin >= 0 ? -1 : wg_read_find_place(reader, in->text);
    if (change->action.bin < 0 && change->action.place < 0) {
        wg_read_unknown_name(reader, in, true, true);
        return;
    }
    refuse_settings_of_other(reader, change->map, change->action.bin >= 0);
    if (change->good)
        (change->action.bin >= 0 ? change_bin : change_place)(reader, change);
}

/* Changes every bin with a mat if the change is of mats, every bin if it is of bins, else every place with a heater. */
static void change_all(struct wg_scenario_reader *reader, const struct wg_yaml_node *in, struct change *change) {
    const struct wg_plan *const plan = reader->plan;
    const bool of_bins = wg_yaml_get(change->map, "insulation") != NULL || wg_yaml_get(change->map, "lid") != NULL;
    const bool of_mats = wg_yaml_get(change->map, "mat") != NULL;
    int changed = 0;
    refuse_settings_of_other(reader, change->map, of_bins || of_mats);
    for (int b = 0; (of_bins || of_mats) && b < plan->n_bins; b++) {
        change->action.bin = b;
        change->action.place = -1;
        if (change->good && (of_bins || plan->bins[b].spec.mat.power_w > 0))
            change_bin(reader, change);
        changed += of_bins || plan->bins[b].spec.mat.power_w > 0;
    }
    for (int p = 0; !of_bins && !of_mats && p < plan->n_places; p++) {
        change->action.bin = -1;
        change->action.place = p;
        if (change->good && reader->has_heater[p])
            change_place(reader, change);
        changed += reader->has_heater[p];
    }
    if (changed == 0)
        wg_read_mistake(reader, in,
                        of_mats ? "No bin has a mat. Give the bins mats first, or name what you mean."
                                : "No place has a heater. Name the bins or places that you mean.");
}

static bool finish_change(struct wg_scenario_reader *reader, const struct wg_yaml_node *map, struct wg_action *action,
                          bool good) {
    const struct wg_yaml_node *const in = wg_read_required(reader, map, WG_GROUP_CHANGE, "in");
    struct change change = {.map = map, .action = *action, .good = good};
    if (in != NULL && (int)map->n <= timing_keys(map) && !changes_something(map))
        wg_read_mistake(
            reader, map,
            "What changes? Write for example heater: off, set_point: 65 degF, insulation: none or lid: screen.");
    if (in != NULL && in->kind == WG_YAML_LIST)
        for (const struct wg_yaml_node *item = in->first; item != NULL; item = item->next)
            change_named(reader, item, &change);
    else if (in != NULL && in->kind == WG_YAML_TEXT && strcmp(in->text, "all") == 0 &&
             wg_read_find_bin(reader, "all") < 0 && wg_read_find_place(reader, "all") < 0)
        change_all(reader, in, &change);
    else
        change_named(reader, in, &change);
    return false; /* it has added one action for each setting itself */
}

/* ---- the actions ---- */

/* In the order of the words of `do`. */
static const struct action_hook {
    enum wg_action_kind kind;
    bool (*finish)(struct wg_scenario_reader *reader, const struct wg_yaml_node *map, struct wg_action *action,
                   bool good);
} action_hooks[] = {
    {WG_ACTION_COLLECT, NULL},      {WG_ACTION_PULL_TRAPS, finish_pull}, {WG_ACTION_LAY_IN_TRAPS, NULL},
    {WG_ACTION_MOVE, finish_move},  {WG_ACTION_SCOOP, finish_scoop},     {WG_ACTION_CLEAR, NULL},
    {WG_ACTION_SET, finish_change},
};

/* Adds the action once for each of its bins or places; a move or a change has added its own. */
static void add_at_targets(struct wg_scenario_reader *reader, const struct wg_yaml_node *map,
                           const struct wg_action *action, const struct wg_targets *targets) {
    const bool in_place = action->kind == WG_ACTION_PULL_TRAPS || action->kind == WG_ACTION_LAY_IN_TRAPS;
    for (int i = 0; i < targets->n; i++) {
        struct wg_action one = *action;
        *(in_place ? &one.place : &one.bin) = targets->index[i];
        if (one.kind == WG_ACTION_PULL_TRAPS)
            add_hung_traps(reader, map, &one);
        wg_read_add_action(reader, map, one);
    }
}

static void read_known_action(struct wg_scenario_reader *reader, const struct wg_yaml_node *map,
                              enum wg_group_id group) {
    const struct action_hook *const hook = &action_hooks[group - WG_GROUP_COLLECT];
    struct wg_action action = {.kind = hook->kind, .bin = -1, .place = -1};
    if (!wg_read_group(reader, map, group) || (hook->finish == finish_pull && refuse_one_day(reader, map)))
        return;
    if (hook->kind == WG_ACTION_MOVE)
        action.as.move.share = 1;
    else if (hook->kind == WG_ACTION_CLEAR)
        action.as.clear.share = 1;
    struct wg_targets targets = {0};
    const struct wg_key *const on = wg_schema_find(group, "on");
    const bool is_never = on != NULL && on->words != NULL && wg_read_is_word(wg_yaml_get(map, "on"), "never");
    bool good = !is_never && wg_read_timing(reader, map, group, &action);
    if (hook->kind != WG_ACTION_MOVE && hook->kind != WG_ACTION_SET)
        good &= wg_read_targets(reader, map, group, &targets);
    good &= wg_read_members(reader, map, group, &action);
    if (hook->kind == WG_ACTION_COLLECT)
        action.as.collect.give_back_given = wg_yaml_get(map, "give_back") != NULL;
    if (hook->finish != NULL ? hook->finish(reader, map, &action, good) : good)
        add_at_targets(reader, map, &action, &targets);
}

/* Reports an action without "do"; its key may be the action itself, as in {move: everything}. */
static void report_no_do(struct wg_scenario_reader *reader, const struct wg_yaml_node *map, const struct wg_key *key) {
    const char *word = key->example;
    for (const struct wg_yaml_node *value = map->first; value != NULL; value = value->next)
        word = wg_schema_action(value->key->text) >= 0 ? value->key->text : word;
    wg_read_mistake(reader, map, "An action needs \"do\". Write for example do: %s.%s", word,
                    strcmp(word, "move") == 0
                        ? " For all of them: {do: move, what: everything, from: trough, to: shed, "
                          "on: 01-10}."
                        : "");
}

static void read_action(struct wg_scenario_reader *reader, const struct wg_yaml_node *map) {
    if (map->kind != WG_YAML_MAP) {
        wg_read_mistake(reader, map,
                        "Write an action here, for example {do: collect crawl-off, in: trough, share: 80 %%}.");
        return;
    }
    const struct wg_key *const key = wg_schema_find(WG_GROUP_COLLECT, "do");
    const struct wg_yaml_node *const node = wg_yaml_get(map, "do");
    int i;
    if (node == NULL)
        report_no_do(reader, map, key);
    else if (node->kind == WG_YAML_TEXT && strncmp(node->text, "move ", 5) == 0)
        wg_read_mistake(reader, node,
                        "What is moved stands by itself: write do: move, what: everything (or larvae, "
                        "prepupae, eggs).");
    else if (wg_read_value(reader, node, key, &i))
        read_known_action(reader, map, (enum wg_group_id)((int)WG_GROUP_COLLECT + i));
}

void wg_read_keeping(struct wg_scenario_reader *reader) {
    const struct wg_yaml_node *const list = wg_yaml_get(reader->root, "keeping");
    if (!wg_read_list(reader, reader->root, WG_GROUP_SCENARIO, "keeping"))
        return;
    for (const struct wg_yaml_node *map = list->first; map != NULL; map = map->next)
        read_action(reader, map);
    const int n = reader->plan->n_actions;
    reader->yearly.is_given = false;
    for (int i = 0; i < n; i++)
        if (reader->plan->actions[i].kind == WG_ACTION_LAY_IN_TRAPS)
            end_traps(reader, i);
}

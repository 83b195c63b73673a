/*
 * Writes the plan part by part, in the order of wintergrub help scenario.
 *
 * Numbers that no question asks are common practice: a ramp catches 80 % of the crawl-off, six eggs of ten are laid in
 * traps, lamps take 100 W.
 */
#include "asking/plan_text.h"

#include "base/calendar.h"
#include "climate/sketch.h"

#include <stdio.h>
#include <string.h>

#define MOST_STAYS 8 /* two years have at most five */
#define MOST_BINS 4

/* Days that the larvae spend at one place. */
struct stay {
    int32_t first, last;
    bool is_inside; /* in the shed that they are carried into */
};

struct plan_writer {
    const struct wg_answers *answers;
    struct wg_bytes *out;
    char from[WG_ANSWER_SIZE], to[WG_ANSWER_SIZE];
    int n_bins, n_stays;
    struct stay stay[MOST_STAYS];
};

/* ---- values ---- */

static bool is_plain_scalar(const char *text) {
    static const char plain[] = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789 .%$/-";
    return text[0] != '\0' && strchr(" %-", text[0]) == NULL && strspn(text, plain) == strlen(text);
}

static void write_scalar(struct wg_bytes *out, const char *text) {
    if (is_plain_scalar(text)) {
        wg_bytes_put(out, text);
        return;
    }
    wg_bytes_put(out, "\"");
    for (; *text != '\0'; text++) {
        if (*text == '"' || *text == '\\')
            wg_bytes_put(out, "\\");
        wg_bytes_add(out, text, 1);
    }
    wg_bytes_put(out, "\"");
}

/* Writes the text before the answer, and the answer. */
static void write_answered(struct plan_writer *writer, const char *before, enum wg_question_id id) {
    char answer[WG_ANSWER_SIZE];
    wg_answer(writer->answers, id, answer);
    wg_bytes_put(writer->out, before);
    write_scalar(writer->out, answer);
}

static bool writer_has(const struct plan_writer *writer, enum wg_question_id id, const char *word) {
    return wg_question_applies(writer->answers, id) && wg_answer_is(writer->answers, id, word);
}

static bool is_south(const struct plan_writer *writer) {
    return wg_question_applies(writer->answers, WG_ASK_LATITUDE) && writer->answers->latitude_deg < 0;
}

/* ---- time ---- */

/* The day before the same day so many months later. */
static int32_t last_day_ahead(int32_t first, int months) {
    struct wg_date date = wg_date_from_day(first);
    date.year += (date.month - 1 + months) / 12;
    date.month = (date.month - 1 + months) % 12 + 1;
    const int month_days = wg_month_length(date.year, date.month);
    date.day = date.day < month_days ? date.day : month_days;
    return wg_day_from_date(date) - 1;
}

static int months_ahead(const struct wg_answers *answers) {
    static const struct {
        const char *length;
        int months;
    } known[] = {{"6 months", 6}, {"1 year", 12}, {"14 months", 14}, {"2 years", 24}};
    int months = 12;
    for (size_t i = 0; i < sizeof known / sizeof *known; i++)
        if (wg_answer_is(answers, WG_ASK_LENGTH, known[i].length))
            months = known[i].months;
    return months;
}

/* The first day of the next stay: larvae go in on 1 November and out on 15 April, in the south half a year later. */
static int32_t next_move(int32_t day, bool *is_inside, bool south) {
    const struct wg_date in = {0, south ? 5 : 11, 1}, back = {0, south ? 10 : 4, 15};
    const int year = wg_date_from_day(day).year;
    int32_t next = WG_DAY_LAST;
    for (int y = year; y <= year + 1; y++) {
        const int32_t goes_in = wg_day_from_date((struct wg_date){y, in.month, in.day});
        const int32_t goes_back = wg_day_from_date((struct wg_date){y, back.month, back.day});
        if (goes_in > day && goes_in < next) {
            next = goes_in;
            *is_inside = false;
        }
        if (goes_back > day && goes_back < next) {
            next = goes_back;
            *is_inside = true;
        }
    }
    return next;
}

static void find_stays(struct plan_writer *writer, int32_t first, int32_t last) {
    writer->n_stays = 0;
    for (int32_t day = first; day <= last && writer->n_stays < MOST_STAYS;) {
        struct stay *const stay = &writer->stay[writer->n_stays++];
        *stay = (struct stay){day, last, false};
        if (!wg_answers_move_in(writer->answers))
            return;
        day = next_move(day, &stay->is_inside, is_south(writer));
        stay->last = day - 1 < last ? day - 1 : last;
    }
}

/* A first day that is no date is left to the reader, which says so. */
static void set_period(struct plan_writer *writer) {
    int32_t first;
    wg_answer(writer->answers, WG_ASK_START, writer->from);
    (void)snprintf(writer->to, sizeof writer->to, "%s", writer->from);
    if (wg_day_parse(writer->from, &first) < 0 || first > WG_DAY_LAST - 2000)
        return;
    const int32_t last = last_day_ahead(first, months_ahead(writer->answers));
    wg_day_format(last, writer->to);
    find_stays(writer, first, last);
}

/* Writes ", from: ..., to: ..." unless the larvae stay all the time. */
static void write_days(struct plan_writer *writer, const struct stay *stay) {
    char from[11], to[11];
    if (writer->n_stays < 2)
        return;
    wg_day_format(stay->first, from);
    wg_day_format(stay->last, to);
    wg_bytes_printf(writer->out, ", from: %s, to: %s", from, to);
}

/* ---- climate ---- */

static void write_sketch(struct plan_writer *writer) {
    char answer[WG_ANSWER_SIZE];
    const struct wg_sketch *sketch;
    wg_answer(writer->answers, WG_ASK_CLIMATE, answer);
    write_answered(writer, "  sketch: ", WG_ASK_CLIMATE);
    wg_bytes_put(writer->out, "\n");
    for (int i = 0; (sketch = wg_sketch_at(i)) != NULL; i++)
        if (strcmp(sketch->name, answer) == 0 && sketch->is_coast)
            wg_bytes_put(writer->out, "  coast: yes\n");
}

static void write_climate(struct plan_writer *writer) {
    struct wg_bytes *const out = writer->out;
    if (!wg_question_applies(writer->answers, WG_ASK_CLIMATE)) {
        wg_bytes_put(out, "# A room that is always as warm.\nclimate:\n");
        write_answered(writer, "  constant: ", WG_ASK_STEADY);
        wg_bytes_put(out, "\n\n");
        return;
    }
    const bool has_record = wg_answers_have_record(writer->answers);
    wg_bytes_put(out, has_record
                          ? "# The forecast draws years from the record.\n"
                          : "# An invented climate of this kind, for a first look. Better are normals of your own:\n"
                            "# wintergrub new --normals FILE makes them from a daily record.\n");
    write_answered(writer, "climate:\n  latitude: ", WG_ASK_LATITUDE);
    write_answered(writer, "\n  elevation: ", WG_ASK_ELEVATION);
    wg_bytes_put(out, "\n");
    if (!has_record) {
        write_sketch(writer);
    } else {
        write_answered(writer, "  record: ", WG_ASK_CLIMATE);
        wg_bytes_put(out, "\n");
    }
    wg_bytes_put(out, "\n");
}

/* ---- places ---- */

/* Returns the name of bin i outdoors or where they live all year. */
static const char *bin_name(const struct plan_writer *writer, int i) {
    static const char *const names[MOST_BINS] = {"bin 1", "bin 2", "bin 3", "bin 4"};
    return writer->n_bins == 1 ? "bin" : names[i];
}

static const char *place_name(const struct plan_writer *writer) {
    static const char *const same[] = {"hoop house", "greenhouse", "shed"};
    for (size_t i = 0; i < sizeof same / sizeof *same; i++)
        if (wg_answer_is(writer->answers, WG_ASK_SHELTER, same[i]))
            return same[i];
    return wg_answer_is(writer->answers, WG_ASK_SHELTER, "outdoors") ? "yard" : "room";
}

static void write_price(struct plan_writer *writer) {
    if (!writer_has(writer, WG_ASK_PRICE, "unknown"))
        write_answered(writer, ", price: ", WG_ASK_PRICE);
}

static void write_heat_season(struct plan_writer *writer) {
    const bool south = is_south(writer);
    if (wg_answers_move_in(writer->answers))
        wg_bytes_put(writer->out, south ? ", from: 05-01, to: 10-14" : ", from: 11-01, to: 04-14");
    else if (writer_has(writer, WG_ASK_HEAT_SEASON, "winter"))
        wg_bytes_put(writer->out, south ? ", from: 04-01, to: 10-31" : ", from: 10-01, to: 04-30");
}

/* Writes the rest of a heater or mat. */
static void write_heater(struct plan_writer *writer, const char *before) {
    write_answered(writer, before, WG_ASK_SET_POINT);
    write_answered(writer, ", power: ", WG_ASK_POWER);
    write_price(writer);
    write_heat_season(writer);
    wg_bytes_put(writer->out, "}");
}

static void write_bin(struct plan_writer *writer, const char *name) {
    wg_bytes_printf(writer->out, "      - {name: %s", name);
    write_answered(writer, ", volume: ", WG_ASK_VOLUME);
    write_answered(writer, ", insulation: ", WG_ASK_INSULATION);
    if (writer_has(writer, WG_ASK_HEAT, "mat"))
        write_heater(writer, ",\n         mat: {set_point: ");
    wg_bytes_put(writer->out, "}\n");
}

static void write_house(struct plan_writer *writer, const char *kind) {
    wg_bytes_printf(writer->out, "    housing: {kind: %s", kind);
    write_answered(writer, ", floor: ", WG_ASK_FLOOR);
    if (!writer_has(writer, WG_ASK_LAMPS, "none")) {
        write_answered(writer, ",\n              lamps: {hours: ", WG_ASK_LAMPS);
        wg_bytes_put(writer->out, ", power: 100 W");
        write_price(writer);
        if (wg_answers_move_in(writer->answers))
            write_heat_season(writer);
        wg_bytes_put(writer->out, "}");
    }
    wg_bytes_put(writer->out, "}\n");
    if (wg_answers_move_in(writer->answers) || writer_has(writer, WG_ASK_HEAT, "room heater")) {
        write_heater(writer, "    heater: {set_point: ");
        wg_bytes_put(writer->out, "\n");
    }
}

static void write_places(struct plan_writer *writer) {
    struct wg_bytes *const out = writer->out;
    const bool moves_in = wg_answers_move_in(writer->answers);
    wg_bytes_put(out, "# More bins go below the first, each with a name of its own.\nplaces:\n");
    wg_bytes_printf(out, "  - name: %s\n", place_name(writer));
    if (wg_answer_is(writer->answers, WG_ASK_SHELTER, "outdoors"))
        wg_bytes_put(out, "    housing: outdoors\n");
    else if (wg_answer_is(writer->answers, WG_ASK_SHELTER, "steady room"))
        wg_bytes_put(out, "    housing: laboratory\n");
    else
        write_house(writer, place_name(writer));
    wg_bytes_put(out, "    bins:\n");
    for (int i = 0; i < writer->n_bins; i++)
        write_bin(writer, bin_name(writer, i));
    if (moves_in) {
        wg_bytes_put(out, "  - name: shed\n");
        write_house(writer, "shed");
        wg_bytes_put(out, "    bins:\n");
        write_bin(writer, "trough");
    }
    wg_bytes_put(out, "\n");
}

/* ---- animals and feed ---- */

/* True if the text is a number of animals; anything else is read as a weight. */
static bool is_count(const char *text) {
    return text[0] != '\0' && strspn(text, "0123456789,.-+ ") == strlen(text);
}

static int n_bins_of(const struct plan_writer *writer, const struct stay *stay) {
    return stay->is_inside ? 1 : writer->n_bins;
}

static const char *bin_of(const struct plan_writer *writer, const struct stay *stay, int i) {
    return stay->is_inside ? "trough" : bin_name(writer, i);
}

static void write_starter(struct plan_writer *writer) {
    static const char *const stages[][2] = {{"larvae", "larva, age: 5 days"}, {"eggs", "egg"}, {"prepupae", "prepupa"}};
    const char *stage = NULL;
    char number[WG_ANSWER_SIZE];
    for (size_t i = 0; i < sizeof stages / sizeof *stages; i++)
        if (wg_answer_is(writer->answers, WG_ASK_STAGE, stages[i][0]))
            stage = stages[i][1];
    if (stage == NULL)
        return;
    wg_answer(writer->answers, WG_ASK_NUMBER, number);
    wg_bytes_put(writer->out, "starter:\n");
    for (int i = 0; i < n_bins_of(writer, &writer->stay[0]); i++) {
        wg_bytes_put(writer->out, "  - {on: ");
        write_scalar(writer->out, writer->from);
        wg_bytes_printf(writer->out, ", in: %s, stage: %s, %s: ", bin_of(writer, &writer->stay[0], i), stage,
                        is_count(number) ? "count" : "weight");
        write_scalar(writer->out, number);
        wg_bytes_put(writer->out, "}\n");
    }
    wg_bytes_put(writer->out, "\n");
}

static void write_feeding(struct plan_writer *writer) {
    wg_bytes_put(writer->out,
                 "# \"wintergrub run --calendar\" shows how much they could eat in every week.\nfeeding:\n");
    for (int s = 0; s < writer->n_stays; s++)
        for (int i = 0; i < n_bins_of(writer, &writer->stay[s]); i++) {
            wg_bytes_printf(writer->out, "  - {in: %s", bin_of(writer, &writer->stay[s], i));
            write_answered(writer, ", what: ", WG_ASK_FEED);
            write_answered(writer, ", amount: ", WG_ASK_AMOUNT);
            write_answered(writer, ", every: ", WG_ASK_EVERY);
            write_days(writer, &writer->stay[s]);
            wg_bytes_put(writer->out, "}\n");
        }
    wg_bytes_put(writer->out, "\n");
}

/* ---- work ---- */

static void write_ramps(struct plan_writer *writer) {
    const bool moves_in = wg_answers_move_in(writer->answers);
    if (!wg_question_applies(writer->answers, WG_ASK_BACK))
        return;
    for (int i = 0; i < writer->n_bins + (moves_in ? 1 : 0); i++) {
        wg_bytes_printf(writer->out, "  - {do: collect crawl-off, in: %s, share: 80 %%",
                        i < writer->n_bins ? bin_name(writer, i) : "trough");
        write_answered(writer, ", give_back: ", WG_ASK_BACK);
        wg_bytes_put(writer->out, "}\n");
    }
}

static void write_scoops(struct plan_writer *writer, const struct stay *stay) {
    for (int i = 0; i < n_bins_of(writer, stay); i++) {
        wg_bytes_printf(writer->out, "  - {do: scoop larvae, in: %s, every: 7 days", bin_of(writer, stay, i));
        write_answered(writer, ", amount: ", WG_ASK_SCOOP);
        write_days(writer, stay);
        wg_bytes_put(writer->out, "}\n");
    }
}

static void write_traps(struct plan_writer *writer, const struct stay *stay) {
    wg_bytes_printf(writer->out, "  - {do: pull traps, in: %s, every: 3 days, put_in: %s, share_laid_in_traps: 60 %%",
                    stay->is_inside ? "shed" : place_name(writer), bin_of(writer, stay, 0));
    write_days(writer, stay);
    wg_bytes_put(writer->out, "}\n");
}

/* Carries larvae and prepupae to the place of the stay. */
static void write_move(struct plan_writer *writer, const struct stay *stay) {
    char on[11];
    wg_day_format(stay->first, on);
    if (stay->is_inside)
        for (int i = 0; i < writer->n_bins; i++)
            wg_bytes_printf(writer->out, "  - {do: move, on: %s, from: %s, to: trough, what: larvae}\n", on,
                            bin_name(writer, i));
    else
        wg_bytes_printf(writer->out, "  - {do: move, on: %s, from: trough, to: %s, what: larvae}\n", on,
                        bin_name(writer, 0));
    wg_bytes_printf(writer->out, "  - {do: move, on: %s, from: %s, to: %s, what: prepupae}\n", on,
                    stay->is_inside ? "yard" : "shed", stay->is_inside ? "shed" : "yard");
}

static void write_keeping(struct plan_writer *writer) {
    const struct wg_answers *const answers = writer->answers;
    const bool scoops = wg_question_applies(answers, WG_ASK_SCOOP), traps = wg_answer_is(answers, WG_ASK_TRAPS, "yes");
    if (!scoops && !traps && !wg_question_applies(answers, WG_ASK_BACK) && writer->n_stays < 2)
        return;
    wg_bytes_put(writer->out, "# More of this: \"wintergrub help scenario keeping\".\nkeeping:\n");
    write_ramps(writer);
    for (int s = 0; s < writer->n_stays; s++) {
        if (s > 0)
            write_move(writer, &writer->stay[s]);
        if (scoops)
            write_scoops(writer, &writer->stay[s]);
        if (traps)
            write_traps(writer, &writer->stay[s]);
    }
    wg_bytes_put(writer->out, "\n");
}

/* ---- the rest ---- */

static void write_wild(struct plan_writer *writer) {
    const bool many = writer_has(writer, WG_ASK_WILD, "many");
    if (many || writer_has(writer, WG_ASK_WILD, "a few") || writer_has(writer, WG_ASK_STAGE, "wild flies"))
        wg_bytes_printf(
            writer->out,
            "# Wild females that come to lay, at the peak of summer.\nwild_visitors: {peak: %d per day}\n\n",
            many ? 10 : 2);
}

static void write_goal(struct plan_writer *writer) {
    if (wg_answer_is(writer->answers, WG_ASK_GOAL, "just look"))
        return;
    wg_bytes_put(writer->out,
                 "# What you want, and how surely. \"wintergrub size\" finds the smallest starter for it.\ngoal:\n");
    if (wg_answer_is(writer->answers, WG_ASK_GOAL, "survive"))
        wg_bytes_put(writer->out, "  - {survive: yes, chance: 90 %}\n");
    else {
        write_answered(writer, "  - {harvest: ", WG_ASK_GOAL_AMOUNT);
        wg_bytes_put(writer->out, ", chance: 80 %}\n");
    }
    wg_bytes_put(writer->out, "\n");
}

static void write_head(struct plan_writer *writer) {
    write_answered(writer,
                   "# Made with wintergrub new; change what you like. \"wintergrub check\" shows how the plan\n"
                   "# is understood, \"wintergrub help scenario\" lists all that a plan may hold.\ntitle: ",
                   WG_ASK_NAME);
    wg_bytes_put(writer->out, "\n\nperiod: {from: ");
    write_scalar(writer->out, writer->from);
    wg_bytes_put(writer->out, ", to: ");
    write_scalar(writer->out, writer->to);
    wg_bytes_put(writer->out, "}     # both days included\n\n");
}

void wg_plan_text(const struct wg_answers *answers, struct wg_bytes *out) {
    char bins[WG_ANSWER_SIZE];
    struct plan_writer writer = {.answers = answers, .out = out, .n_stays = 1};
    wg_answer(answers, WG_ASK_BINS, bins);
    writer.n_bins = bins[0] >= '1' && bins[0] <= '0' + MOST_BINS ? bins[0] - '0' : 1;
    set_period(&writer);
    write_head(&writer);
    write_climate(&writer);
    write_places(&writer);
    write_starter(&writer);
    write_feeding(&writer);
    write_keeping(&writer);
    write_wild(&writer);
    write_goal(&writer);
    wg_bytes_put(out, "forecast: {replicates: 512, seed: 1}\n");
}

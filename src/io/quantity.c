/*
 * What does "3 lbs" or "1.2 Btu/(h ft2 degF)" amount to?
 *
 * number (ours) -> unit text in plain spelling (ours) -> udunits2 -> core unit.
 *
 * Why udunits is not handed the whole text: its grammar is a calculator
 * ("5 kg @ 3" is 8 kg; nan and hexadecimal pass), it takes F for farad, C for
 * coulomb, gal for a unit of acceleration and oz for a fluid ounce, and knows
 * neither kWh nor lbs. So words go through the table below first, and only
 * letters, / ( ) and small whole exponents are let through.
 */
#include "wintergrub/quantity.h"
#include "io/scenario_words.h"

#include <ctype.h>
#include <math.h>
#include <stdbool.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <strings.h>
#include <udunits2.h>

/* ---- what can be measured ---- */

struct show {
    const char *unit;
    double scale, offset; /* shown = core x scale + offset */
};

struct dimension {
    const char *name, *core, *example;
    bool bare;              /* a number without a unit will do */
    struct show metric, us; /* us.unit NULL: shown once */
};

/* Pounds, feet and degrees Fahrenheit are exact by definition (international yard and pound agreement, 1959). */
#define LB (1 / 0.45359237)
#define FT (1 / 0.3048)
#define GAL (1 / 3.785411784)
#define BTU (1 / 1055.05585262)

static const struct dimension dimensions[WG_N_DIMENSIONS] = {
    [WG_TEMPERATURE] = {"a temperature", "degC", "65 degF or 18.3 degC", false, {" degC", 1, 0}, {" degF", 1.8, 32}},
    [WG_TEMPERATURE_STEP] =
        {"a temperature difference", "K", "5 degF or 3 degC", false, {" degC", 1, 0}, {" degF", 1.8, 0}},
    [WG_MASS] = {"a weight", "kg", "3 lb or 1.4 kg", false, {" kg", 1, 0}, {" lb", LB, 0}},
    [WG_INSECT_MASS] = {"a weight", "g", "0.2 g", false, {" g", 1, 0}, {NULL, 0, 0}},
    [WG_MASS_RATE] = {"a weight per time", "kg/day", "12 lb/week", false, {" kg/day", 1, 0}, {" lb/day", LB, 0}},
    [WG_VOLUME] = {"a volume", "m3", "150 L or 40 gal", false, {" L", 1000, 0}, {" gal", 1000 * GAL, 0}},
    [WG_SPACE] = {"a volume", "m3", "28 m3 or 1000 ft3", false, {" m3", 1, 0}, {" ft3", FT *FT *FT, 0}},
    [WG_LENGTH] = {"a length", "m", "25 mm or 1 in", false, {" mm", 1000, 0}, {" in", 12 * FT, 0}},
    [WG_HEIGHT] = {"a height", "m", "60 m or 200 ft", false, {" m", 1, 0}, {" ft", FT, 0}},
    [WG_AREA] = {"an area", "m2", "18 m2 or 200 ft2", false, {" m2", 1, 0}, {" ft2", FT *FT, 0}},
    [WG_POWER] =
        {"a heating power", "W", "1500 W, 5 kW or 17000 Btu/h", false, {" W", 1, 0}, {" Btu/h", 3600 * BTU, 0}},
    [WG_U_VALUE] = {"a U value",
                    "W/(m2.K)",
                    "4 W/(m2 K) or 0.7 Btu/(h ft2 degF)",
                    false,
                    {" W/(m2 K)", 1, 0},
                    {" Btu/(h ft2 degF)", 1 / 5.678263341113488, 0}},
    [WG_R_VALUE] = {"an R value",
                    "m2.K/W",
                    "R-13 or 2.3 m2 K/W",
                    false,
                    {" m2 K/W", 1, 0},
                    {" h ft2 degF/Btu", 5.678263341113488, 0}},
    [WG_CONDUCTANCE] = {"a heat flow per degree", "W/K", "90 W/K", false, {" W/K", 1, 0}, {NULL, 0, 0}},
    [WG_HEAT_CAPACITY] = {"a heat capacity", "J/K", "5 MJ/K", false, {" MJ/K", 1e-6, 0}, {NULL, 0, 0}},
    [WG_PRICE] = {"a price of energy", "(kW.hour)-1", "0.15 per kWh", false, {" per kWh", 1, 0}, {NULL, 0, 0}},
    [WG_DAYS] = {"a time", "day", "3 days", false, {" days", 1, 0}, {NULL, 0, 0}},
    [WG_HOURS] = {"a time", "hour", "12 hours", false, {" hours", 1, 0}, {NULL, 0, 0}},
    [WG_SHARE] = {"a share", "1", "80 %", false, {" %", 100, 0}, {NULL, 0, 0}},
    [WG_PURE] = {"a plain number", "1", "0.25 or 25 %", true, {"", 1, 0}, {NULL, 0, 0}},
    [WG_COUNT] = {"a number of animals", "1", "10000", true, {"", 1, 0}, {NULL, 0, 0}},
    [WG_NUMBER_RATE] = {"a number per day", "day-1", "3 per day", false, {" per day", 1, 0}, {NULL, 0, 0}},
    [WG_PER_YEAR] = {"a number per year", "year-1", "2 or 2 per year", true, {" per year", 1, 0}, {NULL, 0, 0}},
    [WG_PER_HOUR] = {"a number of air changes", "hour-1", "1.5 per hour", false, {" per hour", 1, 0}, {NULL, 0, 0}},
    [WG_PER_KELVIN] = {"a number per degree", "K-1", "0.02 per degC", false, {" per degC", 1, 0}, {NULL, 0, 0}},
    [WG_ANGLE] = {"an angle", "degree", "32.4 degrees", false, {" degrees", 1, 0}, {NULL, 0, 0}},
    [WG_LIGHT] = {"a strength of light", "W/m2", "100 W/m2", false, {" W/m2", 1, 0}, {NULL, 0, 0}},
    [WG_HEAT_PER_MASS] = {"a heat per weight", "J/kg", "4.2 MJ/kg", false, {" MJ/kg", 1e-6, 0}, {NULL, 0, 0}},
    [WG_DEGREE_DAYS] = {"a heat sum", "K.day", "80 degC day", false, {" degC day", 1, 0}, {" degF day", 1.8, 0}},
};

const char *wg_dimension_name(enum wg_dimension dimension) {
    return dimensions[dimension].name;
}

const char *wg_dimension_example(enum wg_dimension dimension) {
    return dimensions[dimension].example;
}

int wg_dimension_of_unit(const char *unit) {
    static const struct {
        const char *unit;
        enum wg_dimension dimension;
    } table[] = {
        {"degC", WG_TEMPERATURE},
        {"K", WG_TEMPERATURE_STEP},
        {"day", WG_DAYS},
        {"1/day", WG_NUMBER_RATE},
        {"1", WG_PURE},
        {"g", WG_INSECT_MASS},
        {"1/K", WG_PER_KELVIN},
        {"W/m2", WG_LIGHT},
        {"h", WG_HOURS},
        {"J/kg", WG_HEAT_PER_MASS},
        {"degC day", WG_DEGREE_DAYS},
        {"eggs", WG_COUNT},
    };
    for (size_t i = 0; i < sizeof table / sizeof *table; i++)
        if (strcmp(table[i].unit, unit) == 0)
            return (int)table[i].dimension;
    return -1;
}

/* ---- spellings ---- */

/*
 * What people write, and what udunits calls it. degF and degC stand for themselves and become scale-only in a
 * difference or a compound. "?" in front: not taken, but the rest is what was probably meant.
 */
struct spelling {
    const char *written, *means;
};
/* clang-format off */
static const struct spelling spellings[] = {
    {"degF", "degF"}, {"fahrenheit", "degF"}, {"degC", "degC"}, {"celsius", "degC"}, {"centigrade", "degC"},
    {"F", "?degF"}, {"f", "?degF"}, {"C", "?degC"}, {"c", "?degC"}, {"lb", "lb"}, {"lbs", "lb"}, {"pound", "lb"},
    {"pounds", "lb"}, {"oz", "avoirdupois_ounce"}, {"ounce", "avoirdupois_ounce"}, {"ounces", "avoirdupois_ounce"},
    {"g", "g"}, {"gram", "g"}, {"grams", "g"}, {"kg", "kg"}, {"kgs", "kg"}, {"kilo", "kg"}, {"kilos", "kg"},
    {"t", "tonne"}, {"gal", "US_liquid_gallon"}, {"gallon", "US_liquid_gallon"}, {"gallons", "US_liquid_gallon"},
    {"L", "litre"}, {"l", "litre"}, {"liter", "litre"}, {"liters", "litre"}, {"litre", "litre"}, {"litres", "litre"},
    {"qt", "US_liquid_quart"}, {"in", "inch"}, {"inch", "inch"}, {"inches", "inch"}, {"ft", "ft"}, {"foot", "ft"},
    {"feet", "ft"}, {"sqft", "ft^2"}, {"cuft", "ft^3"}, {"m", "m"}, {"cm", "cm"}, {"mm", "mm"}, {"W", "W"},
    {"watt", "W"}, {"watts", "W"}, {"kW", "kW"}, {"kilowatt", "kW"}, {"kilowatts", "kW"}, {"kWh", "(kW.hour)"},
    {"Wh", "(W.hour)"}, {"MWh", "(MW.hour)"}, {"Btu", "Btu"}, {"Btus", "Btu"}, {"Btuh", "(Btu/hour)"},
    {"therm", "(1e5.Btu)"}, {"therms", "(1e5.Btu)"}, {"h", "hour"}, {"hr", "hour"}, {"hrs", "hour"}, {"hour", "hour"},
    {"hours", "hour"}, {"min", "minute"}, {"mins", "minute"}, {"d", "day"}, {"day", "day"}, {"days", "day"},
    {"wk", "week"}, {"wks", "week"}, {"week", "week"}, {"weeks", "week"}, {"yr", "year"}, {"yrs", "year"},
    {"year", "year"}, {"years", "year"}, {"%", "(0.01)"}, {"percent", "(0.01)"}, {"deg", "degree"},
    {"degree", "degree"}, {"degrees", "degree"}, {"K", "K"}, {"kelvin", "K"}, {"ACH", "(1/hour)"}, {"$", "1"},
    {"USD", "1"}, {"EUR", "1"}, {"GBP", "1"}, {"\xE2\x82\xAC", "1"}, {"\xC2\xA3", "1"}, {"dollar", "1"},
    {"dollars", "1"}, {"euro", "1"}, {"euros", "1"}, {"ct", "(0.01)"}, {"cent", "(0.01)"}, {"cents", "(0.01)"},
    {"eggs", "1"}, {"larvae", "1"}, {"prepupae", "1"}, {"flies", "1"}, {"times", "1"}, {"\xC2\xB0", "degree"},
    {"\xC2\xB0" "F", "degF"}, {"\xC2\xB0" "C", "degC"},
};
/* clang-format on */
#define N_SPELLINGS (sizeof spellings / sizeof *spellings)

/* Exact first; then letter case aside, for words of two letters or more whose case carries no meaning ("Lbs", "kwh"). */
static const char *spelling_of(const char *word) {
    for (size_t i = 0; i < N_SPELLINGS; i++)
        if (strcmp(word, spellings[i].written) == 0)
            return spellings[i].means;
    if (strlen(word) < 2 || strcasecmp(word, "mwh") == 0)
        return NULL;
    for (size_t i = 0; i < N_SPELLINGS; i++)
        if (strlen(spellings[i].written) >= 2 && strcasecmp(word, spellings[i].written) == 0)
            return spellings[i].means;
    return NULL;
}

/* Words that are commands of udunits' calculator, never units here. */
static bool is_forbidden(const char *word) {
    static const char *const forbidden[] = {"after", "from", "since", "ref", "re",       "log",
                                            "lg",    "ln",   "nan",   "inf", "infinity", NULL};
    for (size_t i = 0; forbidden[i] != NULL; i++)
        if (strcasecmp(word, forbidden[i]) == 0)
            return true;
    return false;
}

static const char *nearest_spelling(const char *word) {
    const char *written[N_SPELLINGS + 1];
    size_t n = 0;
    for (size_t i = 0; i < N_SPELLINGS; i++)
        if (strlen(spellings[i].written) >= 2)
            written[n++] = spellings[i].written;
    written[n] = NULL;
    return wg_word_nearest(word, written);
}

/* ---- numbers ---- */

static const char *skip_digits(const char *p) {
    while (isdigit((unsigned char)*p))
        p++;
    return p;
}

static const char *skip_space(const char *p) {
    while (*p == ' ' || *p == '\t')
        p++;
    return p;
}

int wg_number_read(const char *text, double *value, const char **rest) {
    char digits[64];
    static const char minus[] = "\xE2\x88\x92"; /* the typographer's minus */
    const bool long_minus = strncmp(text, minus, 3) == 0;
    const char *const start = long_minus ? text + 3 : text + (*text == '-' || *text == '+');
    const char *p = skip_digits(start);
    size_t n = (size_t)(p - start);
    if (*p == '.') {
        const char *const fraction = p + 1;
        p = skip_digits(fraction);
        n += (size_t)(p - fraction);
    }
    if (n == 0)
        return -1;
    if (*p == 'e' || *p == 'E') {
        const char *const exponent = p + 1 + (p[1] == '-' || p[1] == '+');
        if (isdigit((unsigned char)*exponent))
            p = skip_digits(exponent);
    }
    if ((size_t)(p - start) >= sizeof digits)
        return -1;
    memcpy(digits, start, (size_t)(p - start));
    digits[p - start] = '\0';
    const double size = strtod(digits, NULL); /* only digits, point and exponent are left for it */
    if (!isfinite(size))
        return -1;
    *value = long_minus || *text == '-' ? -size : size;
    *rest = p;
    return 0;
}

void wg_number_show(double value, char out[32]) {
    const double size = fabs(value);
    const int decimals = size >= 99.95    ? 0
                         : size >= 9.995  ? 1
                         : size >= 0.9995 ? 2
                         : size >= 0.1    ? 3
                         : size >= 0.01   ? 4
                                          : 5;
    if (size >= 1e15 || (size > 0 && size < 1e-3)) {
        (void)snprintf(out, 32, "%.3g", value);
        return;
    }
    (void)snprintf(out, 32, "%.*f", decimals, value);
    if (strchr(out, '.') == NULL)
        return;
    char *end = out + strlen(out);
    while (end[-1] == '0')
        *--end = '\0';
    if (end[-1] == '.')
        end[-1] = '\0';
}

void wg_quantity_show(enum wg_dimension dimension, double value, char out[WG_QUANTITY_SHOWN]) {
    const struct dimension *const d = &dimensions[dimension];
    char metric[32], us[32];
    wg_number_show(value * d->metric.scale + d->metric.offset, metric);
    if (d->us.unit == NULL) {
        const size_t length = strlen(d->metric.unit);
        const bool one_day = strcmp(metric, "1") == 0 && length > 0 && d->metric.unit[length - 1] == 's';
        (void)snprintf(out, WG_QUANTITY_SHOWN, "%s%.*s", metric, (int)(one_day ? length - 1 : length), d->metric.unit);
        return;
    }
    wg_number_show(value * d->us.scale + d->us.offset, us);
    (void)snprintf(out, WG_QUANTITY_SHOWN, "%s%s (%s%s)", metric, d->metric.unit, us, d->us.unit);
}

/* ---- the unit's text in udunits' spelling ---- */

#define UNIT_SIZE 256
#define WORD_SIZE 40

struct translation {
    const char *at; /* the rest of what was written */
    char out[UNIT_SIZE];
    size_t used;
    bool absolute;    /* degF and degC keep their zero */
    int power;        /* of the next word: square, cubic */
    int depth;        /* brackets open */
    bool open_factor; /* something stands before, so a word multiplies it */
    char *message;
    ut_system *system;
    const char *number; /* as written, for suggestions */
    int number_size;
    bool suggested; /* the message says what to write */
};

static int say(char *message, const char *format, ...) __attribute__((format(printf, 2, 3)));
static int say(char *message, const char *format, ...) {
    va_list args;
    va_start(args, format);
    (void)vsnprintf(message, WG_QUANTITY_MESSAGE, format, args);
    va_end(args);
    return -1;
}

static int put(struct translation *t, const char *text) {
    const size_t n = strlen(text);
    if (t->used + n + 1 > UNIT_SIZE)
        return say(t->message, "The unit is too long.");
    memcpy(t->out + t->used, text, n + 1);
    t->used += n;
    return 0;
}

static bool is_word_byte(char c) {
    return isalpha((unsigned char)c) || c == '%' || c == '$' || c == '_' || (unsigned char)c >= 0x80;
}

/* Superscripts end a word: "ft2" as people with the right keyboard write it. */
static int superscript(const char *p) {
    return strncmp(p, "\xC2\xB2", 2) == 0 ? 2 : strncmp(p, "\xC2\xB3", 2) == 0 ? 3 : 0;
}

static bool is_dot(const char *p) {
    return strncmp(p, "\xC2\xB7", 2) == 0;
}

static int take_word(struct translation *t, char word[WORD_SIZE]) {
    size_t n = 0;
    while (is_word_byte(*t->at) && superscript(t->at) == 0 && !is_dot(t->at)) {
        if (n + 1 >= WORD_SIZE)
            return say(t->message, "The unit is too long.");
        word[n++] = *t->at++;
        if (word[n - 1] == '%' || word[n - 1] == '$') /* "80 %of" is two words */
            break;
    }
    word[n] = '\0';
    return 0;
}

/* "deg F", "degrees Fahrenheit": one unit in two words. */
static const char *two_words(struct translation *t, const char *word) {
    if (strcasecmp(word, "deg") != 0 && strcasecmp(word, "degree") != 0 && strcasecmp(word, "degrees") != 0 &&
        strcmp(word, "\xC2\xB0") != 0)
        return NULL;
    static const struct spelling seconds[] = {
        {"Fahrenheit", "degF"}, {"F", "degF"}, {"Celsius", "degC"}, {"C", "degC"}};
    const char *const next = skip_space(t->at);
    for (size_t i = 0; i < sizeof seconds / sizeof *seconds; i++) {
        const size_t n = strlen(seconds[i].written);
        if (strncasecmp(next, seconds[i].written, n) == 0 && !is_word_byte(next[n])) {
            t->at = next + n;
            return seconds[i].means;
        }
    }
    return NULL;
}

static const char *without_zero(const struct translation *t, const char *means) {
    if (t->absolute)
        return means;
    return strcmp(means, "degF") == 0 ? "(K/1.8)" : strcmp(means, "degC") == 0 ? "K" : means;
}

static int unknown_word(const struct translation *t, const char *word) {
    const char *const nearest = is_forbidden(word) ? NULL : nearest_spelling(word);
    if (nearest != NULL)
        return say(t->message, "\"%s\" is not a unit known here. Did you mean \"%s\"?", word, nearest);
    return say(t->message, "\"%s\" is not a unit known here.", word);
}

static int put_word(struct translation *t, const char *word, const char *means) {
    char power[8] = "";
    if (means == NULL) { /* perhaps one that only udunits knows */
        ut_unit *const unit = is_forbidden(word) ? NULL : ut_parse(t->system, word, UT_UTF8);
        if (unit == NULL)
            return unknown_word(t, word);
        ut_free(unit);
        means = word;
    }
    if (*means == '?') {
        t->suggested = true;
        return say(t->message, "\"%s\" is not a unit of temperature here. Did you mean %.*s %s?", word, t->number_size,
                   t->number, means + 1);
    }
    if (t->power != 1)
        (void)snprintf(power, sizeof power, "^%d", t->power);
    t->power = 1;
    if ((t->open_factor && put(t, ".") < 0) || put(t, without_zero(t, means)) < 0 || put(t, power) < 0)
        return -1;
    t->open_factor = true;
    return 0;
}

static int divide(struct translation *t) {
    if (!t->open_factor && put(t, "1") < 0)
        return -1;
    t->open_factor = false;
    return put(t, "/");
}

static int translate_word(struct translation *t) {
    char word[WORD_SIZE];
    if (take_word(t, word) < 0)
        return -1;
    if (strcasecmp(word, "per") == 0)
        return divide(t);
    const bool square = strcasecmp(word, "square") == 0 || strcasecmp(word, "sq") == 0;
    if (square || strcasecmp(word, "cubic") == 0 || strcasecmp(word, "cu") == 0) {
        t->power = square ? 2 : 3;
        return 0;
    }
    const char *const pair = two_words(t, word);
    return put_word(t, word, pair != NULL ? pair : spelling_of(word));
}

/* A small whole exponent right behind a word or a bracket: ft2, m-2, s^2. */
static int translate_exponent(struct translation *t) {
    if (*t->at == '^')
        t->at++;
    const bool negative = *t->at == '-';
    t->at += negative;
    const int size = superscript(t->at) ? superscript(t->at) : *t->at - '0';
    t->at += superscript(t->at) ? 2 : 1;
    if (size < 1 || size > 9 || isdigit((unsigned char)*t->at) || *t->at == '.')
        return say(t->message, "An exponent in a unit is a single digit, as in ft2.");
    char exponent[8];
    (void)snprintf(exponent, sizeof exponent, "^%s%d", negative ? "-" : "", size);
    return put(t, exponent);
}

static bool exponent_here(const struct translation *t) {
    const char *const p = t->at;
    if (!t->open_factor)
        return false;
    return *p == '^' || superscript(p) != 0 || isdigit((unsigned char)*p) ||
           (*p == '-' && isdigit((unsigned char)p[1]));
}

static int bad_character(const struct translation *t) {
    if (isdigit((unsigned char)*t->at))
        return say(t->message, "One number and its unit are needed, but there is another number in \"%s\".", t->at);
    return say(t->message, "\"%c\" does not belong in a unit.", *t->at);
}

static int translate_one(struct translation *t) {
    if (exponent_here(t))
        return translate_exponent(t);
    if (superscript(t->at) == 0 && !is_dot(t->at) && is_word_byte(*t->at))
        return translate_word(t);
    const char c = is_dot(t->at) ? '.' : *t->at;
    t->at += is_dot(t->at) ? 2 : 1;
    switch (c) {
    case '/':
        return divide(t);
    case '.':
    case '*':
        return 0; /* words that stand side by side are multiplied anyway */
    case '(':
        if (t->open_factor && put(t, ".") < 0)
            return -1;
        t->open_factor = false;
        t->depth++;
        return put(t, "(");
    case ')':
        t->open_factor = true;
        if (--t->depth < 0)
            return say(t->message, "A bracket is closed that was not opened.");
        return put(t, ")");
    default:
        t->at--;
        return bad_character(t);
    }
}

static int translate(struct translation *t) {
    for (;;) {
        const char *const next = skip_space(t->at);
        if (next != t->at && isdigit((unsigned char)*next)) {
            t->at = next;
            return bad_character(t);
        }
        t->at = next;
        if (*t->at == '\0')
            return 0;
        if (translate_one(t) < 0)
            return -1;
    }
}

/* ---- reading ---- */

struct wg_units {
    ut_system *system;
};

int wg_units_new(struct wg_units **units, struct wg_error *err) {
    *units = malloc(sizeof **units);
    if (*units == NULL)
        return wg_fail(err, WG_ERR_MEMORY, NULL, "There is not enough memory to read units.");
    (void)ut_set_error_message_handler(ut_ignore);
    (*units)->system = ut_read_xml(NULL);
    if ((*units)->system != NULL)
        return 0;
    free(*units);
    *units = NULL;
    return wg_fail(err, WG_ERR_FILE, NULL, "The table of units of udunits2 cannot be read: is it installed?");
}

void wg_units_free(struct wg_units *units) {
    if (units == NULL)
        return;
    ut_free_system(units->system);
    free(units);
}

/* "R-13", "R 13", "R13": what is printed on insulation in the United States, h ft2 degF/Btu. */
static bool read_printed_r(const char *text, double *value) {
    if (*text != 'R' && *text != 'r')
        return false;
    const char *p = skip_space(text + 1);
    p = skip_space(p + (*p == '-'));
    double number;
    const char *rest;
    if (!isdigit((unsigned char)*p) || wg_number_read(p, &number, &rest) < 0 || *skip_space(rest) != '\0')
        return false;
    *value = number / 5.678263341113488;
    return true;
}

/*
 * Whether a converter only scales and shifts. udunits also converts a unit to its own reciprocal ("0.15 kWh" as a price,
 * "3 days" as a number per day) and logarithmic units, which nobody means.
 */
static bool is_straight(const cv_converter *converter) {
    const double at_0 = cv_convert_double(converter, 0), at_1 = cv_convert_double(converter, 1);
    const double at_2 = cv_convert_double(converter, 2);
    return isfinite(at_0) && fabs(at_2 - 2 * at_1 + at_0) <= 1e-9 * (fabs(at_0) + fabs(at_1) + fabs(at_2));
}

static int convert(struct wg_units *units, const char *spelt, enum wg_dimension dimension, double number,
                   double *value) {
    int code = -1;
    ut_unit *const from = ut_parse(units->system, spelt, UT_UTF8);
    ut_unit *const to = ut_parse(units->system, dimensions[dimension].core, UT_UTF8);
    cv_converter *const converter = from != NULL && to != NULL ? ut_get_converter(from, to) : NULL;
    if (converter != NULL) {
        const double converted = cv_convert_double(converter, number);
        code = isfinite(converted) && is_straight(converter) ? 0 : -1;
        if (code == 0)
            *value = converted;
        cv_free(converter);
    }
    ut_free(from);
    ut_free(to);
    return code;
}

static int no_number(const char *text, enum wg_dimension dimension, char *message) {
    const char *const example = dimensions[dimension].example;
    if (*text == '\0')
        return say(message, "Nothing is written here; %s is needed, for example %s.", dimensions[dimension].name,
                   example);
    if (isdigit((unsigned char)text[*text == '-' || *text == '+']))
        return say(message, "\"%.40s\" is too large a number.", text);
    return say(message, "\"%.60s\" is not %s: write for example %s.", text, dimensions[dimension].name, example);
}

/* Numbers written in a way that cannot be taken as it stands. */
static int bad_number(const char *text, const char *rest, enum wg_dimension dimension, char *message) {
    const char *const example = dimensions[dimension].example;
    if (*rest == ',')
        return say(
            message,
            "There is a comma in \"%.40s\": write the number without it (10000), with a point for decimals (0.5).",
            text);
    if (*rest == '/' && isdigit((unsigned char)rest[1]))
        return say(message, "\"%.40s\" is a fraction: write it with a decimal point, 0.5 for a half.", text);
    if (*rest == '-' && isdigit((unsigned char)rest[1]))
        return say(message, "\"%.40s\" is a range, but one value is needed: write for example %s.", text, example);
    if (isdigit((unsigned char)*rest) || *rest == '.' || *rest == '_' || *rest == '\'')
        return say(message, "\"%.40s\" is not a plain number: write for example %s.", text, example);
    return 0;
}

static int no_unit(const char *text, double number, enum wg_dimension dimension, char *message) {
    char shown[32];
    if (dimension != WG_SHARE)
        return say(message, "\"%.40s\" needs a unit: write for example %s.", text, dimensions[dimension].example);
    wg_number_show(number > 0 && number <= 1 ? 100 * number : number, shown);
    return say(message, "\"%.40s\" is not a share: write it per cent, %s %%.", text, shown);
}

int wg_quantity_read(struct wg_units *units, const char *text, enum wg_dimension dimension, double *value,
                     char message[WG_QUANTITY_MESSAGE]) {
    const struct dimension *const d = &dimensions[dimension];
    text = skip_space(text);
    if (dimension == WG_R_VALUE && read_printed_r(text, value))
        return 0;
    const char *const digits = dimension == WG_PRICE && *text == '$' ? text + 1 : text;
    double number;
    const char *rest;
    if (wg_number_read(digits, &number, &rest) < 0)
        return no_number(text, dimension, message);
    if (bad_number(text, rest, dimension, message) < 0)
        return -1;
    if (*skip_space(rest) == '\0') {
        if (!d->bare)
            return no_unit(text, number, dimension, message);
        *value = number;
        return 0;
    }
    char reason[WG_QUANTITY_MESSAGE];
    const char *const unit = skip_space(rest);
    struct translation t = {
        .at = unit[0] == '1' && unit[1] == '/' && unit != rest ? unit + 1 : rest, /* "0.06 1/day" is 0.06 per day */
        .absolute = dimension == WG_TEMPERATURE,
        .power = 1,
        .message = reason,
        .system = units->system,
        .number = digits,
        .number_size = (int)(rest - digits)};
    if (translate(&t) < 0)
        return t.suggested ? say(message, "%.250s", reason)
                           : say(message, "%.250s Write for example %s.", reason, d->example);
    if (convert(units, t.out, dimension, number, value) < 0)
        return say(message, "\"%.40s\" is not %s: write for example %s.", text, d->name, d->example);
    return 0;
}

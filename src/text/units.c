/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Parses and converts units by one table.
 *
 * Each factor is exact by definition, so the table has it as a ratio of integers and a power of ten. Products and
 * quotients stay exact; only the conversion of the number rounds, once.
 *
 * Sources. SI: BIPM, The International System of Units (SI Brochure), 9th ed. 2019: prefixes, litre, tonne, minute, hour, day,
 * degree Celsius. Pound 0.45359237 kg and yard 0.9144 m: international yard and pound agreement, 1959. US gallon of 231 cubic
 * inches, quart, pint and cup of a quarter, an eighth, a sixteenth of it, bushel of 2150.42 cubic inches, ounce of 1/16 lb, Btu
 * (International Table) of 1055.05585262 J, therm of 100,000 of them, degree Fahrenheit of 5/9 K: Thompson & Taylor 2008, NIST
 * Special Publication 811, appendix B; the R of insulation follows from them. Year: the tropical year of 1900, 31,556,925.9747 s (the ephemeris second's definition,
 * CGPM 1960).
 */
#include "text/units.h"

#include "base/error.h"
#include "text/nearest_word.h"

#include <ctype.h>
#include <stdarg.h>
#include <stdio.h>
#include <string.h>
#include <strings.h>

#define MAX_DEPTH 16
#define MAX_POWER 60
#define WORD_SIZE 40

/* ---- the table ---- */

enum unit_kind {
    PURE,
    TEMPERATURE,
    MASS,
    LENGTH,
    AREA,
    VOLUME,
    TIME,
    PER_TIME,
    POWER,
    ENERGY,
    ANGLE,
    RESISTANCE,
    N_KINDS
};

/* m, kg, s, K, degree */
static const signed char power_of[N_KINDS][WG_UNIT_N_BASES] = {
    [TEMPERATURE] = {0, 0, 0, 1, 0}, [MASS] = {0, 1, 0, 0, 0},        [LENGTH] = {1, 0, 0, 0, 0},
    [AREA] = {2, 0, 0, 0, 0},        [VOLUME] = {3, 0, 0, 0, 0},      [TIME] = {0, 0, 1, 0, 0},
    [PER_TIME] = {0, 0, -1, 0, 0},   [POWER] = {2, 1, -3, 0, 0},      [ENERGY] = {2, 1, -2, 0, 0},
    [ANGLE] = {0, 0, 0, 0, 1},       [RESISTANCE] = {0, -1, 3, 1, 0},
};

struct unit_row {
    const char *word; /* as written */
    enum unit_kind kind;
    uint64_t up, down;
    int tens;
    const char *other; /* the word of the other system */
};
/* clang-format off */
static const struct unit_row rows[] = {
    {"degF", TEMPERATURE, 5, 9, 0, "degC"}, {"fahrenheit", TEMPERATURE, 5, 9, 0, "degC"},
    {"degC", TEMPERATURE, 1, 1, 0, "degF"}, {"celsius", TEMPERATURE, 1, 1, 0, "degF"},
    {"centigrade", TEMPERATURE, 1, 1, 0, "degF"}, {"K", TEMPERATURE, 1, 1, 0, NULL},
    {"kelvin", TEMPERATURE, 1, 1, 0, NULL}, {"\xC2\xB0" "F", TEMPERATURE, 5, 9, 0, "degC"},
    {"\xC2\xB0" "C", TEMPERATURE, 1, 1, 0, "degF"},
    {"kg", MASS, 1, 1, 0, "lb"}, {"kgs", MASS, 1, 1, 0, "lb"}, {"kilo", MASS, 1, 1, 0, "lb"},
    {"kilos", MASS, 1, 1, 0, "lb"}, {"kilogram", MASS, 1, 1, 0, "lb"}, {"kilograms", MASS, 1, 1, 0, "lb"},
    {"g", MASS, 1, 1, -3, "oz"}, {"gram", MASS, 1, 1, -3, "oz"}, {"grams", MASS, 1, 1, -3, "oz"},
    {"mg", MASS, 1, 1, -6, NULL}, {"ug", MASS, 1, 1, -9, NULL}, {"t", MASS, 1, 1, 3, "lb"},
    {"tonne", MASS, 1, 1, 3, "lb"}, {"tonnes", MASS, 1, 1, 3, "lb"},
    {"lb", MASS, 45359237, 1, -8, "kg"}, {"lbs", MASS, 45359237, 1, -8, "kg"}, {"pound", MASS, 45359237, 1, -8, "kg"},
    {"pounds", MASS, 45359237, 1, -8, "kg"}, {"oz", MASS, 28349523125, 1, -12, "g"},
    {"ounce", MASS, 28349523125, 1, -12, "g"}, {"ounces", MASS, 28349523125, 1, -12, "g"},
    {"m", LENGTH, 1, 1, 0, "ft"}, {"meter", LENGTH, 1, 1, 0, "ft"}, {"meters", LENGTH, 1, 1, 0, "ft"},
    {"metre", LENGTH, 1, 1, 0, "ft"}, {"metres", LENGTH, 1, 1, 0, "ft"}, {"km", LENGTH, 1, 1, 3, NULL},
    {"cm", LENGTH, 1, 1, -2, "in"}, {"mm", LENGTH, 1, 1, -3, "in"}, {"in", LENGTH, 254, 1, -4, "mm"},
    {"inch", LENGTH, 254, 1, -4, "mm"}, {"inches", LENGTH, 254, 1, -4, "mm"}, {"ft", LENGTH, 3048, 1, -4, "m"},
    {"foot", LENGTH, 3048, 1, -4, "m"}, {"feet", LENGTH, 3048, 1, -4, "m"}, {"yd", LENGTH, 9144, 1, -4, "m"},
    {"yard", LENGTH, 9144, 1, -4, "m"}, {"yards", LENGTH, 9144, 1, -4, "m"}, {"sqft", AREA, 9290304, 1, -8, NULL},
    {"cuft", VOLUME, 28316846592, 1, -12, NULL},
    {"L", VOLUME, 1, 1, -3, "gal"}, {"l", VOLUME, 1, 1, -3, "gal"}, {"liter", VOLUME, 1, 1, -3, "gal"},
    {"liters", VOLUME, 1, 1, -3, "gal"}, {"litre", VOLUME, 1, 1, -3, "gal"}, {"litres", VOLUME, 1, 1, -3, "gal"},
    {"mL", VOLUME, 1, 1, -6, NULL}, {"ml", VOLUME, 1, 1, -6, NULL}, {"gal", VOLUME, 3785411784, 1, -12, "L"},
    {"gallon", VOLUME, 3785411784, 1, -12, "L"}, {"gallons", VOLUME, 3785411784, 1, -12, "L"},
    {"qt", VOLUME, 946352946, 1, -12, "L"}, {"quart", VOLUME, 946352946, 1, -12, "L"},
    {"quarts", VOLUME, 946352946, 1, -12, "L"}, {"pint", VOLUME, 473176473, 1, -12, "L"},
    {"pints", VOLUME, 473176473, 1, -12, "L"}, {"cup", VOLUME, 2365882365, 1, -13, "mL"},
    {"cups", VOLUME, 2365882365, 1, -13, "mL"}, {"bushel", VOLUME, 3523907016688, 1, -14, "L"},
    {"bushels", VOLUME, 3523907016688, 1, -14, "L"},
    {"s", TIME, 1, 1, 0, NULL}, {"sec", TIME, 1, 1, 0, NULL}, {"second", TIME, 1, 1, 0, NULL},
    {"seconds", TIME, 1, 1, 0, NULL}, {"min", TIME, 60, 1, 0, NULL}, {"mins", TIME, 60, 1, 0, NULL},
    {"minute", TIME, 60, 1, 0, NULL}, {"minutes", TIME, 60, 1, 0, NULL}, {"h", TIME, 3600, 1, 0, NULL},
    {"hr", TIME, 3600, 1, 0, NULL}, {"hrs", TIME, 3600, 1, 0, NULL}, {"hour", TIME, 3600, 1, 0, NULL},
    {"hours", TIME, 3600, 1, 0, NULL}, {"d", TIME, 86400, 1, 0, NULL}, {"day", TIME, 86400, 1, 0, NULL},
    {"days", TIME, 86400, 1, 0, NULL}, {"wk", TIME, 604800, 1, 0, NULL}, {"wks", TIME, 604800, 1, 0, NULL},
    {"week", TIME, 604800, 1, 0, NULL}, {"weeks", TIME, 604800, 1, 0, NULL},
    {"fortnight", TIME, 1209600, 1, 0, NULL}, {"yr", TIME, 315569259747, 1, -4, NULL},
    {"yrs", TIME, 315569259747, 1, -4, NULL}, {"year", TIME, 315569259747, 1, -4, NULL},
    {"years", TIME, 315569259747, 1, -4, NULL}, {"ACH", PER_TIME, 1, 3600, 0, NULL},
    {"W", POWER, 1, 1, 0, NULL}, {"watt", POWER, 1, 1, 0, NULL}, {"watts", POWER, 1, 1, 0, NULL},
    {"kW", POWER, 1, 1, 3, NULL}, {"kilowatt", POWER, 1, 1, 3, NULL}, {"kilowatts", POWER, 1, 1, 3, NULL},
    {"MW", POWER, 1, 1, 6, NULL}, {"Btuh", POWER, 105505585262, 3600, -8, NULL},
    {"J", ENERGY, 1, 1, 0, NULL}, {"kJ", ENERGY, 1, 1, 3, NULL}, {"MJ", ENERGY, 1, 1, 6, NULL},
    {"GJ", ENERGY, 1, 1, 9, NULL}, {"Wh", ENERGY, 3600, 1, 0, NULL}, {"kWh", ENERGY, 3600, 1, 3, NULL},
    {"MWh", ENERGY, 3600, 1, 6, NULL}, {"Btu", ENERGY, 105505585262, 1, -8, NULL},
    {"Btus", ENERGY, 105505585262, 1, -8, NULL}, {"therm", ENERGY, 105505585262, 1, -3, NULL},
    {"therms", ENERGY, 105505585262, 1, -3, NULL},
    {"deg", ANGLE, 1, 1, 0, NULL}, {"degree", ANGLE, 1, 1, 0, NULL}, {"degrees", ANGLE, 1, 1, 0, NULL},
    {"\xC2\xB0", ANGLE, 1, 1, 0, NULL},
    {"R", RESISTANCE, 167225472000, 949550267358, 0, NULL}, /* h ft2 degF/Btu, as printed on insulation */
    {"%", PURE, 1, 1, -2, NULL}, {"percent", PURE, 1, 1, -2, NULL}, {"$", PURE, 1, 1, 0, NULL},
    {"USD", PURE, 1, 1, 0, NULL}, {"EUR", PURE, 1, 1, 0, NULL}, {"GBP", PURE, 1, 1, 0, NULL},
    {"\xE2\x82\xAC", PURE, 1, 1, 0, NULL}, {"\xC2\xA3", PURE, 1, 1, 0, NULL}, {"dollar", PURE, 1, 1, 0, NULL},
    {"dollars", PURE, 1, 1, 0, NULL}, {"euro", PURE, 1, 1, 0, NULL}, {"euros", PURE, 1, 1, 0, NULL},
    {"ct", PURE, 1, 1, -2, NULL}, {"cent", PURE, 1, 1, -2, NULL}, {"cents", PURE, 1, 1, -2, NULL},
    {"eggs", PURE, 1, 1, 0, NULL}, {"larvae", PURE, 1, 1, 0, NULL}, {"prepupae", PURE, 1, 1, 0, NULL},
    {"flies", PURE, 1, 1, 0, NULL}, {"times", PURE, 1, 1, 0, NULL},
};
/* clang-format on */
#define N_ROWS ((int)(sizeof rows / sizeof *rows))

/* Ambiguous words: rejected with a suggestion. */
static const struct {
    const char *word, *what, *meant;
} ambiguous[] = {
    {"F", "is not a unit of temperature here", "degF"},
    {"f", "is not a unit of temperature here", "degF"},
    {"C", "is not a unit of temperature here", "degC"},
    {"c", "is not a unit of temperature here", "degC"},
    {"gr", "would be grains, which are not used here", "g"},
    {"gm", "is not a unit of weight here", "g"},
    {"gms", "is not a unit of weight here", "g"},
};

const char *wg_unit_word(int i) {
    return i >= 0 && i < N_ROWS ? rows[i].word : NULL;
}

/* Only the case distinguishes milli from mega. */
static bool case_matters(const char *word) {
    static const char *const words[] = {"mwh", "mw", "mj", "mg", "ml"};
    for (size_t i = 0; i < sizeof words / sizeof *words; i++)
        if (strcasecmp(word, words[i]) == 0)
            return true;
    return false;
}

/* Finds the exact word, else ignores case in words of at least two letters where case has no meaning ("Lbs", "kwh"). */
static const struct unit_row *find_unit_row(const char *word) {
    for (int i = 0; i < N_ROWS; i++)
        if (strcmp(word, rows[i].word) == 0)
            return &rows[i];
    if (strlen(word) < 2 || case_matters(word))
        return NULL;
    for (int i = 0; i < N_ROWS; i++)
        if (strlen(rows[i].word) >= 2 && strcasecmp(word, rows[i].word) == 0)
            return &rows[i];
    return NULL;
}

const char *wg_unit_other(const char *word, int length) {
    for (int i = 0; i < N_ROWS; i++)
        if ((int)strlen(rows[i].word) == length && strncmp(word, rows[i].word, (size_t)length) == 0)
            return rows[i].other;
    return NULL;
}

static const char *nearest_word(const char *word) {
    const char *words[N_ROWS + 1];
    int n = 0;
    for (int i = 0; i < N_ROWS; i++)
        if (strlen(rows[i].word) >= 2)
            words[n++] = rows[i].word;
    words[n] = NULL;
    const char *const nearest = wg_word_nearest(word, words);
    const bool is_other = nearest != NULL && strlen(nearest) <= 3 &&
                          tolower((unsigned char)nearest[0]) != tolower((unsigned char)word[0]);
    return is_other ? NULL : nearest; /* "each" is no misspelt ACH */
}

/* ---- products ---- */

static uint64_t greatest_common_divisor(uint64_t a, uint64_t b) {
    while (b != 0) {
        const uint64_t rest = a % b;
        a = b;
        b = rest;
    }
    return a;
}

/* Multiplies a / b by c / d in lowest terms. False: overflow. */
static bool multiply_fractions(uint64_t *a, uint64_t *b, uint64_t c, uint64_t d) {
    const uint64_t gcd_ad = greatest_common_divisor(*a, d), gcd_cb = greatest_common_divisor(c, *b);
    const uint64_t up = *a / gcd_ad, down = *b / gcd_cb;
    c /= gcd_cb;
    d /= gcd_ad;
    if (up > UINT64_MAX / c || down > UINT64_MAX / d)
        return false;
    *a = up * c;
    *b = down * d;
    return true;
}

static const struct wg_unit unit_one = {.up = 1, .down = 1};

/* Multiplies a unit by `by` to a power. False: the power or the factor is too large. */
static bool multiply(struct wg_unit *unit, const struct wg_unit *by, int power) {
    const int n = power < 0 ? -power : power, sign = power < 0 ? -1 : 1;
    for (int k = 0; k < n; k++)
        if (!multiply_fractions(&unit->up, &unit->down, sign > 0 ? by->up : by->down, sign > 0 ? by->down : by->up))
            return false;
    unit->tens += power * by->tens;
    for (int b = 0; b < WG_UNIT_N_BASES; b++) {
        const int sum = unit->power[b] + power * by->power[b];
        if (sum < -MAX_POWER || sum > MAX_POWER)
            return false;
        unit->power[b] = (signed char)sum;
    }
    unit->has_zero = false;
    return true;
}

static void set_unit_from_row(const struct unit_row *row, struct wg_unit *unit) {
    *unit = (struct wg_unit){.up = row->up, .down = row->down, .tens = row->tens};
    memcpy(unit->power, power_of[row->kind], sizeof unit->power);
    if (row->kind != TEMPERATURE)
        return;
    unit->has_zero = true;
    if (row->up == 5)
        unit->zero = (struct wg_decimal){32, 0};
    else if (row->other == NULL) /* kelvin: SI Brochure 2.3.1 */
        unit->zero = (struct wg_decimal){27315, -2};
}

/* ---- reading ---- */

struct unit_reader {
    const char *at; /* the rest of the text */
    const char *number;
    int depth; /* open brackets */
    char *message;
    enum wg_unit_read failed;
};

static bool fail_unit(struct unit_reader *r, const char *format, ...) __attribute__((format(printf, 2, 3)));
static bool fail_unit(struct unit_reader *r, const char *format, ...) {
    va_list args;
    va_start(args, format);
    (void)vsnprintf(r->message, WG_UNIT_MESSAGE, format, args);
    va_end(args);
    r->failed = WG_UNIT_BAD;
    return false;
}

/* Leaves the message empty, for the caller to fill. */
static bool fail_not_a_unit(struct unit_reader *r) {
    return fail_unit(r, "%s", "");
}

const char *wg_skip_blanks(const char *text) {
    return text + strspn(text, " \t");
}

static bool is_word_byte(char c) {
    return isalpha((unsigned char)c) || c == '%' || c == '$' || c == '_' || (unsigned char)c >= 0x80;
}

/* Returns the exponent of a superscript 2 or 3, else 0; a superscript ends a word. */
static int superscript(const char *p) {
    return strncmp(p, "\xC2\xB2", 2) == 0 ? 2 : strncmp(p, "\xC2\xB3", 2) == 0 ? 3 : 0;
}

static bool is_dot(const char *p) {
    return strncmp(p, "\xC2\xB7", 2) == 0;
}

static bool starts_word(const char *p) {
    return superscript(p) == 0 && !is_dot(p) && is_word_byte(*p);
}

static bool scan_word(struct unit_reader *r, char word[WORD_SIZE]) {
    size_t n = 0;
    while (starts_word(r->at)) {
        if (n + 1 >= WORD_SIZE)
            return fail_unit(r, "The unit is too long.");
        word[n++] = *r->at++;
        if (word[n - 1] == '%' || word[n - 1] == '$') /* "80 %of" is two words */
            break;
    }
    word[n] = '\0';
    return true;
}

/* "deg F", "degrees Fahrenheit": one unit in two words. */
static const struct unit_row *read_two_words(struct unit_reader *r, const char *word) {
    if (strcasecmp(word, "deg") != 0 && strcasecmp(word, "degree") != 0 && strcasecmp(word, "degrees") != 0 &&
        strcmp(word, "\xC2\xB0") != 0)
        return NULL;
    static const struct {
        const char *written, *means;
    } seconds[] = {{"Fahrenheit", "degF"}, {"F", "degF"}, {"Celsius", "degC"}, {"C", "degC"}};
    const char *const next = wg_skip_blanks(r->at);
    for (size_t i = 0; i < sizeof seconds / sizeof *seconds; i++) {
        const size_t n = strlen(seconds[i].written);
        if (strncasecmp(next, seconds[i].written, n) == 0 && !is_word_byte(next[n])) {
            r->at = next + n;
            return find_unit_row(seconds[i].means);
        }
    }
    return NULL;
}

static bool fail_unknown_word(struct unit_reader *r, const char *word) {
    for (size_t i = 0; i < sizeof ambiguous / sizeof *ambiguous; i++)
        if (strcmp(word, ambiguous[i].word) == 0) {
            (void)fail_unit(r, "\"%s\" %s. Did you mean %s %s?", word, ambiguous[i].what, r->number,
                            ambiguous[i].meant);
            r->failed = WG_UNIT_MEANT;
            return false;
        }
    const char *const nearest = nearest_word(word);
    if (nearest != NULL)
        return fail_unit(r, "\"%s\" is not a unit known here. Did you mean \"%s\"?", word, nearest);
    return fail_unit(r, "\"%s\" is not a unit known here.", word);
}

/* Parses a one-digit exponent after a word or a bracket: ft2, m-2, s^2. Returns 1 without one, 0 after an error. */
static int scan_exponent(struct unit_reader *r) {
    const char *const p = r->at;
    if (*p != '^' && superscript(p) == 0 && !isdigit((unsigned char)*p) && !(*p == '-' && isdigit((unsigned char)p[1])))
        return 1;
    r->at += *r->at == '^';
    const bool is_negative = *r->at == '-';
    r->at += is_negative;
    const int size = superscript(r->at) != 0 ? superscript(r->at) : *r->at - '0';
    if (size >= 1 && size <= 9)
        r->at += superscript(r->at) != 0 ? 2 : 1;
    if (size < 1 || size > 9 || isdigit((unsigned char)*r->at) || *r->at == '.') {
        (void)fail_unit(r, "An exponent in a unit is a single digit, as in ft2.");
        return 0;
    }
    return is_negative ? -size : size;
}

static bool fail_character(struct unit_reader *r) {
    if (isdigit((unsigned char)*r->at))
        return fail_unit(r, "One number and its unit are needed, but there is another number in \"%.60s\".", r->at);
    return fail_unit(r, "\"%c\" does not belong in a unit.", *r->at);
}

/* A product in progress. */
struct product {
    struct wg_unit unit;
    int power;        /* of the next word, after square or cubic */
    bool is_divisor;  /* the next factor divides */
    bool has_factors; /* it has at least one factor */
    bool is_counted;  /* the last one is a number that divides, and so does its unit: "per 1000 lb" */
};

static bool multiply_factor(struct unit_reader *r, struct product *p, const struct wg_unit *factor) {
    const int exponent = scan_exponent(r);
    if (exponent == 0)
        return false;
    const int power = exponent * p->power * (p->is_divisor || p->is_counted ? -1 : 1);
    if (!p->has_factors && power == 1)
        p->unit = *factor;
    else if (!multiply(&p->unit, factor, power))
        return fail_not_a_unit(r);
    p->power = 1;
    p->is_divisor = p->is_counted = false;
    p->has_factors = true;
    return true;
}

static bool start_divisor(struct unit_reader *r, struct product *p) {
    if (p->is_divisor)
        return fail_not_a_unit(r);
    return p->is_divisor = true;
}

static bool read_unit_word(struct unit_reader *r, struct product *p) {
    char word[WORD_SIZE];
    if (!scan_word(r, word))
        return false;
    if (strcasecmp(word, "per") == 0 || strcasecmp(word, "and") == 0 || /* "per m2 and R": per m2, per R */
        (strcmp(word, "a") == 0 && p->has_factors))                     /* "1 lb a day" */
        return start_divisor(r, p);
    const bool is_square = strcasecmp(word, "square") == 0 || strcasecmp(word, "sq") == 0;
    if (is_square || strcasecmp(word, "cubic") == 0 || strcasecmp(word, "cu") == 0) {
        p->power = is_square ? 2 : 3;
        return true;
    }
    const struct unit_row *const pair = read_two_words(r, word), *const row = pair != NULL ? pair : find_unit_row(word);
    if (row == NULL)
        return fail_unknown_word(r, word);
    struct wg_unit unit;
    set_unit_from_row(row, &unit);
    return multiply_factor(r, p, &unit);
}

static bool read_product(struct unit_reader *r, struct wg_unit *unit);

static bool read_bracket(struct unit_reader *r, struct product *p) {
    struct wg_unit inside;
    if (r->depth == MAX_DEPTH)
        return fail_unit(r, "The unit is too long.");
    r->depth++;
    if (!read_product(r, &inside))
        return false;
    if (*r->at != ')')
        return fail_not_a_unit(r);
    r->at++;
    r->depth--;
    return multiply_factor(r, p, &inside);
}

/* Reads the number in "per 1000": 1, or a power of ten from 100 on. */
static bool read_power_of_ten(struct unit_reader *r, struct product *p) {
    const size_t zeros = *r->at == '1' ? strspn(r->at + 1, "0") : 0;
    if (!p->is_divisor || *r->at != '1' || zeros == 1 || zeros > 9 || isdigit((unsigned char)r->at[1 + zeros]) ||
        r->at[1 + zeros] == '.')
        return fail_character(r);
    struct wg_unit unit = unit_one;
    unit.tens = (int)zeros;
    r->at += 1 + zeros;
    return p->is_counted = multiply_factor(r, p, &unit);
}

static bool read_factor(struct unit_reader *r, struct product *p) {
    if (starts_word(r->at))
        return read_unit_word(r, p);
    if (isdigit((unsigned char)*r->at))
        return read_power_of_ten(r, p);
    const char c = is_dot(r->at) ? '.' : *r->at;
    r->at += is_dot(r->at) ? 2 : 1;
    switch (c) {
    case '/':
        return start_divisor(r, p);
    case '.':
    case '*':
        return true; /* adjacent words multiply anyway */
    case '(':
        return read_bracket(r, p);
    default:
        r->at--;
        return fail_character(r);
    }
}

/* Parses up to the end or the closing bracket. */
static bool read_product(struct unit_reader *r, struct wg_unit *unit) {
    struct product p = {.unit = unit_one, .power = 1};
    for (;;) {
        r->at = wg_skip_blanks(r->at);
        if (*r->at == '\0' || (*r->at == ')' && r->depth > 0))
            break;
        if (*r->at == ')')
            return fail_unit(r, "A closing bracket has no opening one.");
        if (!read_factor(r, &p))
            return false;
    }
    *unit = p.unit;
    return p.has_factors && !p.is_divisor && p.power == 1 ? true : fail_not_a_unit(r);
}

enum wg_unit_read wg_unit_read(const char *text, const char *number, struct wg_unit *unit,
                               char message[WG_UNIT_MESSAGE]) {
    struct unit_reader r = {.at = text, .number = number, .message = message, .failed = WG_UNIT_BAD};
    return read_product(&r, unit) ? WG_UNIT_GOOD : r.failed;
}

/* ---- converting ---- */

bool wg_unit_is_alike(const struct wg_unit *a, const struct wg_unit *b) {
    return memcmp(a->power, b->power, sizeof a->power) == 0;
}

/* Exact up to 10^22. */
static double power_of_ten(int tens) {
    double power = 1;
    for (int i = 0; i < tens; i++)
        power *= 10;
    return power;
}

static double shifted(double value, int tens) {
    return tens < 0 ? value / power_of_ten(-tens) : value * power_of_ten(tens);
}

/* Subtracts two decimals, exactly if both are integers in the smaller power of ten. */
static struct wg_decimal subtract_decimals(struct wg_decimal a, struct wg_decimal b) {
    const int tens = a.tens < b.tens ? a.tens : b.tens;
    return (struct wg_decimal){shifted(a.whole, a.tens - tens) - shifted(b.whole, b.tens - tens), tens};
}

double wg_unit_convert(struct wg_decimal value, const struct wg_unit *from, const struct wg_unit *to, bool is_reading) {
    uint64_t up = from->up, down = from->down;
    wg_assert(wg_unit_is_alike(from, to) && (!is_reading || (from->has_zero && to->has_zero)));
    if (is_reading && value.whole != 0)
        value = subtract_decimals(value, from->zero);
    else if (is_reading)
        value = (struct wg_decimal){-from->zero.whole, from->zero.tens};
    const bool fits = multiply_fractions(&up, &down, to->down, to->up);
    const int tens = value.tens + from->tens - to->tens;
    const double top = fits ? value.whole * (double)up : value.whole * (double)up * (double)to->down,
                 bottom = fits ? (double)down : (double)down * (double)to->up;
    const double answer = tens < 0 ? top / (bottom * power_of_ten(-tens)) : top * power_of_ten(tens) / bottom;
    return is_reading ? answer + shifted(to->zero.whole, to->zero.tens) : answer;
}

double wg_units_convert(double value, const char *from, const char *to, bool is_reading) {
    struct wg_unit a, b;
    char message[WG_UNIT_MESSAGE];
    const enum wg_unit_read read_a = wg_unit_read(from, "", &a, message), read_b = wg_unit_read(to, "", &b, message);
    wg_assert(read_a == WG_UNIT_GOOD && read_b == WG_UNIT_GOOD);
    return wg_unit_convert((struct wg_decimal){value, 0}, &a, &b, is_reading);
}

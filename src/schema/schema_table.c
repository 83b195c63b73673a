/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * Lists every key of a scenario, in the order in which help and `check` show them.
 *
 * Limits are those of base/limits.h where the model has one. The others are judgement, narrower where a legal value is
 * almost certainly a slip. housing/defaults.c gives the sources of the defaults of a house.
 */
#include "schema/schema.h"

#include "plan/plan.h"

#define INTO(type, field) .has_member = true, .offset = offsetof(struct type, field)
#define QUANTITY(what, low, high) .kind = WG_KEY_QUANTITY, .dimension = (what), .least = (low), .most = (high)
#define SHARE QUANTITY(WG_SHARE, 0, 1)
#define MONTHS(what, low, high) .kind = WG_KEY_MONTHS, .dimension = (what), .least = (low), .most = (high)
#define WHOLE(low, high) .kind = WG_KEY_WHOLE, .least = (low), .most = (double)(high)
#define WORD(list, what) .kind = WG_KEY_WORD, .words = (list), .noun = (what)
#define GROUP(id) .kind = WG_KEY_GROUP, .group = (id)
#define LIST(id) .kind = WG_KEY_LIST, .group = (id)
#define REQUIRED .flags = WG_KEY_REQUIRED
#define DERIVED .flags = WG_KEY_DERIVED
#define BY_HAND .flags = WG_KEY_DERIVED | WG_KEY_BY_HAND
#define END                                                                                                            \
    { .name = NULL }

static const char *const none[] = {"none", NULL};
static const char *const off[] = {"off", NULL};
static const char *const never[] = {"never", NULL};
static const char *const units[] = {"degF", "degC", NULL};
static const char *const spreads[] = {"humid subtropical", "continental", "marine", "tropical", NULL};
static const char *const sketches[] = {"mild coast",  "four seasons", "cold inland", "dry summers", "hot and humid",
                                       "dry and hot", "warm coast",   NULL}; /* as in climate/sketch.c */
static const char *const uses[] = {"years", "fitted", NULL};
static const char *const housings[] = {"outdoors", "hoop house", "greenhouse",   "shed", "laboratory",
                                       "room",     "cellar",     "refrigerator", NULL};
static const char *const covers[] = {"single film", "double film", "twin wall", "glass", NULL};
static const char *const grounds[] = {"soil", "box", NULL};
static const char *const lids[] = {"closed", "screen", "open", NULL};
static const char *const stages[] = {"egg", "larva", "prepupa", NULL};
static const char *const as_eaten[] = {"as eaten", NULL};
static const char *const before_hatch[] = {"before they hatch", NULL}, *const when_full[] = {"when full", NULL};
static const char *const unlimited[] = {"unlimited", NULL};
static const char *const actions[] = {"collect crawl-off", "pull traps",    "set traps", "move",
                                      "scoop larvae",      "clear residue", "change",    NULL};
static const char *const movables[] = {"larvae", "prepupae", "eggs", "everything", NULL};
static const char *const sets[] = {"keepers", "laboratory", NULL};
static const char *const dormancies[] = {"by day length", "by cold only", NULL};
static const char *const steps[] = {"1", "2", "4", "24", NULL};
static const char *const animals[] = {"middle", "plausible", NULL}; /* as enum wg_animals */
static const char *const keepers[] = {"own", "neighbour", NULL};
static const char *const harvests[] = {"taken", "crawl-off", NULL};

/* clang-format off */
static const struct wg_key scenario[] = {
    {"title", .kind = WG_KEY_TEXT, .otherwise = "the file name", .example = "Harrow Hill, trough outdoors",
        .help = "Title of the forecast."},
    {"based_on", .kind = WG_KEY_TEXT, .noun = "the name of a plan", .otherwise = "none", .example = "winter.yaml",
        .help = "Another plan, in the same folder or a folder below it, of which this file says only what differs: maps "
            "merge by key, places and bins by name, and other lists and values replace those of the other plan; none "
            "removes a map or list. The title is not taken over."},
    {"currency", .kind = WG_KEY_TEXT, .otherwise = "that of the first price that names one", .example = "EUR",
        .help = "Sign, code or word of the currency of all prices."},
    {"period", GROUP(WG_GROUP_PERIOD), REQUIRED, .example = "{from: 2026-09-15, to: 2027-09-14}",
        .help = "The days that are simulated."},
    {"climate", GROUP(WG_GROUP_CLIMATE), REQUIRED, .example = "{constant: 27 degC}",
        .or_write = ", or normals of your place", .help = "The weather, or the temperature of a laboratory."},
    {"places", LIST(WG_GROUP_PLACE), REQUIRED, .noun = "a list of places",
        .example = "[{name: yard, housing: {kind: outdoors}, bins: [{name: trough}]}]",
        .help = "Where the animals live: up to 16 places with up to 64 bins in all."},
    {"starter", LIST(WG_GROUP_STARTER), .otherwise = "none", .noun = "a list of starters",
        .example = "[{on: 2026-09-15, in: trough, stage: larva, age: 5 days, count: 10000}]",
        .help = "The animals you start with; a plan without a starter needs wild_visitors."},
    {"feeds", LIST(WG_GROUP_FEED), .otherwise = "none", .noun = "a list of feeds",
        .example = "[{name: hotel scraps, moisture: 75 %, usable: 60 %, quality: 80 %}]",
        .help = "Feeds of your own, or mixes of feeds, for what in a feeding."},
    {"feeding", LIST(WG_GROUP_FEEDING), REQUIRED, .words = unlimited, .noun = "a list of feedings",
        .example = "[{in: trough, what: kitchen scraps, amount: 3 lb, every: 1 day}]",
        .or_write = ", or feeding: unlimited",
        .help = "The feed you give; unlimited means all they can eat, in every bin."},
    {"keeping", .kind = WG_KEY_ACTIONS, .group = WG_GROUP_COLLECT, .otherwise = "nothing", .noun = "a list of actions",
        .example = "[{do: collect crawl-off, in: trough, share: 80 %}]",
        .help = "What the keeper does besides feeding."},
    {"prices", GROUP(WG_GROUP_PRICES), .example = "{larvae: 4 per kg, residue: 0.10 per kg}",
        .help = "What you are paid for what you take out, or save because it replaces something you would buy."},
    {"mishaps", GROUP(WG_GROUP_MISHAPS), .otherwise = "none",
        .example = "{power_cut: {per_year: 2, lasts: 12 hours}}",
        .help = "Power cuts and raids, which happen at random."},
    {"wild_visitors", GROUP(WG_GROUP_WILD), .otherwise = "none", .example = "{peak: 3 per day}",
        .help = "Wild females that lay eggs in places open to them."},
    {"species", GROUP(WG_GROUP_SPECIES), .flags = WG_KEY_IMPLIED, .example = "{numbers: keepers}",
        .help = "The model's numbers for the animal: a set, with any of them changed (wintergrub help numbers)."},
    {"forecast", GROUP(WG_GROUP_FORECAST), .flags = WG_KEY_IMPLIED, .example = "{replicates: 512, seed: 2026}",
        .help = "How the forecast is computed."},
    {"goal", LIST(WG_GROUP_GOAL), .flags = WG_KEY_OR_ONE, .otherwise = "none", .noun = "a list of goals",
        .example = "[{survive: yes, chance: 95 %}]",
        .help = "What you want from the colony: one goal, or a list of up to 8."},
    {"choose", .kind = WG_KEY_CHOICES, .otherwise = "nothing", .example = "{wake: {now: 04-25, try: [03-15, 04-25]}}",
        .help = "Values that `wintergrub cheapest` tries in several places at once; write the name where its value goes, "
            "as in from: wake."},
    END};

static const struct wg_key period[] = {
    {"from", .kind = WG_KEY_DATE, REQUIRED, INTO(wg_plan, first_day), .example = "2026-09-15",
        .help = "The first day."},
    {"to", .kind = WG_KEY_DATE, REQUIRED, INTO(wg_plan, last_day), .example = "2027-09-14",
        .help = "The last day, at most a hundred years after the first."},
    END};

static const struct wg_key climate[] = {
    {"latitude", .kind = WG_KEY_LATITUDE, .dimension = WG_ANGLE, .least = -66, .most = 66,
        .only = "required with normals, with a sketch, and with a record whose file does not give it", .example = "32.4 N",
        .or_write = ", or 32.4 S south of the equator", .help = "Sets the day length and the season."},
    {"elevation", QUANTITY(WG_HEIGHT, -430, 6000), DERIVED, INTO(wg_climate_spec, elevation_m),
        .otherwise = "from the weather file, or 0 m", .example = "60 m", .help = "Height above sea level."},
    {"coast", .kind = WG_KEY_FLAG, INTO(wg_climate_spec, is_coast), .otherwise = "no", .example = "yes",
        .help = "Whether the place is by the sea, where the sky is clearer for the same daily range of temperature."},
    {"normals", GROUP(WG_GROUP_NORMALS), .example = "{unit: degF, daily_high: [...], daily_low: [...]}",
        .only = "give exactly one of normals, record, sketch and constant",
        .help = "Monthly means, around which daily weather is generated."},
    {"record", .kind = WG_KEY_TEXT, .noun = "the name of a weather file",
        .only = "give exactly one of normals, record, sketch and constant", .example = "weather/station.csv",
        .help = "A weather file in the scenario's folder or in a folder below it."},
    {"use", WORD(uses, "a use of the record"), .otherwise = "years", .only = "only with a record", .with = "record",
        .example = "fitted",
        .help = "With years, the forecast draws years from the record; with fitted, it generates similar weather, "
            "as it always does from a typical year."},
    {"unit", WORD(units, "a unit of temperature"), .only = "only with a record", .example = "degC",
        .help = "The temperature unit of a weather file that does not state one."},
    {"sketch", WORD(sketches, "a sketch of a climate"),
        .only = "give exactly one of normals, record, sketch and constant", .example = "four seasons",
        .help = "An invented climate of this kind at your latitude, for a first look without normals; "
            "its elevation cools it by 5.5 degC per km (9.9 degF)."},
    {"constant", QUANTITY(WG_TEMPERATURE, -20, 60), INTO(wg_climate_spec, constant_c),
        .only = "only for laboratories; give exactly one of normals, record, sketch and constant", .example = "27 degC",
        .help = "The constant temperature of a laboratory."},
    END};

static const struct wg_key normals[] = {
    {"unit", WORD(units, "a unit of temperature"), .only = "required if a number has no unit of its own",
        .example = "degF", .or_write = ", or unit: degC", .help = "The unit of numbers written without one."},
    {"daily_high", MONTHS(WG_TEMPERATURE, -60, 60), REQUIRED,
        .example = "[58, 62, 69, 77, 84, 91, 93, 92, 87, 78, 68, 60]",
        .help = "Mean daily high of each month, January first."},
    {"daily_low", MONTHS(WG_TEMPERATURE, -70, 50), REQUIRED,
        .example = "[36, 39, 46, 54, 62, 70, 72, 71, 65, 54, 45, 38]",
        .help = "Mean daily low of each month, January first."},
    {"spread", WORD(spreads, "a kind of spread"), .otherwise = "by latitude", .example = "humid subtropical",
        .help = "How much days differ from the monthly mean; the default is tropical below 23.5 degrees of latitude, "
            "humid subtropical below 38, otherwise continental."},
    {"daily_high_sd", MONTHS(WG_TEMPERATURE_STEP, 0, 15), .flags = WG_KEY_OR_ONE, .otherwise = "by spread",
        .example = "8 degF", .help = "Standard deviation of the daily high: one value, or one for each month."},
    {"daily_low_sd", MONTHS(WG_TEMPERATURE_STEP, 0, 15), .flags = WG_KEY_OR_ONE, .otherwise = "by spread",
        .example = "7 degF", .help = "Standard deviation of the daily low: one value, or one for each month."},
    END};

static const struct wg_key place[] = {
    {"name", .kind = WG_KEY_NAME, REQUIRED, .example = "hoop house",
        .help = "The name that actions use: one line of fewer than 64 letters, different from every other name."},
    {"housing", GROUP(WG_GROUP_HOUSING), REQUIRED, .words = housings, .example = "{kind: outdoors}",
        .help = "What shelters the bins; a kind alone gives a typical house of that kind."},
    {"heater", GROUP(WG_GROUP_HEATER), .otherwise = "none", .only = "only in a hoop house, greenhouse or shed",
        .example = "{set_point: 65 degF, power: 5 kW}", .help = "A heater for the air in the house."},
    {"ground", GROUP(WG_GROUP_GROUND), .flags = WG_KEY_IMPLIED, .example = "{kind: soil, depth: 4 in}",
        .help = "Where prepupae pupate."},
    {"keeper", WORD(keepers, "a keeper"), .otherwise = "own", .example = "neighbour",
        .help = "Whose place it is: a neighbour's holds a reserve, and odds are given for both."},
    {"bins", LIST(WG_GROUP_BIN), .otherwise = "none", .noun = "a list of bins",
        .example = "[{name: trough, volume: 150 L}]", .help = "The bins in this place."},
    END};

#define INSULATION_PRICE(of, note)                                                                                     \
    {"insulation_price", QUANTITY(WG_PRICE_OF_FOAM, 0, WG_MAX_PRICE), note, .example = "0.90 per m2 and R",              \
        .help = "Price of the insulation of " of ", per area and R value; without it the insulation counts as free."},                                           \
    {"insulation_lasts", QUANTITY(WG_YEARS, 0.1, 1000), note, .with = "insulation_price",                               \
        .otherwise = "10 years", .example = "10 years",                                                                \
        .help = "How long that insulation lasts; each year is charged an even share of its price."}

#define SHELTER(field) INTO(wg_shelter_spec, field)
#define WALLS .only = "only for a hoop house, greenhouse or shed"
static const struct wg_key housing[] = {
    {"kind", WORD(housings, "a kind of housing"), .flags = WG_KEY_REQUIRED | WG_KEY_BY_HAND, SHELTER(kind),
        .example = "hoop house",
        .or_write = " (or outdoors, greenhouse, shed, laboratory, room, cellar, refrigerator)",
        .help = "The kind of housing; it sets the defaults of all other keys of the group."},
    {"temperature", QUANTITY(WG_TEMPERATURE, WG_MIN_ROOM_C, WG_MAX_ROOM_C), BY_HAND, SHELTER(steady_c),
        .only = "only for a room, which needs it, a cellar or a refrigerator", .example = "65 degF",
        .help = "Temperature of the air all year, without any heat that is counted; 40 degF in a refrigerator, and "
            "without it a cellar is as warm as the soil around it."},
    {"depth", QUANTITY(WG_LENGTH, 0.1, WG_MAX_GROUND_DEPTH_M), BY_HAND, SHELTER(depth_m),
        .only = "only for a cellar without temperature", .example = "5 ft",
        .help = "Depth of the middle of the cellar below the ground, whose temperature it has."},
    {"summer", GROUP(WG_GROUP_ROOM_SUMMER), .otherwise = "same as the rest of the year",
        .only = "only for a room or cellar with temperature", .with = "temperature",
        .example = "{from: 05-15, to: 09-15, temperature: 75 degF}", .help = "The temperature in summer."},
    {"floor", QUANTITY(WG_AREA, 0.25, WG_MAX_FLOOR_M2), BY_HAND, SHELTER(floor_m2), WALLS, .example = "200 ft2",
        .help = "Floor area; the defaults of cover area, volume, sun area and heat capacities follow from it."},
    {"cover", WORD(covers, "a kind of cover"), .only = "only for a hoop house or greenhouse",
        .otherwise = "usual for the kind",
        .example = "double film",
        .help = "Sets the U value, light, sun and loss to the sky; a single film is usual, a double film on a greenhouse."},
    {"cover_area", QUANTITY(WG_AREA, 0.25, WG_MAX_COVER_M2), DERIVED, SHELTER(cover_m2), WALLS, .example = "40 m2",
        .help = "Area of walls and roof."},
    {"volume", QUANTITY(WG_SPACE, 0.1, WG_MAX_HOUSE_M3), BY_HAND, SHELTER(volume_m3), WALLS, .example = "28 m3",
        .help = "Volume of air in the house; the default of air_heat follows from it."},
    {"u_value", QUANTITY(WG_U_VALUE, 0.02, WG_MAX_U_W_M2K), BY_HAND, SHELTER(u_w_m2k), WALLS, .instead = "r_value",
        .example = "4 W/(m2 K)", .help = "Heat that passes through the cover, per area and degree."},
    {"r_value", QUANTITY(WG_R_VALUE, 0.01, 50), .only = "instead of u_value", .instead = "u_value", .example = "R-13",
        .help = "Thermal resistance of the cover, as printed on insulation."},
    INSULATION_PRICE("the whole cover", WALLS),
    {"air_changes", QUANTITY(WG_PER_HOUR, 0, WG_MAX_AIR_CHANGES), DERIVED, SHELTER(air_changes), WALLS,
        .example = "1.5 per hour", .help = "Air leakage with the vents closed."},
    {"vent_air_changes", QUANTITY(WG_PER_HOUR, 0, WG_MAX_VENT_AIR_CHANGES), DERIVED, SHELTER(vent_air_changes), WALLS,
        .example = "30 per hour", .help = "Air changes with the vents wide open; 0 means no vents."},
    {"vents_open_above", QUANTITY(WG_TEMPERATURE, 0, WG_MAX_VENT_ABOVE_C), DERIVED, SHELTER(vent_above_c), WALLS,
        .example = "28 degC", .help = "Air temperature at which the vents open."},
    {"window", QUANTITY(WG_AREA, 0, 1000), .only = "only for a shed", .otherwise = "a fifteenth of the floor",
        .instead = "sun_area",
        .example = "1 m2", .help = "Area of window glass; the default of sun_area follows from it."},
    {"lamps", GROUP(WG_GROUP_LAMPS), .words = none, .only = "not outdoors, in a laboratory or a refrigerator", .otherwise = "none", .example = "12 hours",
        .help = "Lamps for the flies: hours a day, or a group with their power."},
    {"light", QUANTITY(WG_SHARE, 0, 1), DERIVED, SHELTER(light_through),
        .only = "not outdoors, in a laboratory or a refrigerator", .example = "60 %",
        .help = "Share of the daylight that reaches the flies: in a room or cellar none unless written, about 10 % near "
            "a window."},
    {"sun_area", QUANTITY(WG_AREA, 0, WG_MAX_SUN_M2), DERIVED, SHELTER(sun_area_m2), WALLS, .example = "3 m2",
        .help = "Area of sunshine that becomes heat inside; at most the cover area."},
    {"sun_to_air", QUANTITY(WG_SHARE, 0, 1), DERIVED, SHELTER(sun_to_air), WALLS, .example = "30 %",
        .help = "Share of the sun's heat that goes to the air; the rest goes to the thermal mass."},
    {"water", QUANTITY(WG_VOLUME, 0, WG_MAX_WATER_M3), WALLS, .otherwise = "0 L", .example = "400 L",
        .help = "Water in barrels; it adds to mass_heat and air_to_mass."},
    {"mass_heat", QUANTITY(WG_HEAT_CAPACITY, 1e3, WG_MAX_MASS_J_K), DERIVED, SHELTER(mass_j_k), WALLS,
        .example = "5 MJ/K",
        .help = "Heat capacity of the thermal mass: floor, walls and contents."},
    {"air_heat", QUANTITY(WG_HEAT_CAPACITY, 1e2, WG_MAX_AIR_J_K), DERIVED, SHELTER(air_j_k), WALLS,
        .example = "0.2 MJ/K",
        .help = "Heat capacity of the air and of light objects that follow its temperature."},
    {"air_to_mass", QUANTITY(WG_CONDUCTANCE, 0, WG_MAX_CONDUCTANCE_W_K), DERIVED, SHELTER(mass_air_w_k), WALLS,
        .example = "90 W/K", .help = "Heat flow between the air and the thermal mass, per degree."},
    {"mass_to_ground", QUANTITY(WG_CONDUCTANCE, 0, WG_MAX_CONDUCTANCE_W_K), DERIVED, SHELTER(mass_ground_w_k), WALLS,
        .example = "50 W/K", .help = "Heat flow between the thermal mass and the soil below, per degree."},
    {"sky_loss", QUANTITY(WG_R_VALUE, 0, WG_MAX_SKY_M2K_W), DERIVED, SHELTER(sky_view_m2k_w), WALLS,
        .example = "0.035 m2 K/W",
        .help = "Heat loss to the sky: share of the sky that the cover sees, divided by its outer film coefficient."},
    END};

#define SEASON(what)                                                                                                   \
    {"from", .kind = WG_KEY_YEAR_DAY, .otherwise = "01-01", .only = "together with to", .example = "11-01",            \
        .help = "First day of the year on which " what "."},                                                           \
    {"to", .kind = WG_KEY_YEAR_DAY, .otherwise = "12-31", .only = "together with from", .example = "03-31",            \
        .help = "Last day of the year on which " what "; it may be in the next year."}
static const struct wg_key room_summer[] = {
    {"from", .kind = WG_KEY_YEAR_DAY, REQUIRED, .example = "05-15", .or_write = ", to: 09-15",
        .help = "First day of summer, each year."},
    {"to", .kind = WG_KEY_YEAR_DAY, REQUIRED, .example = "09-15", .help = "Last day of summer, each year."},
    {"temperature", QUANTITY(WG_TEMPERATURE, WG_MIN_ROOM_C, WG_MAX_ROOM_C), REQUIRED, SHELTER(summer_c),
        .example = "75 degF", .help = "Temperature of the air in summer."},
    END};

#define PRICE .otherwise = "not known", .example = "0.15 per kWh", \
        .help = "Price of energy, in the plan's currency; without it no cost is counted."

static const struct wg_key lamps[] = {
    {"hours", QUANTITY(WG_HOURS, 0, 24), REQUIRED, SHELTER(lamp_hours), .example = "12 hours",
        .help = "Hours a day, starting at 6 a.m."},
    {"power", QUANTITY(WG_POWER, 0, 1e6), SHELTER(lamp_power_w), .otherwise = "not known", .example = "100 W",
        .help = "Electric power of the lamps; without it neither their energy nor their heat is counted."},
    {"price", QUANTITY(WG_PRICE, 0, WG_MAX_PRICE), SHELTER(lamp_price_per_kwh), PRICE},
    SEASON("they are lit"),
    {"when", .kind = WG_KEY_WHEN, SHELTER(lamp_when), .otherwise = "always", .example = "flies are about",
        .help = "Lights them only on days on which this is seen in the morning, within their season."},
    END};

#define OFF .words = off, .noun = "a set point", .or_write = "a temperature"
#define HEATER_KEYS(mat, warmest, ...)                                                                                 \
    {"set_point", QUANTITY(WG_TEMPERATURE, WG_MIN_SET_POINT_C, warmest), INTO(wg_heater_spec, set_point_c),            \
        __VA_ARGS__, OFF, .help = "The temperature it holds; off means until a change sets another."},                                                             \
    {"power", QUANTITY(WG_POWER, 0, WG_MAX_POWER_W), REQUIRED, INTO(wg_heater_spec, power_w),                          \
        .example = (mat) ? "60 W" : "5 kW", .help = "Maximum heat output."},                                        \
    {"price", QUANTITY(WG_PRICE, 0, WG_MAX_PRICE), INTO(wg_heater_spec, price_per_kwh), PRICE},                        \
    {"efficiency", QUANTITY(WG_PURE, WG_MIN_EFFICIENCY, WG_MAX_EFFICIENCY), INTO(wg_heater_spec, efficiency),          \
        .otherwise = "1", .example = "300 %",                                                                          \
        .help = "Heat output per unit of energy bought; about 300 % for a heat pump."},                              \
    SEASON("it is on"),                                                                                                \
    {"when", .kind = WG_KEY_WHEN, INTO(wg_heater_spec, when), .otherwise = "always", .example = "flies are about",     \
        .help = "Heats only on days on which this is seen in the morning, or forecast for the night (never wrongly: judgement)."}

static const struct wg_key heater[] = {
    HEATER_KEYS(false, WG_MAX_SET_POINT_C, REQUIRED, .example = "70 degF"), END};
static const struct wg_key mat[] = {
    HEATER_KEYS(true, WG_MAX_MAT_SET_POINT_C, .otherwise = "27 degC", .example = "80 degF"), END};

static const struct wg_key ground[] = {
    {"kind", WORD(grounds, "a kind of ground"), DERIVED, INTO(wg_ground_spec, kind), .example = "soil",
        .help = "Soil, or a pupation box as warm as the air; a box is usual in sheds and laboratories, and the only kind in "
            "a room, cellar or refrigerator."},
    {"depth", QUANTITY(WG_LENGTH, 0.01, WG_MAX_GROUND_DEPTH_M), INTO(wg_ground_spec, soil.depth_m),
        .otherwise = "100 mm",
        .only = "only for soil", .example = "4 in", .help = "How deep prepupae burrow."},
    {"mulch", QUANTITY(WG_LENGTH, 0, WG_MAX_MULCH_M), INTO(wg_ground_spec, soil.mulch_m), .otherwise = "0 mm",
        .only = "only for soil", .example = "2 in", .help = "Depth of mulch on top; it keeps frost out."},
    {"dark", .kind = WG_KEY_FLAG, DERIVED, INTO(wg_ground_spec, dark), .example = "yes",
        .otherwise = "no, but yes where neither daylight nor lamps reach: in a room, cellar or refrigerator",
        .help = "Whether the ground is dark; in the dark prepupae take longer to pupate."},
    END};

#define INSULATION QUANTITY(WG_LENGTH, 0, 0.5), .words = none, .noun = "an insulation thickness", \
    .or_write = "a thickness of foam", .example = "1 in"
#define LID WORD(lids, "a kind of lid")
static const struct wg_key bin[] = {
    {"name", .kind = WG_KEY_NAME, REQUIRED, .example = "trough",
        .help = "The name that actions use: one line of fewer than 64 letters, different from every other name."},
    {"volume", QUANTITY(WG_VOLUME, 0.001, WG_MAX_BIN_M3), .otherwise = "150 L", .example = "40 gal",
        .help = "Volume of the bin; its wall area follows from it."},
    {"insulation", INSULATION, .otherwise = "none", .help = "Thickness of foam all around."},
    {"lid", LID, .otherwise = "closed", .example = "screen",
        .help = "The lid; an open bin dries out, and evaporation cools it."},
    {"mat", GROUP(WG_GROUP_MAT), .otherwise = "none", .only = "not in a laboratory", .example = "{power: 60 W}",
        .help = "A heat mat under the bin."},
    {"summer", GROUP(WG_GROUP_SUMMER), .otherwise = "same as the rest of the year",
        .example = "{from: 05-01, to: 09-30, insulation: none, lid: screen}", .help = "What changes in summer."},
    {"substrate", QUANTITY(WG_MASS, 0.1, WG_MAX_SUBSTRATE_KG_M3 * WG_MAX_BIN_M3), BY_HAND,
        INTO(wg_bin_spec, substrate_kg),
        .example = "60 kg",
        .help = "Wet weight of the substrate on the first day, at most 1200 kg per m3 of the bin."},
    {"moisture", QUANTITY(WG_SHARE, 0.3, 0.95), INTO(wg_bin_spec, moisture), .otherwise = "70 %", .example = "75 %",
        .help = "Share of water in the wet weight of the substrate."},
    {"u_value", QUANTITY(WG_U_VALUE, 0.02, WG_MAX_U_W_M2K), BY_HAND, INTO(wg_bin_spec, u_w_m2k), .instead = "r_value",
        .example = "3 W/(m2 K)",
        .help = "Heat that passes through its walls, per area and degree; it replaces insulation."},
    {"r_value", QUANTITY(WG_R_VALUE, 0.01, 50), .only = "instead of u_value", .instead = "u_value", .example = "R-5",
        .help = "Thermal resistance of its walls, as printed on insulation."},
    INSULATION_PRICE("its foam", .only = NULL),
    END};

static const struct wg_key summer[] = {
    {"from", .kind = WG_KEY_YEAR_DAY, REQUIRED, .example = "05-01", .or_write = ", to: 09-30",
        .help = "First day of summer, each year."},
    {"to", .kind = WG_KEY_YEAR_DAY, .only = "together with from", .example = "09-30",
        .help = "Last day of summer, each year."},
    {"insulation", INSULATION, .otherwise = "as outside summer", .help = "Thickness of foam in summer."},
    {"lid", LID, .otherwise = "as outside summer", .example = "screen", .help = "The lid in summer."},
    END};

#define ACTION(field) INTO(wg_action, field)
#define TARGETS .flags = WG_KEY_REQUIRED | WG_KEY_BY_HAND | WG_KEY_OR_ALL
#define IN_BIN {"in", .kind = WG_KEY_BIN, TARGETS, ACTION(bin), .example = "trough", \
        .help = "The bin; with a list or all, the same is done in each of them, and an amount is for each."}
#define IN_PLACE {"in", .kind = WG_KEY_PLACE, TARGETS, ACTION(place), .example = "hoop house", \
        .help = "The place; with a list or all, the same is done in each of them."}
#define YEARLY .flags = WG_KEY_OR_YEAR_DAY
#define ON(day) {"on", .kind = WG_KEY_DATE, .flags = WG_KEY_REQUIRED | WG_KEY_OR_YEAR_DAY, .example = day, \
        .help = "The day; without a year (11-15), that day of each year of the period."}
#define ON_OR_WHEN(day) {"on", .kind = WG_KEY_DATE, YEARLY, .words = never, .only = "required unless when is given", .example = day, \
        .help = "The day; without a year (11-15), that day of each year of the period; never leaves the action out."}
#define WHEN(what) {"when", .kind = WG_KEY_WHEN, .flags = WG_KEY_BY_HAND, ACTION(when), .example = what, .only = "with on, only if it holds that day", \
        .help = "Does it once, on the first morning on which this holds."}
#define EARLIEST {"earliest", .kind = WG_KEY_DATE, YEARLY, .with = "when", .otherwise = "the first day of the period", \
        .instead = "on", .example = "2027-03-01", .help = "The first day on which it may be done; without a year, once in each season."}
#define LATEST {"latest", .kind = WG_KEY_DATE, YEARLY, .with = "when", .otherwise = "the last day of the period", \
        .instead = "on", .example = "2027-05-31", .help = "The last day on which it may be done."}
#define OR_ON {"on", .kind = WG_KEY_DATE, YEARLY, .only = "not with every, from or to", .example = "2026-11-15", \
        .help = "The day, if it happens only once; without a year (11-15), that day of each year of the period."}
#define FROM {"from", .kind = WG_KEY_DATE, YEARLY, .otherwise = "the first day of the period", .instead = "on", \
        .example = "2026-11-01", .help = "The first day; from and to without a year (11-01) make a season of each year."}
#define TO {"to", .kind = WG_KEY_DATE, YEARLY, .otherwise = "the last day of the period", .instead = "on", \
        .example = "2027-03-31", .help = "The last day; in a season (03-31) it may be in the next year."}
#define EVERY {"every", QUANTITY(WG_DAYS, 1, 36500), .flags = WG_KEY_STEPS, .only = "required unless on is given", \
    .instead = "on", .example = "3 days", .help = "Interval in whole days or weeks."}
#define DO(word) {"do", WORD(actions, "a known action"), REQUIRED, .example = word, .help = "The action."}

static const struct wg_key starter[] = {
    {"on", .kind = WG_KEY_DATE, .flags = WG_KEY_REQUIRED | WG_KEY_OR_YEAR_DAY | WG_KEY_FIRST_ONLY,
        .example = "2026-11-15", .help = "The day; without a year (11-15), the first such day of the period."},
    IN_BIN,
    {"stage", WORD(stages, "a stage for a starter"),
        .flags = WG_KEY_REQUIRED | WG_KEY_BY_HAND, ACTION(as.start.what), .example = "larva",
        .or_write = " (or egg, prepupa)", .help = "The life stage of the animals."},
    {"age", QUANTITY(WG_DAYS, 0, WG_MAX_STARTER_AGE_DAYS), .only = "only for larvae, which need it",
        .example = "5 days",
        .help = "Days since hatching, at usual rearing temperatures."},
    {"count", WHOLE(0, WG_MAX_STARTERS), .noun = "the count", .only = "either count or weight", .example = "10000",
        .help = "Number of animals."},
    {"weight", QUANTITY(WG_MASS, 0, WG_MAX_STARTER_KG), .only = "either count or weight", .example = "2 lb",
        .help = "Live weight of the animals."},
    {"price", QUANTITY(WG_PRICE_OF_ANIMALS, 0, WG_MAX_PRICE), .flags = WG_KEY_OR_MASS, .example = "2 per 1000",
        .help = "Price of the animals, by number or by weight; without it they count as free."},
    END};

static const struct wg_key feed[] = {
    {"name", .kind = WG_KEY_NAME, REQUIRED, .example = "hotel scraps",
        .help = "The name that feedings use, different from every other feed's."},
    {"moisture", SHARE, .only = "required without a mix", .instead = "mix",
        .example = "75 %", .help = "Share of water in the fresh weight."},
    {"usable", SHARE, .only = "required without a mix", .instead = "mix", .example = "60 %",
        .help = "Share of the dry matter that larvae can eat; kitchen scraps have 85 %."},
    {"quality", SHARE, .otherwise = "100 %", .instead = "mix", .example = "80 %",
        .help = "Weight of a full-grown larva on it, as a share of that on kitchen scraps."},
    {"yield", QUANTITY(WG_SHARE, 0.01, WG_MAX_FEED_CONVERSION),
        .otherwise = "the same as quality", .instead = "mix", .example = "70 %",
        .help = "Gain from each kilogram eaten, as a share of that from kitchen scraps."},
    {"mix", .kind = WG_KEY_MIX, .example = "{kitchen scraps: 70 %, coffee grounds: 30 %}",
        .only = "instead of moisture, usable, quality and yield",
        .help = "Feeds by their shares of the fresh weight, 100 % together: known ones, or own ones listed before."},
    END};

static const struct wg_key feeding[] = {
    IN_BIN,
    {"what", .kind = WG_KEY_FEED, REQUIRED, .noun = "a known feed", ACTION(as.feed.type),
        .example = "kitchen scraps",
        .help = "The kind of feed: a known one, or one of your own feeds."},
    {"amount", QUANTITY(WG_MASS, 0, WG_MAX_FEED_KG), .flags = WG_KEY_REQUIRED | WG_KEY_OR_RATE, .words = as_eaten,
        .example = "3 lb",
        .help = "Fresh weight each time; or a rate per day or week, shared evenly among the times; or as eaten: what the "
                "larvae will eat until the next time, by their number, size and warmth, less what still lies there, "
                "and always a handful that draws flies. Unlike feeding: unlimited, that spoils, has the quality of the feed, and is counted."},
    {"at most", QUANTITY(WG_MASS, 0, WG_MAX_FEED_KG), .only = "only with amount: as eaten", .example = "3 lb",
        .help = "The largest fresh weight each time; larvae that would eat more go hungry."},
    {"every", QUANTITY(WG_DAYS, 1, 36500), .flags = WG_KEY_STEPS, .otherwise = "1 day", .instead = "on",
        .example = "3 days",
        .help = "Interval in whole days or weeks."},
    {"price", QUANTITY(WG_PRICE_OF_MASS, 0, WG_MAX_PRICE), .instead = "tipping_fee", .only = "either price or tipping_fee",
        .example = "0.20 per kg", .help = "What the feed costs you, per fresh weight; without it the feed counts as free."},
    {"tipping_fee", QUANTITY(WG_PRICE_OF_MASS, 0, WG_MAX_PRICE), .only = "either price or tipping_fee",
        .example = "0.05 per kg", .help = "What you are paid to take the feed, per fresh weight."},
    FROM, TO, OR_ON,
    END};

static const struct wg_key collect[] = {
    DO("collect crawl-off"), IN_BIN,
    {"share", SHARE, REQUIRED, ACTION(as.collect.share), .example = "80 %",
        .help = "Share of the crawl-off that is caught."},
    {"give_back", SHARE, ACTION(as.collect.give_back), .otherwise = "0 %", .example = "20 %",
        .help = "Share of the catch that you put into the ground to pupate."},
    FROM, TO, END};

#define LAID {"share_laid_in_traps", SHARE, .otherwise = "as in set traps", .example = "60 %", \
    .help = "Share of the eggs laid in the traps while they hang."}
static const struct wg_key pull_traps[] = {
    DO("pull traps"), IN_PLACE,
    {"every", QUANTITY(WG_DAYS, 1, 36500), .flags = WG_KEY_STEPS, .words = before_hatch,
        .only = "required unless on is given", .instead = "on", .example = "3 days",
        .help = "Interval in whole days or weeks; or before they hatch: in the morning of the day on which the oldest eggs "
            "will have developed nine tenths of the way, if the air stays as warm as yesterday."},
    {"put_in", .kind = WG_KEY_BIN, ACTION(as.pull.put_in), .only = "either put_in or carry_off", .instead = "carry_off",
        .example = "trough",
        .help = "The bin that gets the eggs."},
    {"carry_off", .kind = WG_KEY_FLAG, .only = "either put_in or carry_off", .otherwise = "no", .instead = "put_in",
        .example = "yes",
        .help = "Whether the eggs leave the colony."},
    LAID, FROM, TO, OR_ON, END};

static const struct wg_key set_traps[] = {
    DO("set traps"), IN_PLACE,
    {"share_laid_in_traps", SHARE, REQUIRED, ACTION(as.traps.share), .example = "60 %",
        .help = "Share of the eggs laid in the traps while they hang."},
    FROM, TO, END};

static const struct wg_key move[] = {
    DO("move"), ON_OR_WHEN("2027-01-10"), WHEN("ours died out"), EARLIEST, LATEST,
    {"from", .kind = WG_KEY_BIN_OR_PLACE, REQUIRED, .example = "yard",
        .help = "The bin they leave; for prepupae a place. Everything leaves a bin or all bins of a place, and the ground "
                "of the place if no other bin shares it."},
    {"to", .kind = WG_KEY_BIN_OR_PLACE, REQUIRED, .example = "shed",
        .help = "The bin they enter; for prepupae a place. Everything goes to a bin and the ground of its place."},
    {"what", WORD(movables, "a stage that can be moved"), REQUIRED, .example = "larvae",
        .or_write = " (or prepupae, eggs, everything)",
        .help = "The life stage to move; dormant prepupae and pupae move with prepupae. Everything is eggs, larvae, prepupae "
                "and pupae; flies and the eggs in traps stay."},
    {"share", SHARE, ACTION(as.move.share), .otherwise = "100 %", .example = "50 %",
        .help = "Share of them that moves."},
    END};

static const struct wg_key scoop[] = {
    DO("scoop larvae"), IN_BIN,
    {"amount", QUANTITY(WG_MASS, 0, WG_MAX_SCOOP_KG), .flags = WG_KEY_OR_RATE, .only = "either amount or share",
        .example = "1 lb",
        .help = "Live weight each time, or as much of it as there is; or a rate per day or week, every day unless every is "
            "given."},
    {"leave", SHARE, ACTION(as.scoop.leave), .only = "only with amount", .with = "amount", .otherwise = "0 %",
        .example = "30 %", .help = "Share of the larvae, by weight, that you leave in the bin at least."},
    {"share", SHARE, ACTION(as.scoop.share), .only = "either amount or share", .example = "20 %",
        .help = "Share of the larvae each time."},
    EVERY, FROM, TO, OR_ON, END};

static const struct wg_key clear[] = {
    DO("clear residue"), IN_BIN,
    {"share", SHARE, ACTION(as.clear.share), .otherwise = "100 %", .example = "80 %",
        .help = "Share of the residue, feed that is no longer eaten, that you take out."},
    {"every", QUANTITY(WG_DAYS, 1, 36500), .flags = WG_KEY_STEPS, .words = when_full,
        .only = "required unless on is given", .instead = "on", .example = "30 days",
        .help = "Interval in whole days or weeks; or when full: when feed and residue, as moist as the bin's substrate, "
            "fill four fifths of the bin."},
    FROM, TO, OR_ON, END};

static const struct wg_key change[] = {
    DO("change"), ON_OR_WHEN("2026-11-15"), WHEN("flies are about"), EARLIEST, LATEST,
    {"in", .kind = WG_KEY_BIN_OR_PLACE, .flags = WG_KEY_REQUIRED | WG_KEY_OR_ALL, .example = "trough",
        .or_write = " (a bin), or in: hoop house (a place)",
        .help = "The bin or place to change; a list, or all that have the setting."},
    {"heater", .kind = WG_KEY_SWITCH, .only = "only for a place with a heater", .example = "off",
        .help = "Switches the heater on or off."},
    {"set_point", QUANTITY(WG_TEMPERATURE, WG_MIN_SET_POINT_C, WG_MAX_SET_POINT_C),
        .only = "only for a place with a heater or a bin with a mat",
        OFF, .example = "65 degF", .help = "The new temperature to hold, at most 45 degC for a mat."},
    {"mat", .kind = WG_KEY_SWITCH, .only = "only for a bin with a mat", .example = "on",
        .help = "Switches the mat on or off."},
    {"insulation", INSULATION, .only = "only for a bin", .help = "The new thickness of foam."},
    {"lid", LID, .only = "only for a bin", .example = "open", .help = "The new lid."},
    END};

#define WORTH(field) QUANTITY(WG_PRICE_OF_MASS, 0, WG_MAX_PRICE), INTO(wg_sales, field.amount)
static const struct wg_key prices[] = {
    {"larvae", WORTH(larvae_kg), .example = "4 per kg",
        .help = "Worth of the larvae and prepupae you take out, per live weight."},
    {"residue", WORTH(residue_kg), .example = "0.10 per kg",
        .help = "Worth of the residue you clear, per weight, as moist as the substrate of its bin."},
    END};

static const struct wg_key mishaps[] = {
    {"power_cut", GROUP(WG_GROUP_POWER_CUT), .otherwise = "none", .example = "{per_year: 2, lasts: 12 hours}",
        .help = "Power cuts, which switch off heaters, mats and lamps in all places at once."},
    {"raid", GROUP(WG_GROUP_RAID), .otherwise = "none", .example = "{per_year: 1, larvae_lost: 40 %}",
        .help = "Raids by wild animals, which take larvae from places open to them."},
    END};

#define PER_YEAR QUANTITY(WG_PER_YEAR, 0, WG_MAX_MISHAPS_PER_YEAR), REQUIRED
static const struct wg_key power_cut[] = {
    {"per_year", PER_YEAR, INTO(wg_mishaps, power_cuts_per_year), .example = "2",
        .help = "Average number per year."},
    {"lasts", QUANTITY(WG_HOURS, 0, WG_MAX_POWER_CUT_HOURS), REQUIRED, INTO(wg_mishaps, power_cut_hours),
        .example = "12 hours",
        .help = "Length of each power cut, in whole hours."},
    END};
static const struct wg_key raid[] = {
    {"per_year", PER_YEAR, INTO(wg_mishaps, raids_per_year), .example = "1", .help = "Average number per year."},
    {"larvae_lost", SHARE, REQUIRED, INTO(wg_mishaps, raid_share), .example = "40 %",
        .help = "Share of the larvae lost in each raid."},
    END};
static const struct wg_key wild[] = {
    {"peak", QUANTITY(WG_NUMBER_RATE, 0, WG_MAX_WILD_PER_DAY), REQUIRED, INTO(wg_plan, wild_peak_per_day),
        .example = "3 per day",
        .help = "Females per day at the peak of the season, in each place open to them."},
    END};

static const struct wg_key species[] = {
    {"numbers", WORD(sets, "a set of numbers"), .otherwise = "as in each animal", .example = "laboratory",
        .help = "The set of numbers to start from. Each plausible animal has its own; the middle animal, without this key, "
            "those of keepers."},
    {"animals", WORD(animals, "a choice of animals"), BY_HAND, INTO(wg_plan, animals), .example = "middle",
        .otherwise = "plausible",
        .help = "With plausible, the replicates live animals that differ in what is not known of them; single numbers "
            "below are then the same in all animals. With middle, all live the one animal of the set, as they do where "
            "numbers is given."},
    {"dormancy", WORD(dormancies, "a kind of dormancy"), 
        .otherwise = "half by day length, half by cold only", .example = "by cold only",
        .instead = "dormancy_by_day_length",
        .help = "Whether prepupae go dormant in cold ground only while days are short, or on any day; nobody knows "
                "which, and it may decide the odds. It sets dormancy_by_day_length to 1 or 0. The middle animal is of the "
                "kind by day length."},
    {"clutch", .kind = WG_KEY_RANGE, .dimension = WG_COUNT, .otherwise = "as in each animal", .example = "[400, 900]",
        .help = "Fewest and most eggs per female; it sets clutch_low and clutch_high together."},
    END};

static const struct wg_key forecast[] = {
    {"replicates", WHOLE(1, WG_MAX_REPLICATES), .noun = "the number of replicates", INTO(wg_plan, replicates),
        .otherwise = "512",
        .example = "1024", .help = "Number of simulated runs. Each 512 are 64 plausible animals, each in 8 of 64 winters."},
    {"seed", .kind = WG_KEY_SEED, .noun = "the random seed", .most = 18446744073709551615.0, INTO(wg_plan, seed),
        .otherwise = "1", .example = "2026",
        .help = "The same seed gives the same forecast."},
    {"steps_per_day", WORD(steps, "a number of steps per day"), .otherwise = "1", .example = "24",
        .help = "Time steps per day for the animals; temperatures are always hourly."},
    END};

#define AMOUNT .only = "give exactly one of the seven kinds of goal"
static const struct wg_key goal[] = {
    {"survive", .kind = WG_KEY_FLAG, AMOUNT, .example = "yes", .help = "Whether the colony is to survive."},
    {"harvest", QUANTITY(WG_MASS_RATE, 0, 1e6), AMOUNT, .example = "5 lb/week",
        .help = "Harvest per week, in as many weeks running as lasting says."},
    {"adults", WHOLE(1, WG_MAX_STARTERS), .noun = "the number of adults", AMOUNT, .example = "200",
        .help = "Number of flies alive on one day."},
    {"eggs_trapped", WHOLE(1, WG_MAX_STARTERS), .noun = "the number of eggs", AMOUNT, .example = "50000",
        .help = "Number of eggs laid in traps, in total."},
    {"total_harvest", QUANTITY(WG_MASS, 0, 1e9), AMOUNT, .example = "40 kg", .help = "Harvest in total."},
    {"cost", .kind = WG_KEY_MONEY, AMOUNT, .example = "at most 120",
        .help = "The most that energy may cost, in the plan's currency."},
    {"balance", .kind = WG_KEY_MONEY, AMOUNT, .example = "above 0",
        .help = "What is to be left when all income and costs with a price are counted, in the plan's currency."},
    {"by", .kind = WG_KEY_DATE, .flags = WG_KEY_OR_YEAR_DAY | WG_KEY_FIRST_ONLY, INTO(wg_goal, by),
        .otherwise = "the last possible day", .example = "2027-05-31",
        .help = "The last day that counts; without a year (05-31), the first such day of the period."},
    {"lasting", QUANTITY(WG_DAYS, 1, 36500), .flags = WG_KEY_STEPS, .only = "only with harvest", .with = "harvest",
        .otherwise = "1 week",
        .example = "4 weeks",
        .help = "Number of whole weeks running with that harvest."},
    {"of", WORD(harvests, "a harvest"), .only = "only with harvest or total_harvest",
        .otherwise = "taken, or crawl-off if the plan takes nothing out", .example = "crawl-off",
        .help = "What counts as harvest: larvae taken out, or all crawl-off, caught or not."},
    {"chance", SHARE, INTO(wg_goal, chance), .otherwise = "90 %", .example = "95 %",
        .help = "The chance of success you want."},
    END};

const struct wg_group wg_schema_groups[WG_N_GROUPS] = {
    [WG_GROUP_SCENARIO] = {"scenario", "a scenario", NULL, scenario, "The whole file.", false},
    [WG_GROUP_PERIOD] = {"period", "the period", NULL, period, "The days that are simulated.", false},
    [WG_GROUP_CLIMATE] = {"climate", "the climate", NULL, climate, "The weather, or the temperature of a laboratory.", false},
    [WG_GROUP_NORMALS] = {"normals", "the normals", "the group of normals", normals,
        "Monthly means around which weather is made.", true},
    [WG_GROUP_PLACE] = {"place", "a place", NULL, place, "One place in the list of places.", false},
    [WG_GROUP_HOUSING] = {"housing", "a housing", NULL, housing, "What shelters the bins of a place.", false},
    [WG_GROUP_ROOM_SUMMER] = {"room summer", "the room's summer", NULL, room_summer,
        "The temperature of a room or cellar in summer.", false},
    [WG_GROUP_LAMPS] = {"lamps", "a set of lamps", NULL, lamps, "The lamps of a house.", false},
    [WG_GROUP_HEATER] = {"heater", "a heater", NULL, heater, "The heater of a place.", false},
    [WG_GROUP_GROUND] = {"ground", "the ground", NULL, ground, "Where prepupae pupate.", false},
    [WG_GROUP_BIN] = {"bin", "a bin", NULL, bin, "One bin in the list of bins.", false},
    [WG_GROUP_MAT] = {"mat", "a mat", NULL, mat, "The heat mat of a bin.", false},
    [WG_GROUP_SUMMER] = {"summer", "the bin's summer", NULL, summer, "What changes at a bin in summer.", false},
    [WG_GROUP_STARTER] = {"starter", "a starter", NULL, starter, "One group of animals you start with.", false},
    [WG_GROUP_FEED] = {"feed", "a feed", NULL, feed, "One feed of your own in the list of feeds.", false},
    [WG_GROUP_FEEDING] = {"feeding", "a feeding", NULL, feeding, "One feeding in the list of feedings.", false},
    [WG_GROUP_COLLECT] = {"collect crawl-off", "the action \"collect crawl-off\"", NULL, collect,
        "Catches larvae that crawl off to pupate.", false},
    [WG_GROUP_PULL_TRAPS] = {"pull traps", "the action \"pull traps\"", NULL, pull_traps,
        "Takes the eggs out of the traps, in the morning.", false},
    [WG_GROUP_SET_TRAPS] = {"set traps", "the action \"set traps\"", NULL, set_traps, "Hangs egg traps.", false},
    [WG_GROUP_MOVE] = {"move", "the action \"move\"", NULL, move, "Moves animals to another bin or place.", false},
    [WG_GROUP_SCOOP] = {"scoop larvae", "the action \"scoop larvae\"", NULL, scoop, "Takes larvae out.", false},
    [WG_GROUP_CLEAR] = {"clear residue", "the action \"clear residue\"", NULL, clear, "Takes old substrate out.", false},
    [WG_GROUP_CHANGE] = {"change", "the action \"change\"", NULL, change, "Changes a setting from that day on.", false},
    [WG_GROUP_PRICES] = {"prices", "the prices", "the group of prices", prices,
        "What you are paid for what you take out, or save.", true},
    [WG_GROUP_MISHAPS] = {"mishaps", "the mishaps", NULL, mishaps, "Power cuts and raids, which happen at random.", true},
    [WG_GROUP_POWER_CUT] = {"power_cut", "the power cut", NULL, power_cut, "Power cuts, which hit all places at once.", false},
    [WG_GROUP_RAID] = {"raid", "the raid", NULL, raid, "Raids by wild animals on places open to them.", false},
    [WG_GROUP_WILD] = {"wild_visitors", "the wild visitors", "the group of wild visitors", wild,
        "Wild females that lay eggs in places open to them.", true},
    [WG_GROUP_SPECIES] = {"species", "the numbers of the species", NULL, species,
        "The model's numbers for the animal.", true},
    [WG_GROUP_FORECAST] = {"forecast", "the forecast", NULL, forecast, "How the forecast is computed.", false},
    [WG_GROUP_GOAL] = {"goal", "a goal", NULL, goal, "What you want, by when, and with what chance.", false},
};

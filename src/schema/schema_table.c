/*
 * The rows of schema.h, in the order in which keys are listed.
 *
 * Limits are those of base/limits.h where the model has one, else judgement: narrower where a value is legal and surely
 * a slip. What an action or a house is where the file is silent has its source where the model sets it
 * (housing/defaults.c).
 */
#include "schema/schema_table.h"

#include "colony/plan.h"

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
static const char *const units[] = {"degF", "degC", NULL};
static const char *const spreads[] = {"humid subtropical", "continental", "marine", "tropical", NULL};
static const char *const uses[] = {"years", "fitted", NULL};
static const char *const housings[] = {"outdoors", "hoop house", "greenhouse", "shed", "laboratory", NULL};
static const char *const covers[] = {"single film", "double film", "twin wall", "glass", NULL};
static const char *const grounds[] = {"soil", "box", NULL};
static const char *const lids[] = {"closed", "screen", "open", NULL};
static const char *const stages[] = {"egg", "larva", "prepupa", NULL};
static const char *const unlimited[] = {"unlimited", NULL};
static const char *const actions[] = {"collect crawl-off", "pull traps",    "set traps", "move",
                                      "scoop larvae",      "clear residue", "change",    NULL};
static const char *const movables[] = {"larvae", "prepupae", "eggs", NULL};
static const char *const sets[] = {"keepers", "laboratory", NULL};
static const char *const steps[] = {"1", "2", "4", "24", NULL};
static const char *const harvests[] = {"taken", "crawl-off", NULL};

/* clang-format off */
static const struct wg_key scenario[] = {
    {"title", .kind = WG_KEY_TEXT, .otherwise = "the name of the file", .example = "Harrow Hill, trough outdoors",
        .help = "What the forecast is called."},
    {"period", GROUP(WG_GROUP_PERIOD), REQUIRED, .example = "{from: 2026-09-15, to: 2027-09-14}",
        .help = "The days that are simulated."},
    {"climate", GROUP(WG_GROUP_CLIMATE), REQUIRED, .example = "{constant: 27 degC}",
        .or_write = ", or normals of your place", .help = "The weather, or the temperature of a laboratory."},
    {"places", LIST(WG_GROUP_PLACE), REQUIRED, .noun = "a list of places",
        .example = "[{name: yard, housing: {kind: outdoors}, bins: [{name: trough}]}]",
        .help = "Where the animals live: up to 16 places with up to 64 bins in all."},
    {"starter", LIST(WG_GROUP_STARTER), .otherwise = "none", .noun = "a list of starters",
        .example = "[{on: 2026-09-15, in: trough, stage: larva, age: 5 days, count: 10000}]",
        .help = "The animals put in; without one, wild_visitors have to come."},
    {"feeding", LIST(WG_GROUP_FEEDING), REQUIRED, .words = unlimited, .noun = "a list of feedings",
        .example = "[{in: trough, what: kitchen scraps, amount: 3 lb, every: 1 day}]",
        .or_write = ", or feeding: unlimited", .help = "The feed given; unlimited is all they can eat, everywhere."},
    {"keeping", .kind = WG_KEY_ACTIONS, .group = WG_GROUP_COLLECT, .otherwise = "nothing", .noun = "a list of actions",
        .example = "[{do: collect crawl-off, in: trough, share: 80 %}]",
        .help = "What the keeper does besides feeding."},
    {"mishaps", GROUP(WG_GROUP_MISHAPS), .otherwise = "none",
        .example = "{power_cut: {per_year: 2, lasts: 12 hours}}", .help = "What goes wrong by chance."},
    {"wild_visitors", GROUP(WG_GROUP_WILD), .otherwise = "none", .example = "{peak: 3 per day}",
        .help = "Wild females that lay in places open to them."},
    {"species", GROUP(WG_GROUP_SPECIES), .flags = WG_KEY_IMPLIED, .example = "{numbers: keepers}",
        .help = "The numbers of the animal: a set, and any of them changed (wintergrub help numbers)."},
    {"forecast", GROUP(WG_GROUP_FORECAST), .flags = WG_KEY_IMPLIED, .example = "{replicates: 500, seed: 2026}",
        .help = "How the forecast is computed."},
    {"goal", LIST(WG_GROUP_GOAL), .flags = WG_KEY_OR_ONE, .otherwise = "none", .noun = "a list of goals",
        .example = "[{survive: yes, chance: 95 %}]", .help = "What is wanted: one goal, or a list of up to 8."},
    END};

static const struct wg_key period[] = {
    {"from", .kind = WG_KEY_DATE, REQUIRED, INTO(wg_plan, first_day), .example = "2026-09-15",
        .help = "The first day."},
    {"to", .kind = WG_KEY_DATE, REQUIRED, INTO(wg_plan, last_day), .example = "2027-09-14",
        .help = "The last day, at most a hundred years after the first."},
    END};

static const struct wg_key climate[] = {
    {"latitude", .kind = WG_KEY_LATITUDE, .dimension = WG_ANGLE, .least = -66, .most = 66,
        .only = "needed with normals, and with a record whose file does not say it", .example = "32.4 N",
        .or_write = ", or 32.4 S south of the equator", .help = "It sets the length of the day and the season."},
    {"elevation", QUANTITY(WG_HEIGHT, -430, 6000), DERIVED, INTO(wg_climate_spec, elevation_m),
        .otherwise = "what the weather file says, or 0 m", .example = "60 m", .help = "Height above the sea."},
    {"coast", .kind = WG_KEY_FLAG, INTO(wg_climate_spec, is_coast), .otherwise = "no", .example = "yes",
        .help = "By the sea the sky is clearer for the same range of temperature."},
    {"normals", GROUP(WG_GROUP_NORMALS), .example = "{unit: degF, daily_high: [...], daily_low: [...]}",
        .only = "one of normals, record and constant is needed", .help = "Weather made around monthly means."},
    {"record", .kind = WG_KEY_TEXT, .noun = "the name of a weather file",
        .only = "one of normals, record and constant is needed", .example = "weather/station.csv",
        .help = "A weather file beside the scenario or in a folder below it."},
    {"use", WORD(uses, "a use of the record"), .otherwise = "years", .only = "only with a record", .with = "record",
        .example = "fitted",
        .help = "Years of the record as they were, or weather made like them; a typical year is fitted."},
    {"unit", WORD(units, "a unit of temperature"), .only = "only with a record", .example = "degC",
        .help = "That of the weather file, where the file does not say."},
    {"constant", QUANTITY(WG_TEMPERATURE, -20, 60), INTO(wg_climate_spec, constant_c),
        .only = "only for laboratories; one of normals, record and constant is needed", .example = "27 degC",
        .help = "The one temperature of a laboratory."},
    END};

static const struct wg_key normals[] = {
    {"unit", WORD(units, "a unit of temperature"), .only = "needed where numbers have no unit of their own",
        .example = "degF", .or_write = ", or unit: degC", .help = "The unit of numbers written without one."},
    {"daily_high", MONTHS(WG_TEMPERATURE, -60, 60), REQUIRED,
        .example = "[58, 62, 69, 77, 84, 91, 93, 92, 87, 78, 68, 60]",
        .help = "Mean daily high of each month, January first."},
    {"daily_low", MONTHS(WG_TEMPERATURE, -70, 50), REQUIRED,
        .example = "[36, 39, 46, 54, 62, 70, 72, 71, 65, 54, 45, 38]",
        .help = "Mean daily low of each month, January first."},
    {"spread", WORD(spreads, "a kind of spread"), .otherwise = "by latitude", .example = "humid subtropical",
        .help = "How much days differ from the mean; by latitude it is tropical below 23.5 degrees, humid subtropical "
            "below 38, else continental."},
    {"daily_high_sd", MONTHS(WG_TEMPERATURE_STEP, 0, 15), .flags = WG_KEY_OR_ONE, .otherwise = "by spread",
        .example = "8 degF", .help = "Standard deviation of the daily high: one value, or one for each month."},
    {"daily_low_sd", MONTHS(WG_TEMPERATURE_STEP, 0, 15), .flags = WG_KEY_OR_ONE, .otherwise = "by spread",
        .example = "7 degF", .help = "Standard deviation of the daily low: one value, or one for each month."},
    END};

static const struct wg_key place[] = {
    {"name", .kind = WG_KEY_NAME, REQUIRED, .example = "hoop house",
        .help = "What actions call it: one line of less than 64 letters, unlike all other names."},
    {"housing", GROUP(WG_GROUP_HOUSING), REQUIRED, .words = housings, .example = "{kind: outdoors}",
        .help = "What stands around the bins; a kind alone is the usual house of that kind."},
    {"heater", GROUP(WG_GROUP_HEATER), .otherwise = "none", .only = "only in a hoop house, greenhouse or shed",
        .example = "{set_point: 65 degF, power: 5 kW}", .help = "A heater for the air of the house."},
    {"ground", GROUP(WG_GROUP_GROUND), .flags = WG_KEY_IMPLIED, .example = "{kind: soil, depth: 4 in}",
        .help = "Where prepupae pupate."},
    {"bins", LIST(WG_GROUP_BIN), .otherwise = "none", .noun = "a list of bins",
        .example = "[{name: trough, volume: 150 L}]", .help = "The bins in this place."},
    END};

#define SHELTER(field) INTO(wg_shelter_spec, field)
#define WALLS .only = "only of a hoop house, greenhouse or shed"
static const struct wg_key housing[] = {
    {"kind", WORD(housings, "a kind of housing"), .flags = WG_KEY_REQUIRED | WG_KEY_BY_HAND, SHELTER(kind),
        .example = "hoop house",
        .or_write = " (or outdoors, greenhouse, shed, laboratory)",
        .help = "All other keys of the housing start from what is usual for it."},
    {"floor", QUANTITY(WG_AREA, 0.25, WG_MAX_FLOOR_M2), BY_HAND, SHELTER(floor_m2), WALLS, .example = "200 ft2",
        .help = "Area of the floor; cover, volume, sun and masses follow from it."},
    {"cover", WORD(covers, "a kind of cover"), .only = "only of a hoop house or greenhouse",
        .otherwise = "usual for the kind",
        .example = "double film",
        .help = "It sets U value, light, sun and loss to the sky; one film is usual, two on a greenhouse."},
    {"cover_area", QUANTITY(WG_AREA, 0.25, WG_MAX_COVER_M2), DERIVED, SHELTER(cover_m2), WALLS, .example = "40 m2",
        .help = "Area of walls and roof."},
    {"volume", QUANTITY(WG_SPACE, 0.1, WG_MAX_HOUSE_M3), BY_HAND, SHELTER(volume_m3), WALLS, .example = "28 m3",
        .help = "Air in the house; its heat capacity follows."},
    {"u_value", QUANTITY(WG_U_VALUE, 0.02, WG_MAX_U_W_M2K), BY_HAND, SHELTER(u_w_m2k), WALLS, .instead = "r_value",
        .example = "4 W/(m2 K)", .help = "Heat that passes the cover."},
    {"r_value", QUANTITY(WG_R_VALUE, 0.01, 50), .only = "instead of u_value", .instead = "u_value", .example = "R-13",
        .help = "The same as printed on insulation."},
    {"air_changes", QUANTITY(WG_PER_HOUR, 0, WG_MAX_AIR_CHANGES), DERIVED, SHELTER(air_changes), WALLS,
        .example = "1.5 per hour", .help = "Leaks with the vents shut."},
    {"vent_air_changes", QUANTITY(WG_PER_HOUR, 0, WG_MAX_VENT_AIR_CHANGES), DERIVED, SHELTER(vent_air_changes), WALLS,
        .example = "30 per hour", .help = "Air changes with the vents wide open; 0 is no vents."},
    {"vents_open_above", QUANTITY(WG_TEMPERATURE, 0, WG_MAX_VENT_ABOVE_C), DERIVED, SHELTER(vent_above_c), WALLS,
        .example = "28 degC", .help = "Air temperature at which the vents open."},
    {"window", QUANTITY(WG_AREA, 0, 1000), .only = "only of a shed", .otherwise = "a fifteenth of the floor",
        .instead = "sun_area",
        .example = "1 m2", .help = "Area of glass; the sun it lets in follows."},
    {"lamps", GROUP(WG_GROUP_LAMPS), .words = none, WALLS, .otherwise = "none", .example = "12 hours",
        .help = "Lamps for the flies: hours a day, or a group with their power."},
    {"light", QUANTITY(WG_SHARE, 0, 1), DERIVED, SHELTER(light_through), WALLS, .example = "60 %",
        .help = "Share of the daylight that reaches the flies."},
    {"sun_area", QUANTITY(WG_AREA, 0, WG_MAX_SUN_M2), DERIVED, SHELTER(sun_area_m2), WALLS, .example = "3 m2",
        .help = "Area whose sun ends as heat inside, no larger than the cover."},
    {"sun_to_air", QUANTITY(WG_SHARE, 0, 1), DERIVED, SHELTER(sun_to_air), WALLS, .example = "30 %",
        .help = "Share of that heat that goes to the air; the rest goes to the mass."},
    {"water", QUANTITY(WG_VOLUME, 0, WG_MAX_WATER_M3), WALLS, .otherwise = "0 L", .example = "400 L",
        .help = "Water in barrels: it adds to mass_heat and air_to_mass."},
    {"mass_heat", QUANTITY(WG_HEAT_CAPACITY, 1e3, WG_MAX_MASS_J_K), DERIVED, SHELTER(mass_j_k), WALLS,
        .example = "5 MJ/K",
        .help = "Heat capacity of floor, walls and what stands there."},
    {"air_heat", QUANTITY(WG_HEAT_CAPACITY, 1e2, WG_MAX_AIR_J_K), DERIVED, SHELTER(air_j_k), WALLS,
        .example = "0.2 MJ/K",
        .help = "Heat capacity of the air and what swings with it."},
    {"air_to_mass", QUANTITY(WG_CONDUCTANCE, 0, WG_MAX_CONDUCTANCE_W_K), DERIVED, SHELTER(mass_air_w_k), WALLS,
        .example = "90 W/K", .help = "Heat flow between the two."},
    {"mass_to_ground", QUANTITY(WG_CONDUCTANCE, 0, WG_MAX_CONDUCTANCE_W_K), DERIVED, SHELTER(mass_ground_w_k), WALLS,
        .example = "50 W/K", .help = "Heat flow from the mass to the soil below."},
    {"sky_loss", QUANTITY(WG_R_VALUE, 0, WG_MAX_SKY_M2K_W), DERIVED, SHELTER(sky_view_m2k_w), WALLS,
        .example = "0.035 m2 K/W", .help = "Share of the sky that the cover sees, over its outer film coefficient."},
    END};

#define SEASON(what)                                                                                                   \
    {"from", .kind = WG_KEY_YEAR_DAY, .otherwise = "01-01", .only = "together with to", .example = "11-01",            \
        .help = "First day of the year on which " what "."},                                                           \
    {"to", .kind = WG_KEY_YEAR_DAY, .otherwise = "12-31", .only = "together with from", .example = "03-31",            \
        .help = "Last day of the year on which " what "; it may lie in the next year."}
#define PRICE .otherwise = "not known", .example = "0.15 per kWh", \
        .help = "What energy costs, in any money; without it no cost is counted."

static const struct wg_key lamps[] = {
    {"hours", QUANTITY(WG_HOURS, 0, 24), REQUIRED, SHELTER(lamp_hours), .example = "12 hours",
        .help = "Hours a day, from six in the morning."},
    {"power", QUANTITY(WG_POWER, 0, 1e6), SHELTER(lamp_power_w), .otherwise = "not known", .example = "100 W",
        .help = "Without it neither their energy nor their heat is counted."},
    {"price", QUANTITY(WG_PRICE, 0, WG_MAX_PRICE), SHELTER(lamp_price_per_kwh), PRICE},
    SEASON("they are lit"),
    END};

#define HEATER_KEYS(mat, warmest, ...)                                                                                 \
    {"set_point", QUANTITY(WG_TEMPERATURE, WG_MIN_SET_POINT_C, warmest), INTO(wg_heater_spec, set_point_c),            \
        __VA_ARGS__, .help = "The temperature it holds."},                                                             \
    {"power", QUANTITY(WG_POWER, 0, WG_MAX_POWER_W), REQUIRED, INTO(wg_heater_spec, power_w),                          \
        .example = (mat) ? "60 W" : "5 kW", .help = "The most heat it gives."},                                        \
    {"price", QUANTITY(WG_PRICE, 0, WG_MAX_PRICE), INTO(wg_heater_spec, price_per_kwh), PRICE},                        \
    {"efficiency", QUANTITY(WG_PURE, WG_MIN_EFFICIENCY, WG_MAX_EFFICIENCY), INTO(wg_heater_spec, efficiency),          \
        .otherwise = "1", .example = "300 %",                                                                          \
        .help = "Heat given for each unit of energy bought; a heat pump gives about 3."},                              \
    SEASON("it is on")

static const struct wg_key heater[] = {
    HEATER_KEYS(false, WG_MAX_SET_POINT_C, REQUIRED, .example = "70 degF"), END};
static const struct wg_key mat[] = {
    HEATER_KEYS(true, WG_MAX_MAT_SET_POINT_C, .otherwise = "27 degC", .example = "80 degF"), END};

static const struct wg_key ground[] = {
    {"kind", WORD(grounds, "a kind of ground"), DERIVED, INTO(wg_ground_spec, kind), .example = "soil",
        .help = "Soil, or a box as warm as the air, which is usual in sheds and laboratories."},
    {"depth", QUANTITY(WG_LENGTH, 0.01, WG_MAX_GROUND_DEPTH_M), INTO(wg_ground_spec, soil.depth_m),
        .otherwise = "100 mm",
        .only = "only of soil", .example = "4 in", .help = "How deep prepupae dig."},
    {"mulch", QUANTITY(WG_LENGTH, 0, WG_MAX_MULCH_M), INTO(wg_ground_spec, soil.mulch_m), .otherwise = "0 mm",
        .only = "only of soil", .example = "2 in", .help = "Mulch on top, which keeps frost out."},
    {"dark", .kind = WG_KEY_FLAG, INTO(wg_ground_spec, dark), .otherwise = "no", .example = "yes",
        .help = "In the dark prepupae take longer."},
    END};

#define INSULATION QUANTITY(WG_LENGTH, 0, 0.5), .words = none, .noun = "an insulation", \
    .or_write = "a thickness of foam", .example = "1 in"
#define LID WORD(lids, "a kind of lid")
static const struct wg_key bin[] = {
    {"name", .kind = WG_KEY_NAME, REQUIRED, .example = "trough",
        .help = "What actions call it: one line of less than 64 letters, unlike all other names."},
    {"volume", QUANTITY(WG_VOLUME, 0.001, WG_MAX_BIN_M3), .otherwise = "150 L", .example = "40 gal",
        .help = "Its size; walls follow."},
    {"insulation", INSULATION, .otherwise = "none", .help = "Thickness of foam all around."},
    {"lid", LID, .otherwise = "closed", .example = "screen", .help = "An open bin dries, and drying cools it."},
    {"mat", GROUP(WG_GROUP_MAT), .otherwise = "none", .only = "not in a laboratory", .example = "{power: 60 W}",
        .help = "A heat mat under it."},
    {"summer", GROUP(WG_GROUP_SUMMER), .otherwise = "as the rest of the year",
        .example = "{from: 05-01, to: 09-30, insulation: none, lid: screen}", .help = "What differs in summer."},
    {"substrate", QUANTITY(WG_MASS, 0.1, WG_MAX_SUBSTRATE_KG_M3 * WG_MAX_BIN_M3), BY_HAND,
        INTO(wg_bin_spec, substrate_kg),
        .example = "60 kg",
        .help = "Wet weight of what lies in it on the first day, at most 1200 kg per m3 of the bin."},
    {"moisture", QUANTITY(WG_SHARE, 0.3, 0.95), INTO(wg_bin_spec, moisture), .otherwise = "70 %", .example = "75 %",
        .help = "Water in the substrate."},
    {"u_value", QUANTITY(WG_U_VALUE, 0.02, WG_MAX_U_W_M2K), BY_HAND, INTO(wg_bin_spec, u_w_m2k), .instead = "r_value",
        .example = "3 W/(m2 K)", .help = "Heat that passes its walls, in place of what follows from the insulation."},
    {"r_value", QUANTITY(WG_R_VALUE, 0.01, 50), .only = "instead of u_value", .instead = "u_value", .example = "R-5",
        .help = "The same as printed on insulation."},
    END};

static const struct wg_key summer[] = {
    {"from", .kind = WG_KEY_YEAR_DAY, REQUIRED, .example = "05-01", .or_write = ", to: 09-30",
        .help = "Its first day of the year."},
    {"to", .kind = WG_KEY_YEAR_DAY, .only = "together with from", .example = "09-30",
        .help = "Its last day of the year."},
    {"insulation", INSULATION, .otherwise = "as out of summer", .help = "Thickness of foam in summer."},
    {"lid", LID, .otherwise = "as out of summer", .example = "screen", .help = "The lid in summer."},
    END};

#define ACTION(field) INTO(wg_action, field)
#define IN_BIN {"in", .kind = WG_KEY_BIN, REQUIRED, ACTION(bin), .example = "trough", .help = "The bin."}
#define IN_PLACE {"in", .kind = WG_KEY_PLACE, REQUIRED, ACTION(place), .example = "hoop house", .help = "The place."}
#define ON(day) {"on", .kind = WG_KEY_DATE, REQUIRED, .example = day, .help = "The day."}
#define OR_ON {"on", .kind = WG_KEY_DATE, .only = "not with every, from and to", .example = "2026-11-15", \
        .help = "The one day."}
#define FROM {"from", .kind = WG_KEY_DATE, .otherwise = "the first day of the period", .instead = "on", \
        .example = "2026-11-01", .help = "The first day."}
#define TO {"to", .kind = WG_KEY_DATE, .otherwise = "the last day of the period", .instead = "on", \
        .example = "2027-03-31", .help = "The last day."}
#define EVERY {"every", QUANTITY(WG_DAYS, 1, 36500), .flags = WG_KEY_STEPS, .only = "needed unless on is written", \
    .instead = "on", .example = "3 days", .help = "Whole days from one time to the next."}
#define DO(word) {"do", WORD(actions, "an action known here"), REQUIRED, .example = word, .help = "The action."}

static const struct wg_key starter[] = {
    ON("2026-11-15"),
    IN_BIN,
    {"stage", WORD(stages, "a stage for a starter"),
        .flags = WG_KEY_REQUIRED | WG_KEY_BY_HAND, ACTION(as.start.what), .example = "larva",
        .or_write = " (or egg, prepupa)", .help = "What is put in."},
    {"age", QUANTITY(WG_DAYS, 0, WG_MAX_STARTER_AGE_DAYS), .only = "of larvae, which need it", .example = "5 days",
        .help = "Days since hatching, at the temperatures larvae are usually raised at."},
    {"count", WHOLE(0, WG_MAX_STARTERS), .noun = "the count", .only = "or weight", .example = "10000",
        .help = "How many."},
    {"weight", QUANTITY(WG_MASS, 0, WG_MAX_STARTER_KG), .only = "or count", .example = "2 lb",
        .help = "How much, alive."},
    END};

static const struct wg_key feeding[] = {
    IN_BIN,
    {"what", .kind = WG_KEY_FEED, REQUIRED, .noun = "a feed known here", ACTION(as.feed.type),
        .example = "kitchen scraps",
        .help = "The kind of feed."},
    {"amount", QUANTITY(WG_MASS, 0, WG_MAX_FEED_KG), .flags = WG_KEY_REQUIRED | WG_KEY_OR_RATE, .example = "3 lb",
        .help = "Fresh weight each time, or per day or week however often it is given."},
    {"every", QUANTITY(WG_DAYS, 1, 36500), .flags = WG_KEY_STEPS, .otherwise = "1 day", .instead = "on",
        .example = "3 days",
        .help = "Whole days from one time to the next."},
    FROM, TO, OR_ON,
    END};

static const struct wg_key collect[] = {
    DO("collect crawl-off"), IN_BIN,
    {"share", SHARE, REQUIRED, ACTION(as.collect.share), .example = "80 %",
        .help = "Share of the crawl-off that is caught."},
    {"give_back", SHARE, ACTION(as.collect.give_back), .otherwise = "0 %", .example = "20 %",
        .help = "Share of the catch that goes to the ground to pupate."},
    FROM, TO, END};

#define LAID {"share_laid_in_traps", SHARE, .otherwise = "as set traps says", .example = "60 %", \
    .help = "Share of the eggs laid in the traps while they hang."}
static const struct wg_key pull_traps[] = {
    DO("pull traps"), IN_PLACE, EVERY,
    {"put_in", .kind = WG_KEY_BIN, ACTION(as.pull.put_in), .only = "or carry_off", .instead = "carry_off",
        .example = "trough",
        .help = "The bin that gets the eggs."},
    {"carry_off", .kind = WG_KEY_FLAG, .only = "or put_in", .otherwise = "no", .instead = "put_in", .example = "yes",
        .help = "The eggs leave the colony."},
    LAID, FROM, TO, OR_ON, END};

static const struct wg_key set_traps[] = {
    DO("set traps"), IN_PLACE,
    {"share_laid_in_traps", SHARE, REQUIRED, ACTION(as.traps.share), .example = "60 %",
        .help = "Share of the eggs laid in the traps while they hang."},
    FROM, TO, END};

static const struct wg_key move[] = {
    DO("move"), ON("2027-01-10"),
    {"from", .kind = WG_KEY_BIN_OR_PLACE, REQUIRED, .example = "yard", .help = "A bin; of prepupae a place."},
    {"to", .kind = WG_KEY_BIN_OR_PLACE, REQUIRED, .example = "shed", .help = "A bin; of prepupae a place."},
    {"what", WORD(movables, "what can be moved"), REQUIRED, .example = "larvae", .or_write = " (or prepupae, eggs)",
        .help = "What is moved; pupae go along with prepupae."},
    {"share", SHARE, ACTION(as.move.share), .otherwise = "100 %", .example = "50 %", .help = "How much of them."},
    END};

static const struct wg_key scoop[] = {
    DO("scoop larvae"), IN_BIN,
    {"amount", QUANTITY(WG_MASS, 0, WG_MAX_SCOOP_KG), ACTION(as.scoop.mass_kg), .only = "or share", .example = "1 lb",
        .help = "Live weight each time."},
    {"share", SHARE, ACTION(as.scoop.share), .only = "or amount", .example = "20 %",
        .help = "Share of the larvae each time."},
    EVERY, FROM, TO, OR_ON, END};

static const struct wg_key clear[] = {
    DO("clear residue"), IN_BIN,
    {"share", SHARE, ACTION(as.clear.share), .otherwise = "100 %", .example = "80 %",
        .help = "How much of what nobody eats any more is taken out."},
    EVERY, FROM, TO, OR_ON, END};

static const struct wg_key change[] = {
    DO("change"), ON("2026-11-15"),
    {"in", .kind = WG_KEY_BIN_OR_PLACE, REQUIRED, .example = "trough",
        .or_write = " (a bin), or in: hoop house (a place)",
        .help = "The bin or place that is changed."},
    {"heater", .kind = WG_KEY_SWITCH, .only = "of a place with a heater", .example = "off",
        .help = "Switches the heater."},
    {"set_point", QUANTITY(WG_TEMPERATURE, WG_MIN_SET_POINT_C, WG_MAX_SET_POINT_C),
        .only = "where there is a heater or mat",
        .example = "65 degF", .help = "The temperature to hold from now on; of a mat at most 45 degC."},
    {"mat", .kind = WG_KEY_SWITCH, .only = "of a bin with a mat", .example = "on", .help = "Switches the mat."},
    {"insulation", INSULATION, .only = "of a bin", .help = "Thickness of foam from now on."},
    {"lid", LID, .only = "of a bin", .example = "open", .help = "The lid from now on."},
    END};

static const struct wg_key mishaps[] = {
    {"power_cut", GROUP(WG_GROUP_POWER_CUT), .otherwise = "none", .example = "{per_year: 2, lasts: 12 hours}",
        .help = "Heaters, mats and lamps are off, everywhere at once."},
    {"raid", GROUP(WG_GROUP_RAID), .otherwise = "none", .example = "{per_year: 1, larvae_lost: 40 %}",
        .help = "Wild animals take larvae from places open to them."},
    END};

#define PER_YEAR QUANTITY(WG_PER_YEAR, 0, WG_MAX_MISHAPS_PER_YEAR), REQUIRED
static const struct wg_key power_cut[] = {
    {"per_year", PER_YEAR, INTO(wg_mishaps, power_cuts_per_year), .example = "2",
        .help = "How many in a year, on average."},
    {"lasts", QUANTITY(WG_HOURS, 0, WG_MAX_POWER_CUT_HOURS), REQUIRED, INTO(wg_mishaps, power_cut_hours),
        .example = "12 hours",
        .help = "How long each is, in whole hours."},
    END};
static const struct wg_key raid[] = {
    {"per_year", PER_YEAR, INTO(wg_mishaps, raids_per_year), .example = "1", .help = "How many in a year, on average."},
    {"larvae_lost", SHARE, REQUIRED, INTO(wg_mishaps, raid_share), .example = "40 %",
        .help = "Share of the larvae that is lost."},
    END};
static const struct wg_key wild[] = {
    {"peak", QUANTITY(WG_NUMBER_RATE, 0, WG_MAX_WILD_PER_DAY), REQUIRED, INTO(wg_plan, wild_peak_per_day),
        .example = "3 per day",
        .help = "Females a day at the height of the season, in each place open to them."},
    END};

static const struct wg_key species[] = {
    {"numbers", WORD(sets, "a set of numbers"), .otherwise = "keepers", .example = "laboratory",
        .help = "The set that all numbers of the animal start from."},
    {"clutch", .kind = WG_KEY_RANGE, .dimension = WG_COUNT, .otherwise = "of the set", .example = "[400, 900]",
        .help = "Fewest and most eggs of a female: clutch_low and clutch_high in one."},
    END};

static const struct wg_key forecast[] = {
    {"replicates", WHOLE(1, WG_MAX_REPLICATES), .noun = "the number of replicates", INTO(wg_plan, replicates),
        .otherwise = "200",
        .example = "500", .help = "How many possible years are simulated."},
    {"seed", .kind = WG_KEY_SEED, .noun = "the random seed", .most = 18446744073709551615.0, INTO(wg_plan, seed),
        .otherwise = "1", .example = "2026",
        .help = "The same seed gives the same forecast."},
    {"steps_per_day", WORD(steps, "a number of steps a day"), .otherwise = "1", .example = "24",
        .help = "Steps of the animals' life in a day; temperatures are always hourly."},
    END};

#define AMOUNT .only = "one of the six is needed"
static const struct wg_key goal[] = {
    {"survive", .kind = WG_KEY_FLAG, AMOUNT, .example = "yes", .help = "Some of the colony is alive."},
    {"harvest", QUANTITY(WG_MASS_RATE, 0, 1e6), AMOUNT, .example = "5 lb/week",
        .help = "So much in a week, as often as lasting says."},
    {"adults", WHOLE(1, WG_MAX_STARTERS), .noun = "the number of adults", AMOUNT, .example = "200",
        .help = "So many flies alive on one day."},
    {"eggs_trapped", WHOLE(1, WG_MAX_STARTERS), .noun = "the number of eggs", AMOUNT, .example = "50000",
        .help = "So many eggs laid in traps."},
    {"total_harvest", QUANTITY(WG_MASS, 0, 1e9), AMOUNT, .example = "40 kg", .help = "So much in all."},
    {"cost", .kind = WG_KEY_MONEY, AMOUNT, .example = "at most 120",
        .help = "Energy costs no more, in the money of the prices."},
    {"by", .kind = WG_KEY_DATE, INTO(wg_goal, by), .otherwise = "the last day that allows it", .example = "2027-05-31",
        .help = "The last day that counts."},
    {"lasting", QUANTITY(WG_DAYS, 1, 36500), .flags = WG_KEY_STEPS, .only = "only of harvest", .with = "harvest",
        .otherwise = "1 week",
        .example = "4 weeks",
        .help = "Whole weeks running that bring the harvest."},
    {"of", WORD(harvests, "a harvest"), .only = "only of harvests",
        .otherwise = "taken, or crawl-off where nothing is taken out", .example = "crawl-off",
        .help = "What counts: what is taken out, or all crawl-off, caught or not."},
    {"chance", SHARE, INTO(wg_goal, chance), .otherwise = "90 %", .example = "95 %",
        .help = "How surely it is wanted."},
    END};

const struct wg_group wg_schema_groups[WG_N_GROUPS] = {
    [WG_GROUP_SCENARIO] = {"scenario", "a scenario", NULL, scenario, "The whole file."},
    [WG_GROUP_PERIOD] = {"period", "the period", NULL, period, "The days that are simulated."},
    [WG_GROUP_CLIMATE] = {"climate", "the climate", NULL, climate, "The weather, or the temperature of a laboratory."},
    [WG_GROUP_NORMALS] = {"normals", "the normals", "the group of normals", normals,
        "Monthly means around which weather is made."},
    [WG_GROUP_PLACE] = {"place", "a place", NULL, place, "An item of places."},
    [WG_GROUP_HOUSING] = {"housing", "a housing", NULL, housing, "What stands around the bins of a place."},
    [WG_GROUP_LAMPS] = {"lamps", "a set of lamps", NULL, lamps, "Lamps of a house."},
    [WG_GROUP_HEATER] = {"heater", "a heater", NULL, heater, "The heater of a place."},
    [WG_GROUP_GROUND] = {"ground", "the ground", NULL, ground, "Where prepupae pupate."},
    [WG_GROUP_BIN] = {"bin", "a bin", NULL, bin, "An item of bins."},
    [WG_GROUP_MAT] = {"mat", "a mat", NULL, mat, "The heat mat of a bin."},
    [WG_GROUP_SUMMER] = {"summer", "the bin's summer", NULL, summer, "What of a bin differs in summer."},
    [WG_GROUP_STARTER] = {"starter", "a starter", NULL, starter, "An item of starter: animals put in."},
    [WG_GROUP_FEEDING] = {"feeding", "a feeding", NULL, feeding, "An item of feeding."},
    [WG_GROUP_COLLECT] = {"collect crawl-off", "the action \"collect crawl-off\"", NULL, collect,
        "Catches larvae that crawl off to pupate."},
    [WG_GROUP_PULL_TRAPS] = {"pull traps", "the action \"pull traps\"", NULL, pull_traps,
        "Takes the eggs out of the traps, in the morning."},
    [WG_GROUP_SET_TRAPS] = {"set traps", "the action \"set traps\"", NULL, set_traps, "Hangs egg traps."},
    [WG_GROUP_MOVE] = {"move", "the action \"move\"", NULL, move, "Moves animals to another bin or place."},
    [WG_GROUP_SCOOP] = {"scoop larvae", "the action \"scoop larvae\"", NULL, scoop, "Takes larvae out."},
    [WG_GROUP_CLEAR] = {"clear residue", "the action \"clear residue\"", NULL, clear, "Takes old substrate out."},
    [WG_GROUP_CHANGE] = {"change", "the action \"change\"", NULL, change, "Changes a setting from a day on."},
    [WG_GROUP_MISHAPS] = {"mishaps", "the mishaps", NULL, mishaps, "What goes wrong by chance."},
    [WG_GROUP_POWER_CUT] = {"power_cut", "the power cut", NULL, power_cut, "Power cuts, which hit all places at once."},
    [WG_GROUP_RAID] = {"raid", "the raid", NULL, raid, "Raids of wild animals on places open to them."},
    [WG_GROUP_WILD] = {"wild_visitors", "the wild visitors", "the group of wild visitors", wild,
        "Wild females that lay."},
    [WG_GROUP_SPECIES] = {"species", "the numbers of the species", NULL, species, "The animal."},
    [WG_GROUP_FORECAST] = {"forecast", "the forecast", NULL, forecast, "How the forecast is computed."},
    [WG_GROUP_GOAL] = {"goal", "a goal", NULL, goal, "What is wanted, by when, and how surely."},
};

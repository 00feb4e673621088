/* The table behind the site sheet: one row for each key. Reader, defaults, JSON Schema, near matches and the reference
 * page are all made from it (read.c, fill.c, schema.c, reference.c), so that they cannot part. Private to core/site.
 *
 * A block is a set of rows that fill one struct. Keys of one block may depend on its kind (a bore has a yield, a mains
 * supply has none): `kinds` of a row is a set of kinds as bits, 0 for all of them. One key may have several rows for
 * different kinds.
 */
#ifndef PW_SITE_TABLE_H
#define PW_SITE_TABLE_H

#include "base/num.h"
#include "site/site.h"

typedef enum pw_row_type {
    PW_ROW_QUANTITY,  /* pw_field: text with a unit; bare numbers only where the dimension is NONE or FRACTION */
    PW_ROW_CLOCK,     /* pw_field: seconds after midnight, "06:30" or "18:00:30"; 24:00 is the end of the day */
    PW_ROW_NAME,      /* char[PW_NAME_SIZE] */
    PW_ROW_TEXT,      /* char[PW_WORDS_SIZE] */
    PW_ROW_YES_NO,    /* bool */
    PW_ROW_PHASES,    /* int32_t: 1, 3 or DC (0) */
    PW_ROW_CHOICE,    /* int32_t (or enum): index into words */
    PW_ROW_REFERENCE, /* int32_t: index into the list `target` */
    PW_ROW_GROUP,     /* block, in the same or a nested struct */
    PW_ROW_LIST,      /* list of blocks: array at offset, count at count_offset */
    PW_ROW_PIPE,      /* pw_line: pipe by its name in the pipe table */
    PW_ROW_FITTINGS,  /* pw_line: fitting name -> count */
    PW_ROW_PATTERN,   /* pw_demand: 24 numbers */
    PW_ROW_DAYS,      /* pw_demand: list of weekdays */
    PW_ROW_WINDOWS,   /* pw_sensor: list of {from, to} */
    PW_ROW_TIMES,     /* pw_demand: list of seconds */
    PW_ROW_FLOWS,     /* pw_demand: list of L/s */
    PW_ROW_SENTENCES  /* pw_site: the order */
} pw_row_type;

typedef enum pw_row_need {
    PW_MAY,     /* may be left out, nothing stands in for it */
    PW_NEEDED,  /* must be there */
    PW_DEFAULT, /* `value` stands in for it (a group: its keys all have defaults) */
    PW_DERIVED  /* derive() works it out from the rest of the sheet; when it cannot, the key is needed */
} pw_row_need;

typedef enum pw_target {
    PW_TO_PLACES,
    PW_TO_LINES,
    PW_TO_PUMPS,
    PW_TO_OUTLETS,
    PW_TO_FILTERS,
    PW_TARGET_COUNT
} pw_target;

/* A number that is not known: the text could not be read, or nothing could be worked out. Never leaves core/site. */
#define PW_UNKNOWN (-PW_INF)
/* From derive(): the key does not matter here; `value` stands in for it and is not listed among the defaults. */
#define PW_NOT_USED PW_INF

/* Bounds of numbers that have no row of their own. */
enum {
    PW_DAY_S = 86400,         /* times of day: 24:00 is the end of the day */
    PW_FITTINGS_MOST = 1000,  /* of one kind on one line */
    PW_PATTERN_MOST = 1000000 /* one of the 24 numbers of busy hours */
};

typedef struct pw_row {
    const char *key;
    const char *was; /* older name of the key: still read, and told; NULL none */
    pw_row_type type;
    pw_row_need need;
    pw_dimension dimension;
    uint32_t kinds;
    uint32_t offset, count_offset, item_size;
    int32_t least, most; /* items of a list */
    double low, high;    /* SI, both allowed */
    double value;        /* default, SI */
    double (*derive)(const pw_site *site, const void *item);
    const char *reason;  /* of the default */
    const char *example; /* as written in a sheet; JSON text for lists and groups */
    const char *help;
    const char *const *words; /* of a choice; ends with NULL */
    pw_target target;
    const struct pw_block *block;
    bool surface; /* of the suction pipe: its default is listed for a surface pump only */
} pw_row;

typedef struct pw_block {
    const char *id; /* heading of the reference page: "pumps" */
    const char *help;
    const pw_row *rows;
    int32_t row_count;
    const pw_row *kind;                      /* row that holds the kind, or NULL */
    int32_t (*kind_of)(const pw_json *json); /* kind when the key was not given, or NULL for kind->value */
} pw_block;

extern const char *const pw_sheet_days[8]; /* Monday first; ends with NULL */
extern const pw_block pw_block_site;
extern const pw_block pw_block_place, pw_block_source, pw_block_test, pw_block_pump, pw_block_point, pw_block_lift,
    pw_block_lift_point, pw_block_ejector, pw_block_motor, pw_block_line, pw_block_vessel, pw_block_tank,
    pw_block_float, pw_block_ground, pw_block_outlet, pw_block_sensor, pw_block_demand, pw_block_trace_file,
    pw_block_supply, pw_block_supply_point, pw_block_solar, pw_block_solar_point, pw_block_generator, pw_block_battery,
    pw_block_filter, pw_block_limits;
extern const pw_block pw_block_design, pw_block_use, pw_block_fixtures, pw_block_loadings, pw_block_stock,
    pw_block_price, pw_block_suction, pw_block_cable;

/* Defaults that are worked out (derive.c). item is the struct that the row fills. */
double pw_derive_supply_voltage(const pw_site *site, const void *item);
double pw_derive_supply_phases(const pw_site *site, const void *item);
double pw_derive_capacity(const pw_site *site, const void *item);
double pw_derive_yield(const pw_site *site, const void *item);
double pw_derive_motor_voltage(const pw_site *site, const void *item);
double pw_derive_motor_phases(const pw_site *site, const void *item);
double pw_derive_motor_efficiency(const pw_site *site, const void *item);
double pw_derive_motor_power_factor(const pw_site *site, const void *item);
double pw_derive_full_load_current(const pw_site *site, const void *item);
double pw_derive_locked_rotor_current(const pw_site *site, const void *item);
double pw_derive_cooling_time(const pw_site *site, const void *item);
double pw_derive_roughness(const pw_site *site, const void *item);
double pw_derive_hazen(const pw_site *site, const void *item);
double pw_derive_tank_start(const pw_site *site, const void *item);
double pw_derive_tank_inlet(const pw_site *site, const void *item);
double pw_derive_float_closes(const pw_site *site, const void *item);
double pw_derive_switch_bore(const pw_site *site, const void *item);
double pw_derive_person(const pw_site *site, const void *item);
double pw_derive_peak(const pw_site *site, const void *item);
double pw_derive_drinking(const pw_site *site, const void *item);
double pw_derive_at_once(const pw_site *site, const void *item);
double pw_derive_season(const pw_site *site, const void *item);
double pw_derive_stand(const pw_site *site, const void *item);
double pw_derive_suction_bore(const pw_site *site, const void *item);
double pw_derive_suction_height(const pw_site *site, const void *item);
double pw_derive_suction_length(const pw_site *site, const void *item);
double pw_derive_cable_length(const pw_site *site, const void *item);
double pw_derive_cable_around(const pw_site *site, const void *item);
double pw_derive_design_starts(const pw_site *site, const void *item);
double pw_derive_heat_loss(const pw_site *site, const void *item);
double pw_derive_casing(const pw_site *site, const void *item);

/* One reading. */
typedef struct pw_sheet_reader {
    pw_arena *arena;
    pw_site *site;
    pw_problems *problems;
    int32_t errors;  /* found so far; problems may be NULL */
    pw_status first; /* status of the first of them */
    bool no_memory;
    bool in_design;               /* defaults go to the list of `design` */
    bool broken[PW_TARGET_COUNT]; /* the list itself could not be read: what refers to it is not reported again */
    bool dangling;                /* a place was named that does not exist: what hangs together is not known */
    char path[PW_PATH_SIZE];
    int32_t path_length;
} pw_sheet_reader;

/* Path of the thing being read: each returns the mark to go back to. */
int32_t pw_path_key(pw_sheet_reader *reader, const char *key);
int32_t pw_path_index(pw_sheet_reader *reader, int32_t index);
void pw_path_back(pw_sheet_reader *reader, int32_t mark);

void pw_sheet_count_error(pw_sheet_reader *reader, pw_status status); /* of a problem that base has added */
/* Add an error or a warning at the path, or at a key below it. */
void pw_sheet_warning(pw_sheet_reader *reader, pw_fact found, pw_fact expected, pw_fact hint);
void pw_sheet_error(pw_sheet_reader *reader, pw_status status, pw_fact found, pw_fact expected, pw_fact hint);
void pw_sheet_error_at(pw_sheet_reader *reader, const char *key, pw_status status, pw_fact found, pw_fact expected,
                       pw_fact hint);
void pw_sheet_warning_at(pw_sheet_reader *reader, const char *key, pw_fact found, pw_fact expected, pw_fact hint);

/* A key that is not known in the block, or belongs to another kind; the member's key alone is looked at. */
void pw_sheet_unknown_key(pw_sheet_reader *reader, const pw_block *block, const pw_json *member, int32_t kind);
pw_status pw_sheet_unknown_fitting(pw_sheet_reader *reader, const char *key); /* PW_REFERENCE */
/* Names of the things that a reference can mean; returns their count. */
int32_t pw_sheet_target_names(const pw_site *site, pw_target target, const char *names[PW_MAX_LINES]);

/* What a key is for, and how it may be written. */
pw_fact pw_sheet_key_fact(const pw_row *row);
pw_fact pw_sheet_example_fact(const pw_row *row);

bool pw_row_applies(const pw_row *row, int32_t kind);
/* Kind of an item that was read: value of its kind row, 0 for blocks without kinds, -1 when it could not be read. */
int32_t pw_block_kind(const pw_block *block, const void *item);
int32_t pw_int_at(const void *item, uint32_t offset);
void pw_int_set(void *item, uint32_t offset, int32_t value);
static inline bool pw_known(pw_field field)
{
    return field.v != PW_UNKNOWN;
}

void pw_sheet_read_block(pw_sheet_reader *reader, const pw_block *block, const pw_json *json, void *item);
void pw_sheet_read_special(pw_sheet_reader *reader, const pw_row *row, const pw_json *json, void *item);
/* What stood there, for a message: the text itself, yes or no, or the kind of value (say.c). */
pw_fact pw_sheet_found(const pw_json *json);
void pw_sheet_read_clock(pw_sheet_reader *reader, const pw_json *json, double *out_s);
void pw_sheet_fill(pw_sheet_reader *reader, const pw_json *json);
void pw_sheet_check(pw_sheet_reader *reader, const pw_json *json);
void pw_sheet_check_supply(pw_sheet_reader *reader);
void pw_sheet_check_item(pw_sheet_reader *reader, const pw_block *block, const pw_json *json, void *item);

/* The reference tables of docs/site-sheet.md, in Markdown. */
void pw_site_reference(pw_text *text);

#endif

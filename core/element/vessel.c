#include "element/vessel.h"

#include "base/num.h"
#include "formula/vessel.h"

enum { GAS_PARTS = 1024 };
/* Pressure of water over its depth in an open vessel, from empty to full (some centimetres: own choice), and how fast
 * it is gone below empty. */
#define OPEN_SLOPE_PA  500.0
#define EMPTY_SLOPE_PA 1e8
#define GAS_MOST       0.9 /* the table ends where the vessel is nine tenths full of water */

static const pw_condition_slot slots[] = {
    PW_SLOT_EACH(vessel_air, PW_SLOT_NUMBER, "", 1.0, 0.0, 1.0),
    PW_SLOT_EACH(vessel_extra_pa, PW_SLOT_NUMBER, "Pa", 0.0, -PW_INF, PW_INF),
};

pw_condition_slots pw_vessel_slots(void)
{
    return (pw_condition_slots){"vessel", slots, sizeof slots / sizeof slots[0]};
}

void pw_vessel_law_of(const pw_vessel *vessel, double atmosphere_pa, double give_m3pa, pw_vessel_law *out)
{
    const double absolute = 4e5 + atmosphere_pa;
    const double charge = vessel->precharge_pa.v + atmosphere_pa;
    const double fraction = give_m3pa * absolute * absolute / (vessel->volume_m3.v * charge);
    *out = (pw_vessel_law){
        .volume_m3 = vessel->volume_m3.v,
        .precharge_pa = vessel->precharge_pa.v,
        .polytropic = vessel->polytropic.v,
        .atmosphere_pa = atmosphere_pa,
        .least_air = pw_clamp(fraction, PW_VESSEL_LEAST_AIR, 0.05),
    };
}

static double air_of(const pw_vessel_law *law, const pw_condition *condition, int32_t item)
{
    return pw_max(condition->vessel_air[item], law->least_air);
}

static double formula(const pw_vessel_law *law, double air, double extra_pa, double water_m3, double *slope)
{
    return pw_vessel_pa(law->volume_m3, law->precharge_pa + extra_pa, law->polytropic, air, law->atmosphere_pa,
                        water_m3, slope);
}

/* Absolute pressure of a healthy charge against the filling, cubic Hermite in GAS_PARTS parts. Less air scales it: the
 * same gas law for a smaller amount, air^n. */
static double from_table(const double *table, double filling)
{
    const double width = GAS_MOST / (double)GAS_PARTS;
    const double place = filling / width;
    const int32_t i = (int32_t)place;
    const double t = place - (double)i;
    const double *at = table + 2 * i;
    const double rise = at[2] - at[0];
    const double s0 = at[1] * width;
    const double s1 = at[3] * width;
    return at[0] + t * (s0 + t * (3.0 * rise - 2.0 * s0 - s1 + t * (s0 + s1 - 2.0 * rise)));
}

/* Gas that gets lost goes to the air outside: at 0 gauge no more of it leaves, however little water stands over it.
 * From there on the vessel drains at the pressure of the air, until it is empty. */
static double open_to_air_pa(const pw_vessel_law *law, double water_m3)
{
    const double filling = water_m3 / law->volume_m3;
    return filling >= 0.0 ? OPEN_SLOPE_PA * filling : EMPTY_SLOPE_PA * filling;
}

static double gas_pa(const pw_vessel_law *law, const pw_condition *condition, int32_t item, double water_m3)
{
    const double air = air_of(law, condition, item);
    const double extra = condition->vessel_extra_pa[item];
    const double filling = water_m3 / law->volume_m3;
    if (law->gas != NULL && filling >= 0.0 && filling < GAS_MOST) {
        const double charge = law->precharge_pa + law->atmosphere_pa;
        return pw_vessel_pressure_part(air, law->polytropic, charge, extra) * from_table(law->gas, filling) -
               law->atmosphere_pa;
    }
    return formula(law, air, extra, water_m3, NULL);
}

double pw_vessel_gauge_pa(const pw_vessel_law *law, const pw_condition *condition, int32_t item, double water_m3)
{
    const double pa = gas_pa(law, condition, item, water_m3);
    return condition->vessel_air[item] < 1.0 ? pw_max(pa, open_to_air_pa(law, water_m3)) : pa;
}

double pw_vessel_holds_m3(const pw_vessel_law *law, const pw_condition *condition, int32_t item, double gauge_pa)
{
    return pw_vessel_water_m3(law->volume_m3, law->precharge_pa + condition->vessel_extra_pa[item], law->polytropic,
                              air_of(law, condition, item), law->atmosphere_pa, gauge_pa);
}

double pw_vessel_filled_m3(const pw_vessel_law *law, const pw_condition *condition, int32_t item, double gauge_pa,
                           double *rises)
{
    const double air = air_of(law, condition, item);
    double volume_m3 = pw_vessel_holds_m3(law, condition, item, gauge_pa);
    double slope;
    (void)formula(law, air, condition->vessel_extra_pa[item], volume_m3, &slope);
    if (law->gas != NULL) { /* from the formula to its table: they are next to the same */
        volume_m3 -= (gas_pa(law, condition, item, volume_m3) - gauge_pa) / slope;
    }
    *rises = 1.0 / slope;
    if (condition->vessel_air[item] < 1.0) { /* of two laws the higher pressure holds: the smaller volume */
        const double open_slope = (gauge_pa >= 0.0 ? OPEN_SLOPE_PA : EMPTY_SLOPE_PA) / law->volume_m3;
        const double open_m3 = gauge_pa / open_slope;
        *rises = open_m3 < volume_m3 ? 1.0 / open_slope : *rises;
        volume_m3 = pw_min(open_m3, volume_m3);
    }
    return volume_m3;
}

pw_status pw_vessel_tabulate(pw_arena *arena, pw_vessel_law *law, double *worst_error)
{
    const double volume = law->volume_m3;
    double *table = PW_NEW(arena, 2 * (GAS_PARTS + 1), double);
    if (table == NULL) {
        return PW_MEMORY;
    }
    for (int32_t i = 0; i <= GAS_PARTS; i++) {
        const double filling = GAS_MOST * (double)i / (double)GAS_PARTS;
        double slope;
        table[2 * i] = formula(law, 1.0, 0.0, filling * volume, &slope) + law->atmosphere_pa;
        table[2 * i + 1] = slope * volume;
    }
    for (int32_t i = 0; i < GAS_PARTS && worst_error != NULL; i++) { /* between the points */
        const double filling = GAS_MOST * ((double)i + 0.5) / (double)GAS_PARTS;
        const double exact = formula(law, 1.0, 0.0, filling * volume, NULL) + law->atmosphere_pa;
        *worst_error = pw_max(*worst_error, pw_abs(from_table(table, filling) - exact) / exact);
    }
    law->gas = table;
    return PW_OK;
}

#include "formula/supply.h"

#include "base/num.h"

#define OVERLOAD 1.1  /* of the rated power, for a while */
#define KNEE     0.95 /* of the rated frequency: below, the regulator lets the voltage fall with it */

double pw_generator_start_part(double start_va, double rating_va, double reactance)
{
    return 1.0 / (1.0 + reactance * start_va / rating_va);
}

double pw_generator_frequency(double load, double droop)
{
    return 1.0 + droop * (1.0 - load);
}

double pw_generator_load(double frequency, double droop)
{
    return 1.0 + (1.0 - frequency) / droop;
}

double pw_generator_most(double frequency)
{
    return OVERLOAD * frequency;
}

double pw_generator_volts(double frequency)
{
    return pw_min(frequency / KNEE, 1.0);
}

double pw_battery_v(double empty_v, double full_v, double charge)
{
    return empty_v + pw_clamp(charge, 0.0, 1.0) * (full_v - empty_v);
}

double pw_battery_w(double emf_v, double ohm, double volts)
{
    return volts * (emf_v - volts) / ohm;
}

double pw_battery_a(double emf_v, double ohm, double power_w)
{
    const double left = emf_v * emf_v - 4.0 * ohm * power_w;
    return (emf_v - pw_sqrt(pw_max(left, 0.0))) / (2.0 * ohm);
}

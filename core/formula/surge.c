#include "formula/surge.h"

#include "base/num.h"

double pw_wave_speed_ms(const pw_water *water, double bore_m, double wall_m, double modulus_pa, double c1)
{
    double give = 0.0;
    if (wall_m > 0.0 && modulus_pa > 0.0) {
        give = c1 * water->bulk_pa * bore_m / (modulus_pa * wall_m);
    }
    return pw_sqrt(water->bulk_pa / water->density_kgm3 / (1.0 + give));
}

double pw_joukowsky_pa(double density_kgm3, double wave_ms, double velocity_ms)
{
    return density_kgm3 * wave_ms * velocity_ms;
}

double pw_wave_return_s(double length_m, double wave_ms)
{
    return 2.0 * length_m / wave_ms;
}

double pw_slow_closing_part(double return_s, double closing_s)
{
    return closing_s > return_s ? return_s / closing_s : 1.0;
}

double pw_air_clearing_ms(double bore_m, double fall)
{
    return pw_sqrt(PW_G * bore_m) * (0.25 * pw_sqrt(pw_clamp(fall, 0.0, 1.0)) + 0.825);
}

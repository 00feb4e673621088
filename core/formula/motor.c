#include "formula/motor.h"

#include <stddef.h>

#include "base/num.h"

/* Shares of the rated losses and of the rated reactive power that stay at no load. The first puts the best
 * efficiency at sqrt(0.36/0.64) = 3/4 load. */
#define CONSTANT_LOSS 0.36
#define MAGNETISING   0.8
#define RATED_SLIP    0.05
#define PULL_OUT      2.4
#define START_TORQUE  1.5
#define START_LOAD    0.3
#define SQRT_3        1.73205080756887729353

static double phase_factor(int32_t phases)
{
    return phases == 3 ? SQRT_3 : 1.0;
}

static void put(double *where, double value)
{
    if (where != NULL) {
        *where = value;
    }
}

/* Rated input, active and reactive, from data that may not fit each other: the full-load current is what people
 * measure, so it wins over the power factor; when it could not even carry the active power, it only sets the scale. */
typedef struct rating {
    double input_w, reactive_va, scale;
} rating;

static rating rating_of(const pw_motor_data *motor)
{
    rating r;
    const double efficiency = pw_clamp(motor->efficiency, 0.01, 0.999);
    double power_factor = motor->phases == 0 ? 1.0 : pw_clamp(motor->power_factor, 0.05, 1.0);
    r.input_w = motor->power_w / efficiency;
    r.scale = 1.0;
    if (motor->full_load_a > 0.0) {
        const double apparent = pw_apparent_va(motor->phases, motor->voltage_v, motor->full_load_a);
        const double carried = r.input_w / apparent;
        if (motor->phases != 0 && carried >= 0.3 && carried <= 1.0) {
            power_factor = carried;
        } else {
            r.scale = apparent * power_factor / r.input_w;
        }
    }
    r.reactive_va = r.input_w * pw_sqrt(pw_max(1.0 / (power_factor * power_factor) - 1.0, 0.0));
    return r;
}

double pw_apparent_va(int32_t phases, double volts, double current_a)
{
    return phase_factor(phases) * volts * current_a;
}

double pw_phase_v(int32_t phases, double volts)
{
    return volts / phase_factor(phases);
}

void pw_motor_load(const pw_motor_data *motor, double shaft_w, double volts, double *input_w, double *current_a,
                   double *efficiency, double *power_factor)
{
    double input = 0.0;
    double current = 0.0;
    double factor = motor->phases == 0 ? 1.0 : 0.0;
    const double shaft = pw_max(shaft_w, 0.0);
    if (volts > 0.0 && motor->power_w > 0.0 && motor->voltage_v > 0.0) {
        const rating r = rating_of(motor);
        const double v = volts / motor->voltage_v;
        const double stretch = shaft / motor->power_w / v;
        const double losses = r.input_w - motor->power_w;
        input = shaft + losses * (CONSTANT_LOSS * v * v + (1.0 - CONSTANT_LOSS) * stretch * stretch);
        const double reactive = r.reactive_va * (MAGNETISING * v * v + (1.0 - MAGNETISING) * stretch * stretch);
        const double apparent = pw_sqrt(input * input + reactive * reactive);
        current = r.scale * apparent / (phase_factor(motor->phases) * volts);
        factor = input / apparent;
    }
    put(input_w, input);
    put(current_a, current);
    put(efficiency, input > 0.0 ? shaft / input : 0.0);
    put(power_factor, factor);
}

double pw_motor_start_a(const pw_motor_data *motor, double volts)
{
    return motor->locked_rotor_a * pw_max(volts, 0.0) / motor->voltage_v;
}

double pw_motor_start_factor(int32_t phases, double power_w)
{
    static const double rows[][2] = {{0.5, 0.82},  {0.75, 0.78}, {1.0, 0.76},  {1.5, 0.72},  {2.0, 0.70},
                                     {3.0, 0.66},  {5.0, 0.61},  {7.5, 0.56},  {10.0, 0.53}, {15.0, 0.49},
                                     {20.0, 0.46}, {25.0, 0.44}, {30.0, 0.42}, {40.0, 0.39}};
    const int32_t count = (int32_t)(sizeof rows / sizeof rows[0]);
    const double hp = pw_clamp(power_w / 746.0, rows[0][0], rows[count - 1][0]);
    int32_t i = 1;
    if (phases == 0) {
        return 1.0;
    }
    while (i < count - 1 && hp > rows[i][0]) {
        i++;
    }
    const double part = (hp - rows[i - 1][0]) / (rows[i][0] - rows[i - 1][0]);
    return rows[i - 1][1] + part * (rows[i][1] - rows[i - 1][1]);
}

double pw_motor_torque(double v)
{
    return v * v;
}

double pw_motor_single_phased_turning(void)
{
    return SQRT_3;
}

double pw_motor_single_phased_standing(void)
{
    return 0.5 * SQRT_3;
}

double pw_motor_speed(int32_t phases, double v)
{
    if (phases == 0) {
        return pw_max(v, 0.0);
    }
    if (v == 1.0) {
        return 1.0;
    }
    if (!(PULL_OUT * pw_motor_torque(v) >= 1.0)) {
        return 0.0;
    }
    return (1.0 - RATED_SLIP / pw_motor_torque(v)) / (1.0 - RATED_SLIP);
}

double pw_motor_start_s(double rated_s, double v)
{
    const double left = START_TORQUE * pw_motor_torque(v) - START_LOAD;
    return left > 1e-6 ? rated_s * (START_TORQUE - START_LOAD) / left : PW_INF;
}

double pw_motor_current_a(int32_t phases, double shaft_w, double volts, double efficiency, double power_factor)
{
    const double factor = phases == 0 ? 1.0 : power_factor;
    return shaft_w / (phase_factor(phases) * volts * factor * efficiency);
}

double pw_locked_rotor_kva_per_hp(int32_t phases, double power_w, double volts, double locked_rotor_a)
{
    return pw_apparent_va(phases, volts, locked_rotor_a) * 1e-3 / (power_w / 746.0);
}

char pw_locked_rotor_letter(double kva_per_hp)
{
    /* NEMA MG 1: a letter ends where the next begins. I, O, Q are not used. */
    static const struct {
        char letter;
        double from;
    } letters[] = {{'V', 22.4}, {'U', 20.0}, {'T', 18.0}, {'S', 16.0}, {'R', 14.0}, {'P', 12.5},
                   {'N', 11.2}, {'M', 10.0}, {'L', 9.0},  {'K', 8.0},  {'J', 7.1},  {'H', 6.3},
                   {'G', 5.6},  {'F', 5.0},  {'E', 4.5},  {'D', 4.0},  {'C', 3.55}, {'B', 3.15}};
    for (int32_t i = 0; i < (int32_t)(sizeof letters / sizeof letters[0]); i++) {
        if (kva_per_hp >= letters[i].from) {
            return letters[i].letter;
        }
    }
    return 'A';
}

double pw_generator_start_va(double start_va, double reactance, double dip)
{
    return start_va * reactance * (1.0 / dip - 1.0);
}

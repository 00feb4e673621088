/* The plain simulation: what sensors tell, straight from their definitions. */
#include <math.h>

#include "base/num.h"
#include "plain_impl.h"

static double depth_of(const plain *p, int32_t place)
{
    int32_t bore = 0;
    for (int32_t s = 0; s < p->site->source_count; s++) {
        if (p->site->sources[s].kind == PW_SOURCE_BORE) {
            if (p->site->sources[s].place == place) {
                return pw_model_bore_m(p->plant->model, s, p->y[bore]);
            }
            bore++;
        }
    }
    for (int32_t t = 0; t < p->site->tank_count; t++) {
        if (p->site->tanks[t].place == place) {
            return pw_model_tank_m(p->plant->model, t, p->y[pw_model_tank_state(p->plant->model, t)]);
        }
    }
    return 0.0;
}

static double step_of(double value, double step)
{
    return step > 0.0 ? floor(value / step + 0.5) * step : value;
}

double plain_told(const plain *p, int32_t i)
{
    const pw_sensor *s = &p->site->sensors[i];
    const int hold = p->condition.sensor_hold[i];
    if (hold == PW_HOLD_ON || hold == PW_HOLD_OFF) {
        return hold == PW_HOLD_ON;
    }
    if (hold == PW_HOLD_AS_IT_IS) {
        return p->held_at[i];
    }
    if (s->kind == PW_SENSOR_PRESSURE) {
        const double truth = p->condition.sensor_lag_s[i] > 0.0 ? p->lagging[i] : p->moment.place_pa[s->place];
        const double value = truth + p->condition.sensor_bias[i] + p->surge[i] + s->error.v;
        return step_of(fmin(fmax(value, s->low_pa.v), s->high_pa.v), s->resolution.v);
    }
    if (s->kind == PW_SENSOR_LEVEL) {
        return step_of(depth_of(p, s->place) + p->condition.sensor_bias[i] + s->error.v, s->resolution.v);
    }
    if (s->kind == PW_SENSOR_PROBE) {
        return depth_of(p, s->place) > s->probe_m.v;
    }
    if (s->kind == PW_SENSOR_FLOW) {
        return p->made[i] && !p->shaken[i];
    }
    const int64_t day_s = p->t_ms / 1000 % 86400;
    for (int32_t w = 0; w < s->window_count; w++) {
        const int64_t from = s->window_from_s[w], to = s->window_to_s[w];
        if (from <= to ? day_s >= from && day_s < to : day_s >= from || day_s < to) {
            return 1.0;
        }
    }
    return 0.0;
}

void plain_move_switches(plain *p)
{
    for (int32_t i = 0; i < p->site->sensor_count; i++) {
        const pw_sensor *s = &p->site->sensors[i];
        if (s->kind != PW_SENSOR_FLOW) {
            continue;
        }
        const double flow = s->pump >= 0 ? p->moment.pump_m3s[s->pump] : p->moment.line_m3s[s->line];
        const double velocity = flow / (PW_PI / 4.0 * s->bore_m.v * s->bore_m.v);
        p->made[i] = p->made[i] ? velocity > s->breaks_ms.v : velocity >= s->makes_ms.v;
        const double hz = p->condition.chatter_hz[i];
        if (!(hz > 0.0) || !p->made[i]) {
            p->shaken[i] = false;
            p->toggle_ms[i] = INT64_MAX;
        } else if (p->toggle_ms[i] == INT64_MAX || p->toggle_ms[i] <= p->t_ms) {
            p->shaken[i] = p->toggle_ms[i] == INT64_MAX ? p->shaken[i] : !p->shaken[i];
            p->toggle_ms[i] =
                (p->toggle_ms[i] == INT64_MAX ? p->t_ms : p->toggle_ms[i]) + (int64_t)floor(1e3 / hz + 0.5);
        }
    }
}

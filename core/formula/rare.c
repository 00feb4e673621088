/* Exact upper bound of a Poisson mean, after Garwood (Biometrika 28, 1936): the mean m at which k events or fewer would
 * be seen with probability 1 - confidence. Equal to half the chi-square quantile with 2 k + 2 degrees of freedom.
 */
#include "formula/rare.h"

#include <assert.h>

#include "base/num.h"

/* P(X <= k) for a mean m > 0, summed from the term of k downwards, in units of that term. When the sum leaves the range
 * of a double, the term of k is below 1e-290 and so is everything above k: the chance is 1 to the last digit. */
static double chance_of_at_most(int32_t k, double m, double log_factorial_k)
{
    double term = 1.0, sum = 1.0;
    for (int32_t i = k; i > 0; i--) {
        term *= (double)i / m;
        sum += term;
        if (sum > 1e290) {
            return 1.0;
        }
        if (term < sum * 1e-18) {
            break;
        }
    }
    return pw_exp((double)k * pw_log(m) - m - log_factorial_k + pw_log(sum));
}

double pw_poisson_upper(int32_t events, double confidence)
{
    assert(events >= 0);
    assert(confidence > 0.0 && confidence < 1.0);
    double left_over = 1.0 - confidence;
    double log_factorial = 0.0;
    for (int32_t i = 2; i <= events; i++) {
        log_factorial += pw_log((double)i);
    }
    /* The chance falls as the mean grows, from 1 at nearly nothing. */
    double low = 1e-12, high = (double)events + 1.0;
    while (chance_of_at_most(events, high, log_factorial) > left_over && high < 1e15) {
        high *= 2.0;
    }
    for (int32_t turn = 0; turn < 200 && high - low > 1e-13 * high; turn++) {
        double middle = 0.5 * (low + high);
        if (chance_of_at_most(events, middle, log_factorial) > left_over) {
            low = middle;
        } else {
            high = middle;
        }
    }
    return high; /* rounded up on purpose: it is an upper bound */
}

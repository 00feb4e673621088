#include "formula/jet.h"

#include "base/num.h"

/* Of the cavitation limit. */
#define CUNNINGHAM 1.35

double pw_jet_head_ratio(double area_ratio, double flow_ratio, const pw_jet_losses *losses)
{
    const double r = area_ratio;
    const double side = flow_ratio * flow_ratio * r * r / (1.0 - r); /* of the drawn water, beside the nozzle */
    const double mixed = r * r * (1.0 + flow_ratio) * (1.0 + flow_ratio);
    const double gains = 2.0 * r + 2.0 * side - (1.0 + losses->throat) * mixed;
    const double enters = (1.0 + losses->entry) * side / (1.0 - r);
    return (gains - enters) / (1.0 + losses->nozzle - gains);
}

double pw_jet_limit(double area_ratio, double suction_m, double vapour_m, double jet_m)
{
    return (1.0 - area_ratio) / area_ratio * pw_sqrt(pw_max(suction_m - vapour_m, 0.0) / (CUNNINGHAM * jet_m));
}

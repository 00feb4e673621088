/* What turns pressure into head at this site: a mishap sizes its holes with it. */
#include "model/model_impl.h"

double pw_model_pa_per_m(const pw_model *model) {
    return model->pa_per_m;
}

/* Private to core/paper: the paper of a log. */
#ifndef PW_PAPER_LOG_PARTS_H
#define PW_PAPER_LOG_PARTS_H

#include "paper/log_paper.h"

typedef struct log_pen {
    pw_arena *arena;
    const pw_plant *plant; /* NULL without a sheet */
    const pw_record *log;
    const pw_log_verdict *verdict;
    const pw_voice *voice;
    pw_document *document;
} log_pen;

pw_value log_moment(const log_pen *p, double t_s);
pw_value log_value(pw_log_feature feature, double value);
/* log_plots.c */
void log_put_plots(const log_pen *p);

#endif

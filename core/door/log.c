#include "door/log.h"

#include "study/log.h"

size_t pw_door_log_size(void)
{
    return sizeof(pw_record);
}

pw_record *pw_door_log_begin(void *memory, const bool has[PW_LOG_SIGNALS])
{
    pw_record *log = (pw_record *)memory;
    pw_log_begin(log, has);
    return log;
}

void pw_door_log_take(pw_record *log, const pw_log_row *row)
{
    pw_log_take(log, row);
}

void pw_door_log_end(pw_record *log)
{
    pw_log_end(log);
}

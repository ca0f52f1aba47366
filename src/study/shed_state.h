// What the files shed*.c share. Only for them.
#ifndef DEADBUS_STUDY_SHED_STATE_H
#define DEADBUS_STUDY_SHED_STATE_H

#include "study/moment.h"
#include "study/shed.h"

void shed_count_losses(const shed_question *q, const moment *before, const moment *after,
                       shed_cost *cost, bool *takes);

#endif

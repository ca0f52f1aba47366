// The chart of a scenario as SVG: volts, amps and charge over time, what happened named on it.
#ifndef DEADBUS_DRAW_RUN_CHART_H
#define DEADBUS_DRAW_RUN_CHART_H

#include "base/status.h"
#include "draw/theme.h"
#include "timeline/scenario_result.h"

typedef struct run_chart_options {
    int width;  // pixels; 0: 1040
    theme_id theme;
    const char *caution;  // stands at its foot
} run_chart_options;

// STATUS_OK or STATUS_NO_MEMORY.
status run_chart_write(const scenario_log *log, run_chart_options o, text *out);

#endif

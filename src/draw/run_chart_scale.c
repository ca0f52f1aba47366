// Scales of a scenario's chart.

#include "draw/run_chart_parts.h"

double chart_x(const chart *c, double seconds) {
    double all = c->log->ended > 0 ? c->log->ended : 1.0;
    return c->left + (c->right - c->left) * seconds / all;
}

double chart_y(const chart_panel *p, double value) {
    return p->top + p->height * (p->high - value) / (p->high - p->low);
}

double chart_value(const chart *c, int row, int record) {
    const scenario *s = c->log->scenario;
    double v = c->log->values[row * s->record_count + record];
    return s->records[record].of == RECORD_CHARGE ? 100 * v : v;
}

double chart_step(double low, double high, int most) {
    static const double EVEN[] = {1, 2, 5};
    double scale = 1e-3;
    for (int i = 0; i < 40; i++) {
        double step = EVEN[i % 3] * scale;
        if ((high - low) / step <= most)
            return step;
        if (i % 3 == 2)
            scale *= 10;
    }
    return high - low;
}

static double down_to(double value, double step) {
    double n = value / step;
    double whole = (double)(int64_t)n;
    return step * (whole > n ? whole - 1 : whole);
}

void chart_scale(chart *c, chart_panel *p) {
    const scenario *s = c->log->scenario;
    bool any = false;
    for (int k = 0; k < s->record_count; k++) {
        for (int i = 0; i < c->log->row_count && s->records[k].of == p->of; i++) {
            double v = chart_value(c, i, k);
            p->low = !any || v < p->low ? v : p->low;
            p->high = !any || v > p->high ? v : p->high;
            any = true;
        }
    }
    if (p->of == RECORD_CHARGE) {
        p->low = 0;
        p->high = 100;
    }
    if (p->of == RECORD_AMPS) {
        p->low = p->low > 0 ? 0 : p->low;
        p->high = p->high < 0 ? 0 : p->high;
    }
    if (p->high - p->low < 1) {
        p->high += 0.5;
        p->low -= 0.5;
    }
    p->step = chart_step(p->low, p->high, 5);
    p->low = down_to(p->low + 1e-9, p->step);
    double top = down_to(p->high - 1e-9, p->step) + p->step;
    p->high = top;
}

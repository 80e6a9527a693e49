/* One sweep through the planes takes both fields a step on: the magnetic field of a plane follows as soon as
 * the electric one of the next stands, while both are still near the processor. */
#include <stddef.h>
#include "wave.h"

/* The inner loops once for every processor and once for those with wider vectors, chosen as it is loaded; no
 * multiplication is fused with an addition, so that the bits are the same. */
#if defined(__GNUC__) && defined(__x86_64__) && defined(__gnu_linux__)
#define WIDE __attribute__((target_clones("avx2", "default")))
#else
#define WIDE
#endif

/* One row of one component, with what its curl is made of: later less earlier along the next axis, less the
 * same along the one after. */
typedef struct {
    ptrdiff_t first, end; /* places in the row */
    ptrdiff_t j, k;
    const float *later[2], *earlier[2]; /* from the row's first place on */
    const float *const *fade, *const *take;
    float *const *memory; /* the component's two */
    ptrdiff_t last[3];    /* places along each axis */
    float *row;           /* where the curl goes */
} wave_row;

WIDE static void curl(float *restrict row, const float *a, const float *a_before, const float *b,
                 const float *b_before, ptrdiff_t number) {
    for (ptrdiff_t i = 0; i < number; i++) row[i] = (a[i] - a_before[i]) - (b[i] - b_before[i]);
}

/* The layer's part where the difference runs across the row: fade and take are the same all along. */
WIDE static void layer_across(float *restrict row, float sign, float fade, float take, float *restrict memory,
                         const float *a, const float *a_before, ptrdiff_t number) {
    for (ptrdiff_t i = 0; i < number; i++) {
        memory[i] = fade * memory[i] + take * (a[i] - a_before[i]);
        row[i] += sign * memory[i];
    }
}

/* Where it runs along the row. */
static void layer_along(float *restrict row, float sign, const float *restrict fade,
                        const float *restrict take, float *restrict memory, const float *a,
                        const float *a_before, ptrdiff_t number) {
    for (ptrdiff_t i = 0; i < number; i++) {
        memory[i] = fade[i] * memory[i] + take[i] * (a[i] - a_before[i]);
        row[i] += sign * memory[i];
    }
}

/* The layer's part of one of the two differences, which runs along `axis`. */
static void layer(const wave_space *space, const wave_row *at, int which, int axis) {
    ptrdiff_t low = space->low[axis], high = space->high[axis], nx = space->nodes[0], ny = space->nodes[1];
    ptrdiff_t far = at->last[axis] - high, thick = low + high;
    float sign = which == 0 ? 1.0F : -1.0F, *memory = at->memory[which], *row = at->row;
    const float *later = at->later[which], *earlier = at->earlier[which];
    if (thick == 0) return;
    if (axis == 0) {
        ptrdiff_t first = at->first, start = far > first ? far : first;
        memory += (at->k * ny + at->j) * thick;
        layer_along(row + first, sign, at->fade[0] + first, at->take[0] + first, memory + first,
                    later + first, earlier + first, low - first);
        layer_along(row + start, sign, at->fade[0] + start, at->take[0] + start, memory + low + start - far,
                    later + start, earlier + start, at->end - start);
        return;
    }
    ptrdiff_t place = axis == 1 ? at->j : at->k, slot;
    if (place < low)
        slot = place;
    else if (place >= far)
        slot = low + place - far;
    else
        return;
    memory += axis == 1 ? (at->k * thick + slot) * nx : (slot * ny + at->j) * nx;
    layer_across(row + at->first, sign, at->fade[axis][place], at->take[axis][place], memory + at->first,
                 later + at->first, earlier + at->first, at->end - at->first);
}

static void curl_of(const wave_space *space, const wave_row *at, int c) {
    ptrdiff_t from = at->first;
    curl(at->row + from, at->later[0] + from, at->earlier[0] + from, at->later[1] + from,
         at->earlier[1] + from, at->end - from);
    layer(space, at, 0, (c + 1) % 3);
    layer(space, at, 1, (c + 2) % 3);
}

WIDE static void step_in_space(float *restrict field, float gain, const float *restrict row,
                               ptrdiff_t number) {
    for (ptrdiff_t i = 0; i < number; i++) field[i] += gain * row[i];
}

WIDE static void step_in_matter(float *restrict field, const float *restrict keep,
                                const float *restrict gain, const float *restrict row, ptrdiff_t number) {
    for (ptrdiff_t i = 0; i < number; i++) field[i] = keep[i] * field[i] + gain[i] * row[i];
}

/* ---- planes ------------------------------------------------------------------------------------------ */

static void electric_row(const wave_space *space, float *row, int c, ptrdiff_t j, ptrdiff_t k) {
    ptrdiff_t nx = space->nodes[0], ny = space->nodes[1];
    const ptrdiff_t strides[3] = {1, nx, nx * ny};
    int a = (c + 1) % 3, b = (c + 2) % 3;
    ptrdiff_t start = (k * ny + j) * nx, first = c == 0 ? 0 : 1, number = nx - 1 - first;
    const float *h_b = space->magnetic[b] + start, *h_a = space->magnetic[a] + start;
    wave_row at = {first,
                   nx - 1,
                   j,
                   k,
                   {h_b, h_a},
                   {h_b - strides[a], h_a - strides[b]},
                   space->fade_e,
                   space->take_e,
                   space->memory_e + (ptrdiff_t)2 * c,
                   {nx, ny, space->nodes[2]},
                   row};
    float *field = space->electric[c] + start + first;
    curl_of(space, &at, c);
    if (space->plain[k * ny + j])
        step_in_space(field, space->courant, row + first, number);
    else
        step_in_matter(field, space->keep[c] + start + first, space->gain[c] + start + first,
                       row + first, number);
}

static void magnetic_row(const wave_space *space, float *row, int c, ptrdiff_t j, ptrdiff_t k) {
    ptrdiff_t nx = space->nodes[0], ny = space->nodes[1];
    const ptrdiff_t strides[3] = {1, nx, nx * ny};
    int a = (c + 1) % 3, b = (c + 2) % 3;
    ptrdiff_t start = (k * ny + j) * nx, end = c == 0 ? nx : nx - 1;
    const float *e_b = space->electric[b] + start, *e_a = space->electric[a] + start;
    wave_row at = {0,
                   end,
                   j,
                   k,
                   {e_b + strides[a], e_a + strides[b]},
                   {e_b, e_a},
                   space->fade_h,
                   space->take_h,
                   space->memory_h + (ptrdiff_t)2 * c,
                   {nx - 1, ny - 1, space->nodes[2] - 1},
                   row};
    curl_of(space, &at, c);
    step_in_space(space->magnetic[c] + start, -space->courant, row, end);
}

/* The nodes of the outer faces along the metal are never touched: their electric field stays nought. */
static void electric_plane(const wave_space *space, float *row, ptrdiff_t k) {
    ptrdiff_t ny = space->nodes[1], last = space->nodes[2] - 1;
    for (ptrdiff_t j = 0; j < ny - 1; j++) {
        if (j > 0 && k > 0 && k < last) electric_row(space, row, 0, j, k);
        if (k > 0 && k < last) electric_row(space, row, 1, j, k);
        if (j > 0 && k < last) electric_row(space, row, 2, j, k);
    }
}

static void magnetic_plane(const wave_space *space, float *row, ptrdiff_t k) {
    ptrdiff_t ny = space->nodes[1], last = space->nodes[2] - 1;
    for (ptrdiff_t j = 0; j < ny; j++) {
        if (j < ny - 1 && k < last) magnetic_row(space, row, 0, j, k);
        if (k < last) magnetic_row(space, row, 1, j, k);
        if (j < ny - 1) magnetic_row(space, row, 2, j, k);
    }
}

static void flow(const wave_space *space, const wave_source *source, int32_t step, ptrdiff_t k) {
    ptrdiff_t plane = (ptrdiff_t)space->nodes[0] * space->nodes[1];
    if (step >= source->steps) return;
    const float *pulse = source->pulses + (ptrdiff_t)2 * step;
    for (int32_t s = 0; s < source->number; s++) {
        int32_t node = source->node[s], c = source->component[s];
        if (node / plane == k)
            space->electric[c][node] -=
                space->gain[c][node] * (source->cosine[s] * pulse[0] + source->sine[s] * pulse[1]);
    }
}

void wave_sweep(const wave_space *space, const wave_source *source, const wave_slab *slab, int32_t step) {
    for (ptrdiff_t k = slab->first; k < slab->end; k++) {
        electric_plane(space, slab->row, k);
        flow(space, source, step, k);
        if (k > slab->first) magnetic_plane(space, slab->row, k - 1);
    }
}

void wave_close(const wave_space *space, const wave_slab *slab) {
    if (slab->end > slab->first) magnetic_plane(space, slab->row, slab->end - 1);
}

/* ---- what is written down ---------------------------------------------------------------------------- */

static void sum_up(const float *restrict field, const int32_t *restrict node, float *restrict sum,
                   ptrdiff_t from, ptrdiff_t end, float cosine, float sine) {
    for (ptrdiff_t i = from; i < end; i++) {
        float value = field[node[i]];
        sum[2 * i] += cosine * value;
        sum[2 * i + 1] += sine * value;
    }
}

void wave_write_down(const wave_space *space, const wave_record *record, int32_t step, int32_t part,
                     int32_t parts) {
    const float *turn = record->turns + (ptrdiff_t)4 * (step / record->every);
    for (int c = 0; c < 6; c++) {
        const float *field = c < 3 ? space->electric[c] : space->magnetic[c - 3];
        ptrdiff_t number = record->number[c];
        sum_up(field, record->node[c], record->sum[c], number * part / parts, number * (part + 1) / parts,
               turn[c < 3 ? 0 : 2], turn[c < 3 ? 1 : 3]);
    }
}

double wave_energy(const wave_space *space) {
    ptrdiff_t number = (ptrdiff_t)space->nodes[0] * space->nodes[1] * space->nodes[2];
    double sum = 0.0;
    for (int c = 0; c < 3; c++) {
        const float *e = space->electric[c], *h = space->magnetic[c];
        for (ptrdiff_t i = 0; i < number; i++)
            sum += (double)e[i] * (double)e[i] + (double)h[i] * (double)h[i];
    }
    return sum;
}

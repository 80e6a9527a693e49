/* The full wave: Maxwell's equations by finite differences in time (Yee, 1966) on a grid of cubes.
 *
 * Lengths are counted in cells; the magnetic field is multiplied by the impedance of space, so that both
 * fields have the same unit.  Ex lies half a cell beyond its node in x, Hx half a cell beyond it in y and z,
 * and so on round.  A step takes the electric field from one whole step to the next, then the magnetic one
 * from half a step before that to half a step after it.
 *
 * Outside lies metal; inside of it, where layers are asked for, a convolutional perfectly matched layer
 * (Roden and Gedney, 2000).  Nothing is allocated here: all arrays are the caller's, each of one value per
 * node, x fastest, unless said otherwise.  Every index is a node's place in such an array.
 */
#ifndef HUTWRIGHT_WAVE_H
#define HUTWRIGHT_WAVE_H

#include <stdint.h>

typedef struct {
    int32_t nodes[3];   /* along x, y, z; 4 or more each */
    int32_t low[3];     /* cells of the absorbing layer at the low end of each axis, 0 for bare metal */
    int32_t high[3];    /* likewise at the high end; low + high + 2 <= nodes */
    float courant;      /* way of light in a step, over the side of a cell; below 0.577 */
    float *electric[3]; /* the fields */
    float *magnetic[3];
    const float *keep[3];   /* of the electric field over a step; 0 in metal */
    const float *gain[3];   /* of the curl: courant / permittivity without losses; 0 in metal */
    const uint8_t *plain;   /* of each row of nodes along x, z slowest: 1 where keep is 1 and gain courant */
    const float *fade_e[3]; /* of the layer's memory over a step, at the nodes of an axis */
    const float *take_e[3]; /* what the memory takes of a difference there */
    const float *fade_h[3]; /* the same, half a cell beyond each node */
    const float *take_h[3];
    float *memory_e[6]; /* of component c: differences along the next axis at 2 c, the one after at */
    float *memory_h[6]; /* 2 c + 1; as many nodes as the array, but low + high along that axis */
} wave_space;

typedef struct {
    int32_t number;
    const int32_t *component; /* 0, 1, 2: a current along x, y, z */
    const int32_t *node;
    const float *cosine; /* how much of each of the two pulses flows there */
    const float *sine;
    const float *pulses; /* the two of them, turn by turn, for each step */
    int32_t steps;       /* how long they last */
} wave_source;

typedef struct {
    int32_t number[6]; /* of nodes where Ex, Ey, Ez, Hx, Hy, Hz are written down */
    const int32_t *node[6];
    float *sum[6];      /* real and imaginary part of the sum over time, turn by turn */
    int32_t every;      /* steps from sample to sample */
    const float *turns; /* for each sample: cosine and sine of the electric field's phase, then the other's */
} wave_record;

/* A part of the planes along z, for one thread, with room of its own. */
typedef struct {
    int32_t first, end; /* planes, the end beyond the last */
    float *row;         /* as long as a row of nodes along x */
} wave_slab;

/* A step of all slabs is three turns, and none may begin before the one before it is done by every slab.
 * The order of slabs within a turn does not matter: no two write the same value, and none reads what another
 * writes in the same turn. */

/* First: the electric field of a slab's planes, and the magnetic one of all of them but the last. */
void wave_sweep(const wave_space *space, const wave_source *source, const wave_slab *slab, int32_t step);

/* Second: the magnetic field of its last plane, which looks at the next slab's first. */
void wave_close(const wave_space *space, const wave_slab *slab);

/* Third, in steps that `every` divides: a part of the nodes is written down, of so many parts. */
void wave_write_down(const wave_space *space, const wave_record *record, int32_t step, int32_t part,
                     int32_t parts);

/* Sum of the squares of both fields over all nodes. */
double wave_energy(const wave_space *space);

#endif

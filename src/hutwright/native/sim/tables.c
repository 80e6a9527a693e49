/* Rod and load tables: where the leaf stands in them, and what changes over the coming millisecond. */
#include <math.h>
#include "plant.h"

static double length(const sim_door *door, double q, double *slope, double *bend) {
    double square, half, turn;
    if (door->linkage == SIM_DIRECT) {
        *slope = door->k1;
        *bend = 0.0;
        return door->k0 + door->k1 * q;
    }
    if (door->linkage == SIM_ROD_SLIDING) {
        square = door->k0 + (door->k1 + q) * q;
        half = 0.5 * door->k1 + q;
        turn = 1.0;
    } else {
        double cosine = cos(q), sine = sin(q);
        square = door->k0 + door->k1 * cosine + door->k2 * sine;
        half = 0.5 * (door->k2 * cosine - door->k1 * sine);
        turn = -0.5 * (door->k1 * cosine + door->k2 * sine);
    }
    double root = sqrt(square);
    *slope = half / root;
    *bend = (turn - *slope * *slope) / root;
    return root;
}

void sim_rod(const sim_door *door, double q, double *travel, double *arm) {
    double slope, bend;
    double shut = length(door, 0.0, &slope, &bend);
    double here = length(door, q, &slope, &bend);
    *travel = door->way * (here - shut);
    *arm = door->way * slope;
}

/* Place in the tables: 0 at shut, SIM_PLACES - 1 at fully open. */
static double place_of(double full, double q) {
    if (q <= 0.0) return 0.0;
    if (q >= full) return SIM_PLACES - 1;
    return sqrt(q / full) * (SIM_PLACES - 1);
}

/* Between which two entries, and how far. */
typedef struct {
    int32_t low;
    double part;
} entry;

static entry entry_at(double place) {
    entry at;
    at.low = (int32_t)place;
    if (at.low > SIM_PLACES - 2) at.low = SIM_PLACES - 2;
    at.part = place - at.low;
    return at;
}

static double between(const double *table, entry at) {
    return table[at.low] + at.part * (table[at.low + 1] - table[at.low]);
}

double sim_load_at(const double *table, double full, double q) {
    return between(table, entry_at(place_of(full, q)));
}

/* Exact integral of the table's straight lines over q: with q = full x^2 it is that of 2 full x g(x). */
static double span_work(double full, double low, double high, double at_low, double slope) {
    double squares = 0.5 * (high * high - low * low), cubes = (high * high * high - low * low * low) / 3.0;
    return 2.0 * full * ((at_low - slope * low) * squares + slope * cubes);
}

void sim_geometry_begin(const sim_door *door, sim_plant *plant) {
    double slope, bend, arm;
    plant->shut_length = length(door, 0.0, &slope, &bend);
    sim_rod(door, door->full, &plant->travel_full, &arm);
}

/* What gravity has done on the leaf from shut to q. */
double sim_gravity_work(const sim_door *door, double q) {
    const double pitch = 1.0 / (SIM_PLACES - 1);
    double place = place_of(door->full, q), work = 0.0;
    for (int32_t low = 0; low < SIM_PLACES - 1 && low < place; low++) {
        double slope = (door->gravity[low + 1] - door->gravity[low]) / pitch;
        double high = low + 1 < place ? low + 1 : place;
        work += span_work(door->full, low * pitch, high * pitch, door->gravity[low], slope);
    }
    if (q <= 0.0) return door->gravity[0] * q;
    if (q >= door->full) work += door->gravity[SIM_PLACES - 1] * (q - door->full);
    return work;
}

static sim_load line(const double *table, entry here, entry there, double per_over) {
    sim_load load;
    load.value = between(table, here);
    load.slope = (between(table, there) - load.value) * per_over;
    return load;
}

/* Once a millisecond: rod and loads about the leaf's place, as a parabola and as straight lines towards where
 * the leaf will be; as they were where it rests. */
void sim_geometry(const sim_door *door, sim_plant *plant) {
    double slope, bend, over = plant->rate * SIM_TICK, least = 1e-6 * door->full, per_over = 0.0;
    if (plant->rate == 0.0 && plant->q == plant->middle && plant->for_gust == plant->gust &&
        plant->for_drag == plant->drag && plant->h > 0.0)
        return;
    plant->for_gust = plant->gust;
    plant->for_drag = plant->drag;
    plant->middle = plant->q;
    plant->middle_travel = door->way * (length(door, plant->q, &slope, &bend) - plant->shut_length);
    plant->arm = door->way * slope;
    plant->bend = door->way * bend;
    entry here = entry_at(place_of(door->full, plant->q)), there = here;
    if (over > least || over < -least) {
        there = entry_at(place_of(door->full, plant->q + over));
        per_over = 1.0 / over;
    }
    plant->conservative = line(door->gravity, here, there, per_over);
    plant->resist_open = line(door->resist_open, here, there, per_over);
    plant->resist_close = line(door->resist_close, here, there, per_over);
    plant->wind.value = plant->wind.slope = 0.0;
    double more = plant->drag;
    if (plant->gust != 0.0) {
        plant->wind = line(door->wind, here, there, per_over);
        plant->wind.value *= plant->gust;
        plant->wind.slope *= plant->gust;
        more += fabs(plant->gust) * between(door->wind_drag, here);
    }
    plant->resist_open.value += more;
    plant->resist_close.value += more;
}

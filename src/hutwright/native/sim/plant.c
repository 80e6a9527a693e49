/* Rotor and leaf over one millisecond.
 *
 * Places and speeds leap over each other by half a step, so that springs keep their energy.  Within a step
 * every loss acts as an impulse of its own: it takes energy from what moves, and can stop it, never turn it.
 */
#include <math.h>
#include "contact.h"
#include "plant.h"
#include "supply.h"

/* A step times the quickest mode's angular frequency: peak force within 0.4 % in 99 of 100 contacts; in the
 * others the controller decides a millisecond earlier or later. */
#define FINEST 0.2
/* The same for a step twice as long, where nothing is in reach; and what answer() may be then. */
#define EASY 0.1
#define EASY_ANSWER 0.1

void sim_plant_begin(const sim_door *door, sim_plant *plant) {
    double eta = door->efficiency, driven;
    plant->rotor_inverse = 1.0 / door->rotor_mass;
    plant->leaf_inverse = 1.0 / door->inertia;
    plant->loss_driving = 1.0 / eta - 1.0;
    driven = 2.0 - 1.0 / eta;
    if (driven < 0.0 || door->self_locking) driven = 0.0;
    plant->loss_driven = 1.0 - driven;
    plant->dry = door->friction_current * door->constant;
    plant->fed = 1;
    plant->voltage = door->voltage;
    plant->bus = door->voltage - door->source_resistance * door->logic_current;
    plant->least_bus = plant->bus;
    plant->ice = door->ice;
    plant->for_h = -1.0;
    sim_geometry_begin(door, plant);
}

/* How quickly winding and rotor answer each other, over a step: below 1 they do so without ringing. */
static double answer(const sim_door *door, const sim_plant *plant, double h) {
    double resistance = door->resistance + door->series_resistance;
    double share = h * resistance < door->inductance ? h * resistance / door->inductance : 1.0;
    return h * share * door->constant * door->constant * plant->rotor_inverse / resistance;
}

/* How many steps the stiffest spring in reach asks for, and what hangs on their length. */
static void choose_step(const sim_door *door, sim_plant *plant) {
    double held, push, h = SIM_TICK / SIM_STEPS;
    double shared = plant->rotor_inverse + plant->arm * plant->arm * plant->leaf_inverse;
    int32_t splits = 0;
    plant->touching = sim_touching(door, plant, &held);
    push = door->mount_stiffness * shared + held * plant->leaf_inverse;
    while (splits < SIM_MOST_SPLITS &&
           (h * h * push > FINEST * FINEST || answer(door, plant, h) > FINEST * FINEST)) {
        h *= 0.5;
        splits++;
    }
    plant->steps = SIM_STEPS << splits;
    if (splits == 0 && !plant->touching && 4.0 * h * h * push < EASY * EASY &&
        answer(door, plant, 2.0 * h) < EASY_ANSWER) {
        h *= 2.0;
        plant->steps = SIM_STEPS / 2;
    }
    if (h != plant->h) {
        plant->h = h;
        plant->per_h = 1.0 / h;
        plant->instrument = 1.0 - exp(-h / SIM_INSTRUMENT);
    }
    plant->grip = door->mount_damping * h / (1.0 + 0.5 * door->mount_damping * h * shared);
    sim_electric_for(door, plant);
}

/* Spring force of the mount along the rod; above its slip force it slides. */
SIM_INLINE double mount(const sim_door *door, sim_plant *plant, double leaf_travel) {
    double way = plant->travel - leaf_travel - plant->slipped;
    double force = door->mount_stiffness * way;
    if (fabs(force) > door->slip_force) {
        double kept = (force > 0.0 ? door->slip_force : -door->slip_force) / door->mount_stiffness;
        plant->heat += 0.5 * (plant->spring + door->mount_stiffness * kept) * (way - kept);
        plant->slipped += way - kept;
        force = door->mount_stiffness * kept;
    }
    plant->spring = force;
    return force;
}

/* A speed after a dry impulse against it: taken away, at most. */
SIM_INLINE double rubbed(double speed, double change) {
    if (speed > change) return speed - change;
    if (speed < -change) return speed + change;
    return 0.0;
}

/* Every impulse does work at the mean of the speeds before and after the step, so that the works add up. Each
 * gives the speed after it; the rotor also that before its dry impulse, the leaf the impulses that it lost.
 */
SIM_INLINE double rotor(const sim_door *door, const sim_plant *plant, double speed, double spring,
                           double force, double *after) {
    double push = door->constant * plant->current - spring;
    speed += plant->h * plant->rotor_inverse * push;
    double loss = force * speed > 0.0 ? plant->loss_driving : plant->loss_driven;
    double most = plant->dry + loss * fabs(force);
    *after = rubbed(speed, most * plant->h * plant->rotor_inverse);
    if (*after < 0.0 ? plant->travel <= door->rod_low : plant->travel >= door->rod_high && *after > 0.0)
        *after = 0.0;
    return speed;
}

/* Damped contacts; the impulse that their dampers gave. */
SIM_INLINE double touch(const sim_door *door, sim_plant *plant, double kick, double *rate) {
    plant->rate = *rate;
    plant->kick = kick;
    sim_contact_damping(door, plant);
    double impulse = door->inertia * (*rate - plant->rate);
    *rate = plant->rate;
    return impulse;
}

SIM_INLINE void leaf(const sim_door *door, sim_plant *plant, int32_t touching, double rate,
                        double rod_load, double off, double *after, double *lost, double *other) {
    double wind = plant->wind.value + plant->wind.slope * off;
    double load = rod_load + plant->conservative.value + plant->conservative.slope * off + wind;
    *lost = 0.0;
    if (touching) load += sim_contact_load(door, plant);
    *other = touching ? wind + plant->push_load : wind;
    double kick = plant->h * plant->leaf_inverse * load;
    rate += kick;
    if (touching) *lost = touch(door, plant, kick, &rate);
    const sim_load *resist = rate > 0.0 ? &plant->resist_open : &plant->resist_close;
    double most = resist->value + resist->slope * off;
    most = (most > 0.0 ? most : 0.0) + plant->ice;
    if (touching && plant->push_load > 0.0) most += plant->push_drag;
    *after = rubbed(rate, most * plant->h * plant->leaf_inverse);
    *lost += door->inertia * (rate - *after);
}

SIM_INLINE void look(sim_plant *plant) {
    const double one = plant->bodies[0].force, other = plant->bodies[1].force;
    plant->force = one > other ? one : other;
    if (plant->force > plant->peak_force) plant->peak_force = plant->force;
    plant->seen += plant->instrument * (plant->force - plant->seen);
    if (plant->seen > plant->peak_seen) plant->peak_seen = plant->seen;
}

SIM_INLINE void step(const sim_door *door, sim_plant *plant, int32_t touching) {
    double speed = plant->speed, rate = plant->rate, new_speed, new_rate, lost, other;
    double off = plant->q - plant->middle;
    double arm = plant->arm + plant->bend * off;
    double spring = mount(door, plant, plant->middle_travel + off * (plant->arm + 0.5 * plant->bend * off));
    double impulse = plant->grip * (speed - arm * rate), force = spring + impulse * plant->per_h;
    double driven = rotor(door, plant, speed - impulse * plant->rotor_inverse, spring, force, &new_speed);
    leaf(door, plant, touching, rate + arm * impulse * plant->leaf_inverse, arm * spring, off, &new_rate,
         &lost, &other);
    plant->heat += 0.5 * ((door->rotor_mass * (driven - new_speed) + impulse) * (speed + new_speed) +
                          (lost - arm * impulse) * (rate + new_rate));
    if (other != 0.0) plant->work_other += 0.5 * plant->h * other * (rate + new_rate);
    plant->rod_force = force;
    plant->speed_before = speed;
    plant->rate_before = rate;
    plant->speed = new_speed;
    plant->rate = new_rate;
    plant->travel += plant->h * new_speed;
    plant->q += plant->h * new_rate;
    plant->clock += plant->h;
    sim_electric(door, plant);
    if (plant->touched) look(plant);
}

/* Nothing has moved in this step, and nothing changes within the millisecond. */
SIM_INLINE int32_t asleep(const sim_door *door, const sim_plant *plant) {
    return plant->speed == 0.0 && plant->rate == 0.0 && plant->speed_before == 0.0 &&
           plant->rate_before == 0.0 && plant->current == 0.0 && plant->drive == 0.0 && !plant->touched &&
           !plant->pushed && door->reservoir <= 0.0;
}

/* All steps of a millisecond. */
SIM_INLINE void steps(const sim_door *door, sim_plant *plant, int32_t touching) {
    for (int32_t i = 0; i < plant->steps; i++) {
        step(door, plant, touching);
        if (asleep(door, plant)) break; /* every further step is the same */
    }
}

void sim_plant_tick(const sim_door *door, sim_plant *plant) {
    const double clock = plant->clock;
    sim_geometry(door, plant);
    choose_step(door, plant);
    if (!plant->touching) {
        plant->bodies[0].force = plant->bodies[1].force = plant->stop_force = plant->push_load = 0.0;
    }
    if (plant->touching)
        steps(door, plant, 1);
    else
        steps(door, plant, 0);
    plant->clock = clock + SIM_TICK;
    sim_electric_account(door, plant);
    if (plant->ice > 0.0 && fabs(plant->q - plant->ice_from) > door->ice_over) plant->ice = 0.0;
    if (fabs(plant->current) > plant->peak_current) plant->peak_current = fabs(plant->current);
    if (plant->bus < plant->least_bus) plant->least_bus = plant->bus;
}

/* Energy kept: motion, springs, gravity, winding, reservoir. */
double sim_stored(const sim_door *door, const sim_plant *plant) {
    double travel, arm, kept = 0.0;
    double speed = plant->speed + 0.5 * (plant->speed - plant->speed_before);
    double rate = plant->rate + 0.5 * (plant->rate - plant->rate_before);
    sim_rod(door, plant->q, &travel, &arm);
    double way = plant->travel - travel - plant->slipped;
    kept += 0.5 * door->rotor_mass * speed * speed + 0.5 * door->inertia * rate * rate;
    kept += 0.5 * door->mount_stiffness * way * way - sim_gravity_work(door, plant->q);
    for (int32_t i = 0; i < 2; i++)
        kept += sim_body_energy(&plant->bodies[i], sim_body_way(&plant->bodies[i], plant->q));
    if (plant->q < 0.0) kept += 0.5 * door->stop_stiffness * plant->q * plant->q;
    if (plant->q > door->full)
        kept += 0.5 * door->stop_stiffness * (plant->q - door->full) * (plant->q - door->full);
    kept += 0.5 * door->inductance * plant->current * plant->current;
    return kept + 0.5 * door->reservoir * plant->bus * plant->bus;
}

/* Whether the state is still one of a door: finite, and within ten times its travel. */
int32_t sim_sensible(const sim_plant *plant) {
    double most = 10.0 * (fabs(plant->travel_full) + 1.0);
    return fabs(plant->travel) < most && fabs(plant->q) < 10.0 * (fabs(plant->travel_full) + 10.0) &&
           fabs(plant->speed) < 1e6 && fabs(plant->rate) < 1e6 && fabs(plant->current) < 1e6 &&
           isfinite(plant->bus);
}

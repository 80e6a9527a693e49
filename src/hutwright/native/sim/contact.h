/* What the leaf touches, over one step of the plant; in a header, so that it becomes part of the step itself.
 */
#ifndef HUTWRIGHT_SIM_CONTACT_H
#define HUTWRIGHT_SIM_CONTACT_H

#include <math.h>
#include "plant.h"

/* How far the body is pressed; below zero: the gap. */
SIM_INLINE double sim_body_way(const sim_body *body, double q) {
    return body->side * (body->face - body->lever * q);
}

/* Spring force: the soft edge lies in series until it has bottomed. */
SIM_INLINE double sim_body_force(const sim_body *body, double way) {
    if (way <= 0.0) return 0.0;
    if (!body->soft) return body->stiffness * way;
    if (way <= body->bottom) return body->both * way;
    return body->bottom_force + body->stiffness * (way - body->bottom);
}

SIM_INLINE double sim_body_stiffness(const sim_body *body, double way) {
    return body->soft && way <= body->bottom ? body->both : body->stiffness;
}

SIM_INLINE double sim_push(sim_plant *plant) {
    double deep = plant->push_face - plant->q, most = plant->push_most / plant->push_stiffness;
    plant->push_load = 0.0;
    if (deep > 0.0) {
        if (deep > most) plant->push_face = plant->q + (deep = most); /* the leaf holds the body up */
        plant->push_load = plant->push_stiffness * deep;
    }
    plant->push_face += plant->push_rate * plant->h;
    return plant->push_load;
}

/* Springs of all that is touched, as load along q; what a push does beyond that is counted by the caller. */
SIM_INLINE double sim_contact_load(const sim_door *door, sim_plant *plant) {
    double load = 0.0;
    for (int32_t i = 0; i < 2; i++) {
        sim_body *body = &plant->bodies[i];
        body->force = 0.0;
        if (!body->there) continue;
        double way = sim_body_way(body, plant->q);
        if (way <= 0.0) continue;
        if (!plant->touched) {
            double speed = fabs(body->lever * plant->rate);
            plant->touched = 1;
            plant->touch_speed = speed;
            plant->touch_time = plant->clock - (way < speed * plant->h ? way / speed : 0.0);
            plant->touch_away = body->side * body->lever > 0.0 ? 1.0 : -1.0;
        }
        body->force = sim_body_force(body, way);
        load += body->side * body->lever * body->force;
    }
    plant->stop_force = 0.0;
    if (plant->q < 0.0)
        plant->stop_force = -door->stop_stiffness * plant->q;
    else if (plant->q > door->full)
        plant->stop_force = -door->stop_stiffness * (plant->q - door->full);
    load += plant->stop_force;
    if (plant->pushed) load += sim_push(plant);
    return load;
}

/* Impulse of one damper on the leaf: never so great that it pulls together with its spring. */
SIM_INLINE double sim_damp(const sim_plant *plant, double rate, double damping, double force) {
    double impulse = -damping * plant->h * rate / (1.0 + 0.5 * damping * plant->h * plant->leaf_inverse);
    double spring = force * plant->h;
    if (force >= 0.0) return impulse < -spring ? -spring : impulse;
    return impulse > -spring ? -spring : impulse;
}

/* Dampers of all that is touched, after the springs have acted; their heat is counted by the caller. */
SIM_INLINE void sim_contact_damping(const sim_door *door, sim_plant *plant) {
    for (int32_t i = 0; i < 2; i++) {
        sim_body *body = &plant->bodies[i];
        if (body->force <= 0.0) continue;
        double share = body->lever;
        if (sim_body_stiffness(body, sim_body_way(body, plant->q)) < body->stiffness)
            share *= body->both / body->stiffness;
        double turning = body->side * body->lever;
        double damping = body->damping * share * share, middle = plant->rate - 0.5 * plant->kick;
        double impulse = sim_damp(plant, middle, damping, turning * body->force);
        plant->rate += impulse * plant->leaf_inverse;
        body->force += impulse / (turning * plant->h);
    }
    if (plant->stop_force != 0.0) {
        double middle = plant->rate - 0.5 * plant->kick;
        double impulse = sim_damp(plant, middle, door->stop_damping, plant->stop_force);
        plant->rate += impulse * plant->leaf_inverse;
        plant->stop_force += impulse / plant->h;
    }
}

#endif

/* What the leaf can run against: bodies with stiffness and damping, its own stops, and a machine that pushes
 * it. */
#include <math.h>
#include "contact.h"
#include "plant.h"

double sim_body_energy(const sim_body *body, double way) {
    if (!body->there || way <= 0.0) return 0.0;
    if (!body->soft) return 0.5 * body->stiffness * way * way;
    if (way <= body->bottom) return 0.5 * body->both * way * way;
    double over = way - body->bottom;
    return 0.5 * body->bottom_force * body->bottom +
           (body->bottom_force + 0.5 * body->stiffness * over) * over;
}

/* An obstacle comes or goes; what it holds or brings as stored energy is work of the one who puts it there.
 */
void sim_body_set(const sim_door *door, sim_plant *plant, const sim_event *event) {
    sim_body *body = &plant->bodies[event->d > 0.5];
    double before = sim_body_energy(body, sim_body_way(body, plant->q));
    body->there = event->b > 0.0;
    body->side = event->d > 0.5 ? -1.0 : 1.0;
    body->face = event->a;
    body->stiffness = event->b;
    body->lever = event->c != 0.0 ? event->c : door->edge_radius;
    body->damping = event->e > 0.0 ? event->e : 0.0;
    body->soft = event->c == 0.0 && event->d <= 0.5 && door->edge_stiffness > 0.0 && body->there;
    body->both = body->stiffness;
    if (body->soft) {
        body->both = body->stiffness * door->edge_stiffness / (body->stiffness + door->edge_stiffness);
        body->bottom_force = door->edge_stiffness * door->edge_depth;
        body->bottom = body->bottom_force / body->both;
    }
    body->force = 0.0;
    plant->work_other += sim_body_energy(body, sim_body_way(body, plant->q)) - before;
}

void sim_push_set(sim_plant *plant, const sim_event *event) {
    plant->pushed = event->c > 0.0 && event->d > 0.0;
    plant->push_face = event->a;
    plant->push_rate = event->b;
    plant->push_most = event->c;
    plant->push_stiffness = event->d;
    plant->push_drag = event->e;
    plant->push_load = 0.0;
}

/* Whether anything may be touched in the coming millisecond, and how stiff the leaf is then held along q. */
int32_t sim_touching(const sim_door *door, const sim_plant *plant, double *stiffness) {
    double reach = 0.01 * door->full + 3.0 * SIM_TICK * fabs(plant->rate);
    int32_t touching = 0;
    *stiffness = 0.0;
    for (int32_t i = 0; i < 2; i++) {
        const sim_body *body = &plant->bodies[i];
        if (!body->there || sim_body_way(body, plant->q) < -reach * fabs(body->lever)) continue;
        *stiffness += body->lever * body->lever * body->stiffness;
        touching = 1;
    }
    if (plant->q < reach || plant->q > door->full - reach) {
        *stiffness += door->stop_stiffness;
        touching = 1;
    }
    if (plant->pushed) {
        *stiffness += plant->push_stiffness;
        touching = 1;
    }
    return touching;
}

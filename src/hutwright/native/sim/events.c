/* What happens to the door, at its time or where the leaf passes a place. */
#include <math.h>
#include "plant.h"

void sim_agenda_begin(const sim_door *door, const sim_scenario *scenario, sim_agenda *agenda) {
    agenda->last = 0.0;
    agenda->last_command = -1.0;
    agenda->voltage_goal = door->voltage;
    for (int32_t i = 0; i < scenario->events_used && i < SIM_EVENTS; i++) {
        const sim_event *event = &scenario->events[i];
        if (event->when != SIM_AT_TIME) {
            agenda->placed[agenda->placed_number++] = i;
            continue;
        }
        int32_t at = agenda->timed_number++; /* in the order of their times; those of one time as they came */
        for (; at > 0 && scenario->events[agenda->timed[at - 1]].time > event->time; at--)
            agenda->timed[at] = agenda->timed[at - 1];
        agenda->timed[at] = i;
        if (event->time > agenda->last) agenda->last = event->time;
    }
}

/* A value that goes to its goal over a time, from now on. */
static void towards(double now, double goal, double over, double *kept_goal, double *slope) {
    *kept_goal = goal;
    *slope = over > 0.0 ? fabs(goal - now) / over : 1e300;
}

static double nearer(double now, double goal, double slope) {
    double most = slope * SIM_TICK;
    if (fabs(goal - now) <= most) return goal;
    return goal > now ? now + most : now - most;
}

static void slide(const sim_door *door, sim_plant *plant, double by) {
    double travel, arm;
    sim_rod(door, plant->q, &travel, &arm);
    double before = plant->travel - travel - plant->slipped, after = before - by;
    plant->slipped += by;
    plant->spring = door->mount_stiffness * after;
    plant->work_other += 0.5 * door->mount_stiffness * (after * after - before * before);
}

static void for_the_eyes(const sim_event *event, sim_senses *senses) {
    int32_t on = (int32_t)event->a;
    switch ((sim_kind)event->kind) {
    case SIM_WORD: senses->word = on; break;
    case SIM_BUTTON: senses->button = on; break;
    case SIM_RELAY: senses->relay = on; break;
    case SIM_SENSOR: senses->sensor = on; break;
    case SIM_LINE:
        senses->beating = on;
        senses->beat_ms = 0;
        break;
    case SIM_PRESENT: senses->present = on; break;
    case SIM_BEAM: senses->beam = on; break;
    case SIM_EDGE: senses->edge = on; break;
    case SIM_LIMIT_SHUT: senses->limit_shut = on; break;
    case SIM_LIMIT_OPEN: senses->limit_open = on; break;
    case SIM_SENSOR_FAULT:
        senses->fault = on;
        senses->fault_size = event->b;
        break;
    case SIM_BRIDGE_STUCK: senses->bridge = on; break;
    case SIM_TEMPERATURE: senses->temperature = event->a; break;
    default: break;
    }
}

static void for_the_door(const sim_door *door, const sim_event *event, sim_agenda *agenda, sim_plant *plant) {
    switch ((sim_kind)event->kind) {
    case SIM_OBSTACLE: sim_body_set(door, plant, event); break;
    case SIM_PUSH: sim_push_set(plant, event); break;
    case SIM_GUST: towards(plant->gust, event->a, event->b, &agenda->gust_goal, &agenda->gust_slope); break;
    case SIM_SUPPLY:
        towards(plant->voltage, event->a, event->b, &agenda->voltage_goal, &agenda->voltage_slope);
        break;
    case SIM_POWER: plant->fed = event->a > 0.5; break;
    case SIM_SLIP: slide(door, plant, event->a); break;
    case SIM_ICE:
        plant->ice = event->a;
        plant->ice_from = plant->q;
        break;
    case SIM_DRAG: plant->drag = event->a; break;
    default: break;
    }
}

static void happen(const sim_door *door, const sim_event *event, double time, sim_agenda *agenda,
                   sim_plant *plant, sim_senses *senses) {
    int32_t asks = event->kind <= SIM_SENSOR && event->a > 0.5;
    if (asks) agenda->last_command = time;
    for_the_eyes(event, senses);
    for_the_door(door, event, agenda, plant);
}

static int32_t passed(const sim_event *event, double time, double before, double now) {
    if (time < event->time) return 0;
    if (event->when == SIM_PASSING_OPENING) return before < event->place && event->place <= now;
    return before > event->place && event->place >= now;
}

void sim_happen(const sim_door *door, const sim_scenario *scenario, sim_agenda *agenda, double time,
                double q_before, sim_plant *plant, sim_senses *senses) {
    const double soon = time + 0.5 * SIM_TICK;
    while (agenda->timed_next < agenda->timed_number) {
        const sim_event *event = &scenario->events[agenda->timed[agenda->timed_next]];
        if (event->time >= soon) break;
        agenda->timed_next++;
        happen(door, event, time, agenda, plant, senses);
    }
    for (int32_t i = 0; i < agenda->placed_number; i++) {
        const sim_event *event = &scenario->events[agenda->placed[i]];
        if (!passed(event, time, q_before, plant->q)) continue;
        agenda->placed_number--;
        for (int32_t next = i; next < agenda->placed_number; next++)
            agenda->placed[next] = agenda->placed[next + 1];
        i--;
        happen(door, event, time, agenda, plant, senses);
    }
    if (plant->gust != agenda->gust_goal)
        plant->gust = nearer(plant->gust, agenda->gust_goal, agenda->gust_slope);
    if (plant->voltage != agenda->voltage_goal)
        plant->voltage = nearer(plant->voltage, agenda->voltage_goal, agenda->voltage_slope);
}

/* Supply, bridge and winding over one step of the plant; in a header, so that it becomes part of the step
 * itself. */
#ifndef HUTWRIGHT_SIM_SUPPLY_H
#define HUTWRIGHT_SIM_SUPPLY_H

#include <math.h>
#include "plant.h"

/* What holds for the millisecond: drive and drop of the bridge, constants of the exponentials. */
SIM_INLINE void sim_electric_for(const sim_door *door, sim_plant *plant) {
    plant->drive = plant->enable ? plant->duty : 0.0;
    plant->drop = (plant->enable ? fabs(plant->duty) : 1.0) * door->bridge_offset;
    plant->straight_bus = plant->voltage - door->source_resistance * door->logic_current;
    double resistance = door->resistance + door->series_resistance;
    if (door->reservoir <= 0.0)
        resistance += door->source_resistance * (plant->enable ? plant->duty * plant->duty : 1.0);
    if (resistance == plant->for_resistance && plant->h == plant->for_h) return;
    plant->for_resistance = resistance;
    plant->conductance = 1.0 / resistance;
    plant->for_h = plant->h;
    double lag = door->inductance / resistance;
    plant->keep = lag > 0.0 ? exp(-plant->h / lag) : 0.0;
    plant->mean = lag * (1.0 - plant->keep);
    plant->square = 0.5 * lag * (1.0 - plant->keep * plant->keep);
    lag = door->source_resistance * door->reservoir;
    plant->reservoir_keep = lag > 0.0 ? exp(-plant->h / lag) : 0.0;
    plant->reservoir_mean = lag * (1.0 - plant->reservoir_keep);
    plant->reservoir_square = 0.5 * lag * (1.0 - plant->reservoir_keep * plant->reservoir_keep);
}

/* The reservoir over one step, with the bridge's current as it is now; the mean voltage over it. */
SIM_INLINE double reservoir(const sim_door *door, sim_plant *plant) {
    const double h = plant->h, before = plant->bus;
    double logic = before > 0.0 ? door->logic_current : 0.0;
    double drawn = (plant->enable ? plant->duty * plant->current : -fabs(plant->current)) + logic;
    if (!plant->fed) {
        plant->bus = before - drawn * h / door->reservoir;
        if (plant->bus < 0.0) plant->bus = 0.0;
    } else if (door->source_resistance > 0.0) {
        double level = plant->voltage - door->source_resistance * drawn;
        double over = (plant->voltage - before) / door->source_resistance - drawn;
        plant->bus = level + (before - level) * plant->reservoir_keep;
        plant->work_supply += plant->voltage * (drawn * h + over * plant->reservoir_mean);
        plant->heat +=
            door->source_resistance * (drawn * drawn * h + 2.0 * drawn * over * plant->reservoir_mean +
                                       over * over * plant->reservoir_square);
    } else {
        double jump = plant->voltage - before;
        plant->bus = plant->voltage;
        plant->work_supply += plant->voltage * (drawn * h + door->reservoir * jump);
        plant->heat += 0.5 * door->reservoir * jump * jump;
    }
    double mean = 0.5 * (before + plant->bus);
    plant->heat += mean * logic * h;
    return mean;
}

/* The drive's own end switches, each with a diode for the way back. */
SIM_INLINE int32_t cut(const sim_door *door, const sim_plant *plant, double current) {
    if (!door->inside_switches) return 0;
    return (current < 0.0 && plant->travel <= door->switch_shut) ||
           (current > 0.0 && plant->travel >= door->switch_open);
}

/* Current over one step: exponential towards where it would settle; a drop against its way never turns it. */
SIM_INLINE void winding(const sim_door *door, sim_plant *plant, double pull, double drop, double *charge,
                           double *square) {
    const double h = plant->h, before = plant->current;
    double sign = before > 0.0 ? 1.0 : -1.0;
    *charge = *square = 0.0;
    if (before == 0.0) {
        if (fabs(pull) <= drop) return;
        sign = pull > 0.0 ? 1.0 : -1.0;
    }
    if (cut(door, plant, sign)) {
        plant->heat += 0.5 * door->inductance * before * before;
        plant->current = 0.0;
        return;
    }
    double level = (pull - sign * drop) * plant->conductance, over = before - level;
    double after = level + over * plant->keep;
    if (after * sign < 0.0) {
        double share = before / (before - after);
        *charge = 0.5 * before * share * h;
        *square = before * before * share * h / 3.0;
        after = 0.0;
    } else {
        double steady = level * h, rest = over * plant->mean;
        *charge = steady + rest;
        *square = level * (steady + 2.0 * rest) + over * over * plant->square;
    }
    plant->current = after;
}

/* One step.  What the winding has taken is summed up over the millisecond: sim_electric_account(). */
SIM_INLINE void sim_electric(const sim_door *door, sim_plant *plant) {
    double charge, square, bus = plant->straight_bus;
    if (door->reservoir > 0.0) {
        bus = reservoir(door, plant);
    } else if (!plant->fed) { /* nothing to flow into */
        plant->heat += 0.5 * door->inductance * plant->current * plant->current;
        plant->current = 0.0;
        return;
    }
    double drop = plant->drop + (plant->enable ? 0.0 : bus);
    double pull = plant->drive * bus - door->constant * plant->speed;
    winding(door, plant, pull, drop, &charge, &square);
    plant->charge += charge;
    plant->charge_either += fabs(charge);
    plant->charge_square += square;
}

/* The millisecond's sums: heat, and, without a reservoir, what the source has given in the same moment. */
SIM_INLINE void sim_electric_account(const sim_door *door, sim_plant *plant) {
    const double logic = door->logic_current, source = door->source_resistance;
    plant->heat += (door->resistance + door->series_resistance) * plant->charge_square +
                   plant->drop * plant->charge_either;
    if (door->reservoir <= 0.0 && plant->fed) {
        double share = plant->enable ? plant->duty : 1.0,
               drawn = plant->enable ? plant->charge : -plant->charge_either;
        double given = share * drawn + logic * SIM_TICK;
        double square =
            share * share * plant->charge_square + 2.0 * share * logic * drawn + logic * logic * SIM_TICK;
        double now = plant->enable ? plant->current : -fabs(plant->current);
        plant->work_supply += plant->voltage * given;
        plant->heat += source * square + logic * (plant->voltage * SIM_TICK - source * given);
        plant->bus = plant->voltage - source * (share * now + logic);
    } else if (door->reservoir <= 0.0) {
        plant->bus = 0.0;
    }
    plant->charge = plant->charge_either = plant->charge_square = 0.0;
}

#endif

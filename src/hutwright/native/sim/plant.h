/* What the simulated door's own files say to each other; sim.h is the manual. */
#ifndef HUTWRIGHT_SIM_PLANT_H
#define HUTWRIGHT_SIM_PLANT_H

#include "sim.h"

#define SIM_MOST_SPLITS 8 /* a step is halved at most so many times where a stiffness asks for it */
#define SIM_TICK 0.001 /* [s] */
/* First-order lag whose answer to a step takes 5 ms from 10 to 90 %: 5 ms / ln 9. */
#define SIM_INSTRUMENT 0.002275598

/* What becomes part of the step: several of these would be left outside for their size. */
#if defined(__GNUC__)
#define SIM_INLINE static inline __attribute__((always_inline))
#else
#define SIM_INLINE static inline
#endif

/* One thing that the leaf can run against; way x = side * (face - lever * q), pressed where x > 0. */
typedef struct {
    int32_t there;
    int32_t soft; /* 1: the leaf's soft edge lies between */
    double side; /* +1 against closing, -1 against opening */
    double face, lever, stiffness, damping;
    double both; /* stiffness in series with the soft edge */
    double bottom; /* x at which the soft edge has bottomed */
    double bottom_force;
    double force; /* in the step before [N] */
} sim_body;

/* A load over q for one millisecond: value and slope. */
typedef struct {
    double value, slope;
} sim_load;

typedef struct {
    /* state */
    double current, travel, speed, q, rate, bus;
    double speed_before, rate_before; /* a step earlier: what moves is half a step behind what stands */
    double spring; /* force of the mount's spring in the step before */
    double slipped; /* way by which the mount has slid, along the rod */
    /* what acts */
    double duty; /* -1..1 as the bridge has it */
    int32_t enable;
    int32_t fed; /* 0: the supply is cut off */
    double voltage, gust, drag, ice, ice_from;
    int32_t pushed;
    double push_face, push_rate, push_most, push_stiffness, push_drag, push_load;
    double kick; /* what all loads have added to the rate in this step: dampers act at its middle */
    double stop_force; /* of the frame or the open stop on the leaf in the step before, along q */
    sim_body bodies[2]; /* against closing, against opening */
    /* for this millisecond */
    int32_t steps; /* of the plant */
    int32_t touching; /* 1: a body, a stop or a push may be reached in it */
    double h, per_h; /* step and its inverse [s, 1/s] */
    double middle, middle_travel, arm, bend; /* rod: travel and arm from where the leaf stood */
    double for_gust, for_drag; /* for which they and the loads hold */
    sim_load conservative, wind, resist_open, resist_close;
    double grip; /* of the mount's damper, impulse per speed */
    double instrument; /* share of a new force in what is seen */
    /* for this duty and step */
    double for_h, for_resistance, conductance;
    double keep, mean, square; /* of the current's exponential */
    double reservoir_keep, reservoir_mean, reservoir_square;
    double drive, drop, straight_bus; /* of the bridge: share of the bus, drop [V]; bus without current */
    double charge, charge_either, charge_square; /* of the winding, summed over it */
    /* constants of the door */
    double shut_length, travel_full, rotor_inverse, leaf_inverse;
    double loss_driving, loss_driven, dry;
    /* what comes of it */
    double force, seen, rod_force;
    double peak_force, peak_seen, peak_current, least_bus;
    double heat, work_supply, work_other;
    int32_t touched; /* 1: a body has been touched */
    double clock; /* since the start [s] */
    double touch_time, touch_speed, touch_away; /* away: sign of the rate that leads away from it */
} sim_plant;

/* tables.c */
void sim_geometry_begin(const sim_door *door, sim_plant *plant);
double sim_load_at(const double *table, double full, double q);
double sim_gravity_work(const sim_door *door, double q);
void sim_geometry(const sim_door *door, sim_plant *plant);

/* plant.c */
void sim_plant_begin(const sim_door *door, sim_plant *plant);
void sim_plant_tick(const sim_door *door, sim_plant *plant);
double sim_stored(const sim_door *door, const sim_plant *plant);
int32_t sim_sensible(const sim_plant *plant);

/* contact.c */
void sim_body_set(const sim_door *door, sim_plant *plant, const sim_event *event);
void sim_push_set(sim_plant *plant, const sim_event *event);
double sim_body_energy(const sim_body *body, double way);
int32_t sim_touching(const sim_door *door, const sim_plant *plant, double *stiffness);

/* What the controller sees, and how it may be led astray. */
typedef struct {
    uint64_t seed;
    uint64_t drawn;
    double temperature; /* [K] */
    int32_t fault; /* 0 well, 1 stuck, 2 disconnected, 3 offset, 4 share, 5 noise */
    double fault_size;
    int16_t last_mA;
    int32_t limit_shut, limit_open; /* -1 as they are, 0 stuck open, 1 stuck made */
    int32_t present, beam, edge;
    int32_t button, relay, sensor, word;
    int32_t beating; /* 1: a heart beat on the line every 500 ms */
    int32_t beat_ms;
    int32_t bridge; /* 0 well, 1 opening side on, 2 closing side on */
} sim_senses;

/* sense.c */
void sim_senses_begin(const sim_door *door, const door_settings *settings, uint64_t seed, sim_senses *senses);
void sim_read(const sim_door *door, const sim_plant *plant, sim_senses *senses, double time,
              door_inputs *inputs);
double sim_duty(const sim_senses *senses, const door_outputs *outputs);

/* What is still to happen. */
typedef struct {
    int32_t timed[SIM_EVENTS], timed_number, timed_next;
    int32_t placed[SIM_EVENTS], placed_number;
    double last; /* time of the last timed event */
    double last_command; /* time of the last that asks for a move; below zero: none yet */
    double gust_goal, gust_slope, voltage_goal, voltage_slope; /* slopes per second */
} sim_agenda;

/* events.c */
void sim_agenda_begin(const sim_door *door, const sim_scenario *scenario, sim_agenda *agenda);
void sim_happen(const sim_door *door, const sim_scenario *scenario, sim_agenda *agenda, double time,
                double q_before, sim_plant *plant, sim_senses *senses);

#define SIM_DIP_MS 100 /* a dip below a level of no more than this counts through */

/* What is written down on the way. */
typedef struct {
    int32_t opening_ms, closing_ms; /* driven without a break until now */
    int32_t opened_last, closed_last; /* last millisecond in which that side was on, -1000000: never */
    int32_t mode_before, mode_at_contact, button_before;
    int32_t contact_ms; /* since the first touch; -1: none */
    int32_t released_ms; /* since the force has gone again */
    int32_t under_150_ms, under_25_ms; /* the force has been below for so long after having been above */
    int32_t rest_ms;
    double moving_from; /* when that move was asked for; below zero: not under way */
    int32_t mode_left; /* before mode_before */
    double left_time; /* when that was left; below zero: never */
} sim_watch;

/* watch.c */
void sim_watch_begin(const sim_door *door, const sim_plant *plant, int32_t mode, sim_watch *watch,
                     sim_result *result);
void sim_watch_command(const door_settings *settings, const door_state *state, const door_inputs *inputs,
                       const door_outputs *outputs, int32_t now, sim_watch *watch, sim_result *result);
void sim_watch_reset(sim_watch *watch);
void sim_watch_mode(const door_outputs *outputs, const sim_agenda *agenda, double time, sim_watch *watch,
                    sim_result *result);
void sim_watch_plant(const sim_door *door, const sim_plant *plant, sim_watch *watch, sim_result *result);
void sim_watch_end(const sim_door *door, const sim_plant *plant, sim_result *result);
void sim_row_plant(const sim_plant *plant, sim_row *row);
void sim_row_control(const door_state *state, const door_inputs *inputs, const door_outputs *outputs,
                     sim_row *row);

#endif

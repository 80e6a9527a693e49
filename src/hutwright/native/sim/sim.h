/* The simulated door: rotor and leaf as two masses, supply, bridge, sensor, weather, obstacles, and the loop
 * that steps the real controller against them.
 *
 * SI units without suffix throughout (doubles); what the controller reads and says has the units of door.h.
 * The generalised place q is the leaf's angle [rad] of a hinged leaf, its way [m] of a straight one; 0 is
 * shut, above zero is open.  Loads on the leaf are moments [N m] or forces [N] along q; above zero they
 * open. No statics, no heap: every buffer is the caller's.
 *
 * Two bodies: the rotor with its gears, felt at the rod as one mass, and the leaf; between them the mount's
 * spring and damper.  Dry friction is an impulse that may stop a body and never turns it; that of the screw
 * grows with the rod's force: by 1/efficiency - 1 where the drive leads, by 1 - (2 - 1/efficiency) where the
 * load does, and by the whole force at most, with which the load turns nothing: so it is where the drive is
 * self-locking, or its efficiency 0.5 or less.  Contacts press and never pull, with their damping too.
 *
 * Bridge, averaged over its switching: the motor gets duty * (bus - offset) less the resistances' part; the
 * supply gives duty * current.  Enabled without duty it brakes the motor through its resistance alone; not
 * enabled, the current runs through the diodes into the bus until it is gone.  The source takes current
 * back.  A supply that is cut off leaves the reservoir to itself; without one the bus is at once dead.
 *
 * The bus below brown_out holds the controller in reset; above it again, the controller begins anew with its
 * counters.
 *
 * Noise comes from the seed by integers alone, so that it is the same everywhere; sine, cosine and
 * exponential are the C library's, so that the last bits of a run may differ from one library to the next.
 */
#ifndef HUTWRIGHT_SIM_H
#define HUTWRIGHT_SIM_H

#include <stdint.h>
#include "door.h"

#define SIM_PLACES 64           /* of the load tables, evenly spaced in the square root of q / full */
#define SIM_EVENTS 64           /* of a scenario */

/* How the rod's length follows q:  hinged: L = sqrt(k0 + k1 cos q + k2 sin q);  straight: L = sqrt(k0 + k1 q
 * + q^2); direct: L = k0 + k1 q.  s, the rod's travel, counts from the shut leaf; sign +1 where opening
 * makes the rod longer (way = +1) or -1 where it makes it shorter: s = way * (L(q) - L(0)). */
typedef enum { SIM_ROD_TURNING = 0, SIM_ROD_SLIDING = 1, SIM_DIRECT = 2 } sim_linkage;

typedef struct {
    int32_t linkage;              /* sim_linkage */
    int32_t self_locking;         /* 1: the load cannot turn the rotor */
    int32_t inside_switches;      /* 1: the drive cuts its own current at switch_shut and switch_open */
    int32_t board_switches;       /* 1: limits to the board */
    int32_t sense_supply_lead;    /* 1: the sensor sees duty times current */
    int32_t place_sensor;         /* 1: one is fitted */
    double k0, k1, k2, way;
    double full;                  /* q fully open [rad or m] */
    double edge_radius;           /* way of the closing edge per q [m/rad or -] */
    double inertia;               /* of leaf and counterweight [kg m2 or kg] */
    /* loads over q */
    double gravity[SIM_PLACES];   /* on the leaf towards open (below zero where it falls shut) */
    double wind[SIM_PLACES];      /* on the leaf towards open, for a gust factor of 1 */
    double wind_drag[SIM_PLACES]; /* friction that the wind makes in a track, for a factor of 1; >= 0 */
    double resist_open[SIM_PLACES];  /* dissipative resistance to opening: friction, snow; >= 0 */
    double resist_close[SIM_PLACES]; /* dissipative resistance to closing: friction, seal; >= 0 */
    double ice;                   /* load that breaks the frozen leaf free; 0: none; gone for good once
                                     broken */
    double ice_over;              /* way of q over which it is broken, from where it froze (0: with the
                                     first move) */
    /* drive, at the run's temperature, referred to the rod */
    double resistance;            /* winding and brushes [ohm] */
    double inductance;            /* [H] */
    double constant;              /* [V s/m] = [N/A], without losses */
    double efficiency;            /* driving, above 0..1; from it driving back: 2 - 1/efficiency, not below
                                     0 */
    double friction_current;      /* [A] */
    double rotor_mass;            /* rotor and gears as felt at the rod [kg] */
    double rod_low, rod_high;     /* the rod's own hard stops, as s [m]; +-1e9 where none; they give
                                     nothing back */
    double switch_shut, switch_open; /* inside switches, as s [m] */
    double limit_shut, limit_open;   /* board switches: made at q <= limit_shut, q >= limit_open */
    /* mount and stops */
    double mount_stiffness;       /* along the rod [N/m] */
    double mount_damping;         /* [N s/m] */
    double slip_force;            /* mount slides above this spring force [N]; 1e30: never */
    double stop_stiffness;        /* of the leaf's frame and open stop, along q [N m/rad or N/m] */
    double stop_damping;
    /* supply and bridge */
    double voltage;               /* open circuit [V] */
    double source_resistance;     /* supply and feed [ohm] */
    double reservoir;             /* capacitance at the bridge [F]; 0: none */
    double logic_current;         /* always drawn [A] */
    double bridge_offset;         /* constant part of the bridge's drop [V] */
    double series_resistance;     /* bridge's resistive part and motor lead [ohm] */
    double brown_out;             /* bus voltage below which the board resets [V] */
    double temperature;           /* [K] */
    /* sensor */
    double sensor_gain;           /* 1: true */
    double sensor_seen;           /* share of the motor's current that runs through the sensor; 1: all */
    double sensor_offset;         /* [A] */
    double sensor_drift;          /* [A/s] */
    double sensor_noise;          /* standard deviation [A]; never beyond six times it */
    double sensor_step;           /* of the converter [A]; 0: none */
    double sensor_range;          /* clips at +- this [A] */
    double supply_step;           /* of the converter [V] */
    double supply_noise;          /* [V] */
    /* soft edge: in series with what stands against closing at the edge, until it has bottomed */
    double edge_stiffness;        /* [N/m]; 0: hard */
    double edge_depth;            /* [m] */
} sim_door;

typedef enum {
    SIM_WORD = 0,        /* a: door_word on the line, in one millisecond */
    SIM_BUTTON = 1,      /* a: 1 pressed, 0 let go */
    SIM_RELAY = 2,
    SIM_SENSOR = 3,
    SIM_LINE = 4,        /* a: 1 heart beat every 500 ms, 0 silent; at first 1 where the line is fitted */
    SIM_PRESENT = 5,     /* a: door_eye; at first CLEAR where fitted, else NONE; so the other two */
    SIM_BEAM = 6,
    SIM_EDGE = 7,
    SIM_OBSTACLE = 8,    /* see below; a: edge way [m] from shut of its face, b: stiffness [N/m] (0 takes
                            it away), c: lever [m/rad or -] at its point (0: the closing edge's), d: 1
                            stands against opening, 0 against closing, e: damping [N s/m]; one each way at
                            a time */
    SIM_PUSH = 9,        /* a body that comes at the leaf from inside: a: q of its face at that moment, b:
                            rate of q, c: most load [N m or N] it gives (0 takes it away), d: stiffness
                            along q, e: drag [N m or N] while it touches; held up by the leaf it falls back
                            behind its rate */
    SIM_GUST = 10,       /* a: wind factor (at first 0), b: over how long it gets there [s] */
    SIM_SUPPLY = 11,     /* a: open-circuit voltage, b: over how long [s] */
    SIM_POWER = 12,      /* a: 0 cut, 1 back (the controller begins anew where its bus had fallen below
                            brown_out) */
    SIM_LIMIT_SHUT = 13, /* a: -1 as it is, 0 stuck open, 1 stuck made */
    SIM_LIMIT_OPEN = 14,
    SIM_SENSOR_FAULT = 15, /* a: 0 well, 1 stuck at its last reading, 2 disconnected: reads b [A], 3 offset
                              by b [A], 4 sees only a share b, 5 noise of b [A] more */
    SIM_BRIDGE_STUCK = 16, /* a: 0 well, 1 opening side on, 2 closing side on while enabled; against the
                              other side's duty */
    SIM_SLIP = 17,       /* a: the mount slides by this at once [m] along the rod */
    SIM_ICE = 18,        /* a: load to break free from here, from now on */
    SIM_DRAG = 19,       /* a: friction along q beyond the tables' [N m or N]; 0: none again */
    SIM_TEMPERATURE = 20 /* a: what the controller reads [K] */
} sim_kind;

/* When: at a time, or once, where the leaf passes a place that way after that time. */
typedef enum { SIM_AT_TIME = 0, SIM_PASSING_OPENING = 1, SIM_PASSING_CLOSING = 2 } sim_when;

typedef struct {
    int32_t kind;                 /* sim_kind */
    int32_t when;                 /* sim_when */
    double time;                  /* [s] */
    double place;                 /* q, where it waits for one */
    double a, b, c, d, e;
} sim_event;

typedef struct {
    int32_t events_used;
    int32_t start_open;           /* 1: the leaf starts open, else shut */
    int32_t place_known;          /* 1: the controller starts knowing its place (as after earlier moves) */
    int32_t start_at_q;           /* 1: starts at `start_q`, moving as set below (a contact looked at by
                                     itself) */
    double start_q, start_rate;   /* with the controller in the matching move where start_rate is not 0: it
                                     knows its place, is zeroed, at the duty of that place (normal, or that
                                     of the slow stretch), beyond ramp, start profile and blind time; the
                                     motor has the current that this duty gives at that speed */
    double duration;              /* [s] */
    double settle;                /* ends early once at rest and undriven for so long after the last event
                                     that has a time [s]; 0: never */
    double stop_on_release;       /* 1: ends once the obstacle's force has been gone again for 0.2 s [-] */
    uint64_t seed;
    sim_event events[SIM_EVENTS];
} sim_scenario;

/* One row a millisecond: the plant as the controller finds it, and what the controller has said to it. */
typedef struct {
    float time, q, rate, rod, rod_speed, current, bus;
    float force;                  /* on the obstacle, in the plant's last step [N] */
    float force_seen;             /* as an instrument shows it that rises from 10 to 90 % of a step in 5
                                     ms, first order: lag 5 ms / ln 9 [N] */
    float rod_force;              /* above zero: drives the leaf towards open [N]; times way it is thrust
                                     in the rod */
    float reading_mA, filtered_mA, expected_mA, residual_mA;
    float place_share;            /* what the controller believes [-]; -1: it does not know */
    float duty_permille;          /* at the bridge; above zero opening, below closing */
    uint8_t enable, mode, why, fault;
} sim_row;

/* Promises that the commands must keep whatever happens: bits of sim_result.broken.  What is not fitted sets
 * no veto; stop is the word STOP, or the button pressed (debounced) in a move. */
#define SIM_BROKE_BOTH_SIDES 1
#define SIM_BROKE_VETO 2          /* closing duty while the veto is set (present or beam sees or failed, in
                                     the input) */
#define SIM_BROKE_RUN_CAP 4       /* driven one way beyond its cap */
#define SIM_BROKE_STOP 8          /* duty in the tick of a stop command */
#define SIM_BROKE_DEAD_TIME 16    /* a side comes on less than dead_ms after the other went off */
#define SIM_BROKE_FAULT 32        /* duty or enable in FAULT */

/* Moments are on the run's clock; the force is the obstacle's. */
typedef struct {
    double peak_force;            /* raw [N] */
    double peak_seen;             /* as the instrument shows it [N] */
    double above_150, above_25;   /* how long the seen force was above 150 N and 25 N in all, dips
                                     of up to 0.1 s counted through [s] */
    double at_5s;                 /* seen force 5 s after first contact [N]; 0 where none */
    double contact_time;          /* first touch [s]; below zero: none */
    double contact_speed;         /* of the edge at first touch [m/s] */
    double trip_time;             /* controller left the move that it was in at first touch [s]; below
                                     zero: never */
    double back_time;             /* after that, the edge first moved away from what it had touched [s];
                                     below zero: never */
    double static_force;          /* seen force at the end [N] */
    double open_time, close_time; /* how long the first move took from the command (the event; where none,
                                     the move's begin) to OPEN / SHUT [s]; below zero: never */
    double end_q, end_rate, end_time;
    double peak_current, least_bus, greatest_residual_mA;
    double work_supply;           /* taken from the source [J] */
    double heat;                  /* all losses: copper, source, bridge, logic, friction, damping, slipping
                                     [J] */
    double stored_start, stored_end; /* kinetic, mount, stops, gravity, obstacle, inductance, reservoir [J] */
    double work_other;            /* done on the door by wind and pushes, and by whoever sets or takes an
                                     obstacle, or makes the mount slip [J]; start + supply + other = end +
                                     heat */
    double longest_opening, longest_closing; /* longest continuous drive one way [s] */
    uint32_t broken;              /* SIM_BROKE_... */
    int32_t end_mode, end_why, end_fault;
    int32_t ended_early;          /* 1: settled or released; 2: cancelled, not run; 3: state went beyond
                                     any sense (not finite), or the door cannot be (a mass, stiffness,
                                     resistance of 0) */
    int32_t rows;                 /* written */
    uint16_t counters[DOOR_COUNTERS];
} sim_result;

/* Steps per millisecond of the plant where something is in reach; half as many elsewhere, more for stiff
 * springs. */
#define SIM_STEPS 4

/* The rod's travel and its change with q. */
void sim_rod(const sim_door *door, double q, double *travel, double *arm);

/* One run.  rows may be null; at most most_rows are written, one every `every` milliseconds. */
void sim_run(const sim_door *door, const door_settings *settings, const sim_scenario *scenario,
             sim_result *result, sim_row *rows, int32_t most_rows, int32_t every);

/* Many runs: door d[i * door_stride], settings s[i * settings_stride], scenario c[i * scenario_stride]
 * (stride 0: the same for all).  Looks at *cancel (may be null) before each; counts finished runs in *done
 * (may be null). */
void sim_batch(const sim_door *doors, int32_t door_stride, const door_settings *settings,
               int32_t settings_stride, const sim_scenario *scenarios, int32_t scenario_stride,
               int32_t number, sim_result *results, const volatile int32_t *cancel, volatile int32_t *done);

/* The same open door without controller: constant duty each way, for tests of the plant alone.
 * duty: -1..1, enable 0: coasting. */
void sim_free(const sim_door *door, const sim_scenario *scenario, double duty, int32_t enable,
              sim_result *result, sim_row *rows, int32_t most_rows, int32_t every);

#endif

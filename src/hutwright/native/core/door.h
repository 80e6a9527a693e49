/* The door's logic: one controller for the rehearsal, the proofs and the board.
 *
 * This header is the manual.  Nothing here allocates, keeps a clock, reads a port or holds a global: the
 * caller owns settings, state, inputs and outputs, calls door_begin() at power-up and then door_tick() once
 * every millisecond.  The same files are compiled for the simulation and for an 8-bit board.
 *
 * Units stand in the names: _mA, _mV, _ms, _s, _dC (tenths of a degree Celsius), _permille (of full duty or
 * of the rod's travel).  "Travel" is the rod's way from shut (0) to open; `place_q30` is the share of it that
 * has been covered, 0 at shut and DOOR_PLACE_OPEN at open.
 *
 * WHAT THE CONTROLLER DOES
 *
 * States.  SHUT, OPENING, OPEN, CLOSING, REVERSING, STOPPED, FAULT, LAID_UP.  A move is on in OPENING,
 * CLOSING and REVERSING; the drive is on in a move only, and only after the dead time.
 *
 * Precedence in every tick, the first that applies decides: a stop command; a fault; the supply; the veto of
 * a machine or person in the doorway; an obstruction; an end; a new command.  (In FAULT and LAID_UP nothing
 * is driven, so there a stop has nothing to do.)
 *
 * Stop.  The line's STOP (heard even where the line is not fitted), or the button pressed in a move, takes
 * the drive and the enable output off in the very same tick: STOPPED.  For the button that is the tick in
 * which its debounce is over.  A stop wins over whatever else comes in that tick.  At rest a stop changes
 * nothing.
 *
 * Starts.  Both sides stay off for dead_ms before every start and before every reversal.  A start from rest
 * also waits for the sensor's zero; after 5 s in vain: FAULT, SENSOR_RANGE.  The duty begins with
 * start_permille and rises evenly, so that it would reach normal_permille after ramp_ms; it is cut to
 * last_permille where the move is slow.  Slow are: the last stretch before an end, every move while the place
 * is not known, all moves until an end has been reached after power-up, clearing or waking, and backing off.
 * The run-time caps must leave time for a whole move that is slow.
 *
 * Enable.  On from the first tick of a move to its last, dead time included: with both sides off and enable
 * on the bridge brakes.  Off whenever no move is on.
 *
 * Supply.  No move starts from rest where the supply is below start_above_mV: the command is refused.  A move
 * ends where the supply has been below stop_below_mV for stop_below_ms together: STOPPED.
 *
 * Veto.  While the present sensor or the beam sees something, or reports that it has failed, or has seen
 * something within present_hold_ms, no closing begins, and a closing that is on is reversed: the leaf opens
 * fully and stays (REVERSING, then OPEN).  An edge that reports failure is a veto too, without hold; a
 * pressed edge lets no closing begin.  Whatever is fitted and says neither CLEAR nor SEES has failed; what is
 * not fitted is not looked at.
 * The veto also ends a backing off or closing back after an obstruction: STOPPED.
 * Commands that nobody stands by - line, relay contact, the closing after auto_close_s, a lost link - close
 * only where a present sensor or a beam is fitted (and gives no veto).  A button counts as a person who
 * watches.
 *
 * Obstruction while closing (a detector, the backstop, or a pressed edge): the drive stops, waits the dead
 * time, opens fully and stays open (REVERSING, then OPEN).
 * Obstruction while opening (a detector or the backstop; the edge leads when closing only): the drive stops
 * and relaxes by relax_permille the other way - not where a veto or a pressed edge forbids closing: then it
 * holds at once.  Then it closes back by back_permille where back_permille is not 0, the present sensor is
 * fitted and clear and nothing else vetoes - it may be the machine that pushes -, else it holds there
 * (STOPPED, BACKED_OFF).
 * Obstruction while opening fully after another: relaxes and holds, but holds at once where it has not yet
 * moved by relax_permille.  Obstruction while backing off or closing back: holds at once.
 * After most_reversals obstructions without a completed OPENING or CLOSING between them the last one is
 * answered like any other, and as soon as the leaf rests: FAULT, TOO_MANY_REVERSALS.
 *
 * Detectors.  The expected current is the profile at the place, plus the start profile, plus per_kelvin_uA
 * and per_volt_mA times the distance from the reference.  Residual: the filtered current has been above it by
 * trip_mA (more outside the trained range: the widen_ settings) or more for after_ms together.  Rise: the
 * residual has been above its own slow mean of about 120 ms ago by rise_mA or more for after_ms together.
 * The slow mean begins when blind_ms are over, so that the rise is heard from blind_ms + 128 ms on.  Both are
 * deaf for blind_ms after the drive has come on.  Backstop: the unfiltered current (the median of three
 * readings) has been at backstop_mA or more for backstop_ms together, from the first moment on.
 * While the place is not known the expected current is the greatest bin of that direction's profile, and the
 * rise is off: a first move neither trips needlessly nor is unwatched.
 *
 * Sensor.  Either sign: the core takes the magnitude of the reading less its offset.  The offset is the mean
 * over zero_ms of rest (which begins dead_ms after the drive went off and while no current flows), taken
 * again and again.  An offset beyond zero_most_mA, or a median of three readings beyond range_mA: FAULT,
 * SENSOR_RANGE.  Current of more than none_mA for none_ms at rest: FAULT, CURRENT_WITHOUT_DUTY (not in the
 * dead time of a reversal, where the motor brakes).  The very same reading for stuck_ms with duty: FAULT,
 * SENSOR_STUCK.  No current (below none_mA for none_ms) in spite of duty: FAULT, NO_CURRENT, but for
 * DOOR_ENDS_INSIDE see below.  A sensor in the supply lead sees duty times current; its reading is divided by
 * the duty (of at least 50 permille).
 *
 * Ends. ends says how the controller knows that the leaf has arrived.
 * DOOR_ENDS_SWITCHES (two switches to the board): the move ends in the tick in which its switch is made.
 * Both made at once, moving or not: FAULT, BOTH_LIMITS.  The switch of the end that it leaves still made, for
 * 100 ms together, where the place says that the leaf is beyond slip_permille of both ends, or at the other
 * one: FAULT, LIMIT_STUCK.  A switch that is reached where the place says so: the mount has slipped; it is
 * counted and the place set right; twice in a row: FAULT, SLIPPED.
 * DOOR_ENDS_INSIDE (the drive cuts its own current): no current in spite of duty, within end_permille of that
 * end, is an arrival, elsewhere a fault.  While the place is not known it is an arrival that is not relied
 * on: the place is taken from it, but may_leave stays 0 until the leaf has arrived at the other end.  A drive
 * without current fails in the next move the other way.
 * DOOR_ENDS_STALL (no switch at all): a detector or the backstop within end_permille of that end is an
 * arrival, a pressed edge is not.  While the place is not known an obstruction while opening is answered as
 * one (relaxes and holds: STOPPED), and the place is taken from it, not relied on as above.
 * Switches to the board are looked at with DOOR_ENDS_SWITCHES only.
 *
 * Place.  Integrated from the back-EMF (supply times duty, less drop and resistance times current; while
 * braking with a sensor at the motor: drop and resistance times current), never beyond either end, anchored
 * at the ends.  A place sensor, where fitted, is taken instead.  The place is not known after power-up, a
 * fault, clearing, waking.
 *
 * Power.  After power-up the state is STOPPED, nothing moves until commanded, the last state is not trusted,
 * and the first move is slow.  A contact that is already made at power-up is no command.
 *
 * Run time.  A drive that has been on one way for its cap is ended: FAULT, RUN_TOO_LONG.
 *
 * Faults keep the drive and the enable output off until a person clears them: the button held for clear_ms
 * after the fault (the sensor is then zeroed afresh), or the line's CLEAR where both limits, the sensor's
 * range and the current at rest are well, else it is refused.  Then STOPPED, as after power-up.
 *
 * Commands.  Line: the words.  Relay: contact made opens, let go closes.  Sensor in front of the machine:
 * opens when it begins to ask.  Button: opens from SHUT, closes from OPEN; from STOPPED it goes the other way
 * than the last commanded move, and opens where there was none or where closing is forbidden now.  Contacts
 * are debounced: a level counts after debounce_ms together.  Several in one tick: open goes before close.  A
 * command against the move that is on turns it round (dead time, no new zero).  What is already done, or
 * being done, is left alone.  What cannot be done - by veto, by supply, unwatched, in REVERSING (but opening
 * while it opens fully), in FAULT - is refused: counted, why = REFUSED.
 * Auto close: auto_close_s after arriving in OPEN, not while the sensor asks or the relay contact is made,
 * not where the leaf stays after a reversal until a new OPEN; where a veto forbids it, it waits.
 *
 * Link.  Watched once something whole has come on the line.  After link_lost_ms of silence it is lost, once,
 * until the next whole word: STAY does nothing; STOP ends a move; CLOSE closes from OPEN as auto close does,
 * once, and not after another command in the meantime.
 *
 * LAID_UP: for the winter, from rest, by the line.  Nothing moves, nothing is judged, and no command but WAKE
 * is heard; then STOPPED, as after power-up.
 *
 * Summary.  A drive's run one way, from coming on to going off, is summed up when it ends; the peak residual
 * counts from blind_ms on.
 *
 * Settings are refused at start with a reason where anything is out of its range; with refused settings
 * nothing ever moves: FAULT, BAD_SETTINGS, which nothing clears.
 *
 * Accuracy.  Expected current, filtered current and residual are within 3 mA and 0.01 % of the same sums in
 * real numbers; with a sensor in the supply lead another 0.025 % of the current.  Currents are cut at 60 A, a
 * change of the expected current with the supply at 65 A, with the temperature at 6.7 A.  The place is
 * compared in whole permille of the travel.
 *
 * Cost on an 8-bit board at 16 MHz (avr-gcc 5.4, flags of avr_build.py, measured on a simulated board): about
 * 10 kB of flash; 278 B of settings, 215 B of state; with what the board itself does, a tick takes at most
 * 2400 cycles (15 % of the millisecond) where door_prepare() is called between two of them.
 *
 * DEVIATIONS FROM COMMON SAFE-C PRACTICE (numbered; each says why)
 *  D1  One function with several returns per file is allowed where each return is one line of a precedence.
 *  D2  Plain enums are kept in uint8_t fields, so that the layout is the same on every compiler.
 *  D3  The checksum reads the settings as bytes; the layout of door_settings is held by _Static_assert, and
 *      the order of bytes is that of the board and the host (low byte first).  Records are blanked as bytes,
 *      and the settings' 16-bit fields are read as bytes in their order where their bounds are looked at.
 *  D4  For an 8-bit board the decider's pointer to its state passes through empty assembler: near.h.
 */
#ifndef HUTWRIGHT_DOOR_H
#define HUTWRIGHT_DOOR_H

#include <stdint.h>

#define DOOR_SETTINGS_VERSION 1
#define DOOR_BINS 32            /* of the profile over the travel, each way */
#define DOOR_START_BINS 8       /* of the extra current after a start */
#define DOOR_LAG 8              /* kept slow means, one every 16 ms */
#define DOOR_PLACE_OPEN 1073741824 /* 2^30: the whole travel */
#define DOOR_NO_PLACE 65535     /* place_permille where no place sensor is fitted */

typedef enum {
    DOOR_SHUT = 0, DOOR_OPENING = 1, DOOR_OPEN = 2, DOOR_CLOSING = 3,
    DOOR_REVERSING = 4, DOOR_STOPPED = 5, DOOR_FAULT = 6, DOOR_LAID_UP = 7
} door_mode;

/* Which way the leaf is driven. */
typedef enum { DOOR_STILL = 0, DOOR_OPENS = 1, DOOR_CLOSES = 2 } door_way;

/* What a present sensor, a beam or a pressure edge says. */
typedef enum { DOOR_EYE_NONE = 0, DOOR_EYE_CLEAR = 1, DOOR_EYE_SEES = 2, DOOR_EYE_FAILED = 3 } door_eye;

typedef enum { DOOR_ENDS_SWITCHES = 0, DOOR_ENDS_INSIDE = 1, DOOR_ENDS_STALL = 2 } door_ends;

typedef enum { DOOR_SENSE_MOTOR = 0, DOOR_SENSE_SUPPLY = 1 } door_sense;

typedef enum {
    DOOR_SAY_NOTHING = 0, DOOR_SAY_OPEN = 1, DOOR_SAY_CLOSE = 2, DOOR_SAY_STOP = 3,
    DOOR_SAY_CLEAR = 4, DOOR_SAY_LAY_UP = 5, DOOR_SAY_WAKE = 6
} door_word;

typedef enum { DOOR_LINK_STAY = 0, DOOR_LINK_STOP = 1, DOOR_LINK_CLOSE = 2 } door_link_lost;

/* door_decide_state.link_was_lost: nothing heard yet, well, lost with its closing due, lost and done with. */
typedef enum { DOOR_LINK_UNHEARD = 0, DOOR_LINK_WELL = 1, DOOR_LINK_DUE = 2, DOOR_LINK_DONE = 3 } door_link;

/* What decide.c tells detect.c of the place: nothing, it is shut, it is open, it is lost, it is lost and the
 * sensor shall be zeroed as if for the first time. */
typedef enum {
    DOOR_ANCHOR_NONE = 0, DOOR_ANCHOR_SHUT = 1, DOOR_ANCHOR_OPEN = 2, DOOR_ANCHOR_LOST = 3,
    DOOR_ANCHOR_ANEW = 4
} door_anchor;

/* Why the controller did what it did last. */
typedef enum {
    DOOR_WHY_NOTHING = 0, DOOR_WHY_POWER_UP = 1, DOOR_WHY_BUTTON = 2, DOOR_WHY_RELAY = 3, DOOR_WHY_LINE = 4,
    DOOR_WHY_SENSOR = 5, DOOR_WHY_AUTO_CLOSE = 6, DOOR_WHY_LINK_LOST = 7, DOOR_WHY_STOP = 8,
    DOOR_WHY_SUPPLY = 9, DOOR_WHY_VETO = 10, DOOR_WHY_RESIDUAL = 11, DOOR_WHY_RISE = 12,
    DOOR_WHY_BACKSTOP = 13, DOOR_WHY_EDGE = 14, DOOR_WHY_LIMIT = 15, DOOR_WHY_FAULT = 16,
    DOOR_WHY_REFUSED = 17, DOOR_WHY_BACKED_OFF = 18
} door_why;

typedef enum {
    DOOR_WELL = 0, DOOR_BAD_SETTINGS = 1, DOOR_BOTH_LIMITS = 2, DOOR_LIMIT_STUCK = 3, DOOR_SENSOR_RANGE = 4,
    DOOR_SENSOR_STUCK = 5, DOOR_NO_CURRENT = 6, DOOR_CURRENT_WITHOUT_DUTY = 7, DOOR_RUN_TOO_LONG = 8,
    DOOR_TOO_MANY_REVERSALS = 9, DOOR_SLIPPED = 10
} door_fault;

/* Counted for ever; each stays at its greatest value. */
typedef enum {
    DOOR_N_POWER_UPS = 0, DOOR_N_STARTS = 1, DOOR_N_COMPLETED = 2, DOOR_N_RESIDUAL = 3, DOOR_N_RISE = 4,
    DOOR_N_BACKSTOP = 5, DOOR_N_EDGE = 6, DOOR_N_VETO = 7, DOOR_N_SUPPLY = 8, DOOR_N_STOPS = 9,
    DOOR_N_REFUSED = 10, DOOR_N_LINK_LOST = 11, DOOR_N_SLIPS = 12, DOOR_N_FAULTS = 13,
    DOOR_N_OUTSIDE_TRAINED = 14, DOOR_COUNTERS = 15
} door_counter;

/* Why settings are refused: the number of the first field that is out of its range, else what is wrong. */
typedef enum {
    DOOR_SETTINGS_GOOD = 0, DOOR_REFUSE_VERSION = 1, DOOR_REFUSE_CHECKSUM = 2, DOOR_REFUSE_SENSE = 3,
    DOOR_REFUSE_ENDS = 4, DOOR_REFUSE_DUTY = 5, DOOR_REFUSE_RAMP = 6, DOOR_REFUSE_DEAD_TIME = 7,
    DOOR_REFUSE_LAST = 8, DOOR_REFUSE_RUN_CAP = 9, DOOR_REFUSE_BACKSTOP = 10, DOOR_REFUSE_DETECTOR = 11,
    DOOR_REFUSE_PROFILE = 12, DOOR_REFUSE_REGRESSION = 13, DOOR_REFUSE_SUPPLY = 14, DOOR_REFUSE_PLACE = 15,
    DOOR_REFUSE_ZERO = 16, DOOR_REFUSE_REVERSAL = 17, DOOR_REFUSE_COMMAND = 18, DOOR_REFUSE_WINDOW = 19
} door_refusal;

/* Ways to command that are fitted: bits of `commands`. */
#define DOOR_BY_BUTTON 1
#define DOOR_BY_RELAY 2
#define DOOR_BY_LINE 4
#define DOOR_BY_SENSOR 8
/* Eyes that are fitted: bits of `eyes`. */
#define DOOR_HAS_PRESENT 1
#define DOOR_HAS_BEAM 2
#define DOOR_HAS_EDGE 4

/* One detector for one direction. */
typedef struct {
    uint16_t profile_mA[DOOR_BINS];   /* expected current, bin after bin from shut to open; straight lines
                                         between the bins' middles; 0..40000 */
    uint16_t start_mA[DOOR_START_BINS]; /* more after a start, a value each start_step_ms; 0..40000 */
    int16_t per_kelvin_uA;            /* change of the expected current with temperature; -30000..30000 */
    int16_t per_volt_mA;              /* change with the supply; -5000..5000 */
    uint16_t trip_mA;                 /* residual that means an obstruction; 20..40000 */
    uint16_t rise_mA;                 /* residual over its own slow mean that does; 20..40000, 65535: off */
} door_detector;

/* All that is set; kept with its checksum.  Fill it, then call door_seal(). */
typedef struct {
    uint16_t version;                 /* DOOR_SETTINGS_VERSION */
    uint8_t sense;                    /* door_sense: which lead the current sensor sees */
    uint8_t ends;                     /* door_ends */
    uint8_t commands;                 /* bits DOOR_BY_...; at least one */
    uint8_t eyes;                     /* bits DOOR_HAS_...; may be 0 */
    uint8_t link_lost;                /* door_link_lost: what a lost remote link does */
    uint8_t most_reversals;           /* in a row before a fault; 1..9 */
    /* duty */
    uint16_t normal_permille;         /* 100..1000 */
    uint16_t last_permille;           /* 50..normal */
    uint16_t start_permille;          /* at the first moment of a start; 0..last */
    uint16_t ramp_ms;                 /* from there to full `normal`; 1..2000 */
    uint16_t dead_ms;                 /* with both sides off before each start and reversal; 5..2000 */
    uint16_t last_shut_permille;      /* of the travel before shut that is slow; 0..1000 */
    uint16_t last_open_permille;      /* of the travel before open that is slow; 0..1000 */
    /* caps */
    uint16_t opening_cap_ms;          /* 500..60000 */
    uint16_t closing_cap_ms;          /* 500..60000 */
    uint16_t backstop_mA;             /* current that always means an obstruction; 100..40000 */
    uint16_t backstop_ms;             /* how long it must last, unfiltered; 1..500 */
    /* detectors */
    uint16_t filter_q16;              /* share of a new reading in the filtered one, in 1/65536; 64..65535 */
    uint16_t slow_q16;                /* the same of the slow mean; 16..65535 */
    uint16_t after_ms;                /* how long a detector must see it; 1..1000 */
    uint16_t blind_ms;                /* after a start, for the detectors; 0..3000 */
    uint16_t start_step_ms;           /* 1..500 */
    int16_t reference_dC;             /* of the profile; -600..900 */
    uint16_t reference_mV;            /* of the profile; 3000..60000 */
    int16_t trained_low_dC;           /* trained range; -600..trained_high_dC */
    int16_t trained_high_dC;          /* ..900 */
    uint16_t trained_low_mV;          /* 0..trained_high_mV */
    uint16_t trained_high_mV;         /* ..60000 */
    uint16_t widen_per_kelvin_mA;     /* more trip per kelvin outside the trained range; 0..1000 */
    uint16_t widen_per_volt_mA;       /* more trip per volt outside; 0..5000 */
    uint16_t widen_most_mA;           /* but not more than this; 0..20000 */
    /* supply */
    uint16_t start_above_mV;          /* 3000..60000, above stop_below_mV */
    uint16_t stop_below_mV;           /* 2000..60000 */
    uint16_t stop_below_ms;           /* 1..5000 */
    /* place */
    uint16_t place_gain_q8;           /* travel (of 2^30) per millivolt and millisecond, in 1/256; 1..65535 */
    uint16_t resistance_mohm;         /* of winding, lead and bridge together; 0..60000 */
    uint16_t drop_mV;                 /* of the bridge, constant part; 0..5000 */
    uint16_t end_permille;            /* window round either end; 1..300 */
    uint16_t slip_permille;           /* how far the place may be out at a switch; 10..1000 */
    /* sensor */
    uint16_t zero_ms;                 /* of rest over which the sensor is zeroed; 8..2000 */
    uint16_t zero_most_mA;            /* greatest offset that is believed; 1..10000 */
    uint16_t range_mA;                /* a reading beyond this either way is no current; 1000..32000 */
    uint16_t stuck_ms;                /* the very same reading so long is a fault; 0: off, else 20..20000 */
    uint16_t none_mA;                 /* below this there is no current; 1..5000 */
    uint16_t none_ms;                 /* how long that must last; 5..2000 */
    /* reversal */
    uint16_t relax_permille;          /* backing off after an obstruction while opening; 1..200 */
    uint16_t back_permille;           /* closing back after that; 0..1000 */
    /* eyes, commands */
    uint16_t present_hold_ms;         /* 0..10000 */
    uint16_t auto_close_s;            /* after reaching open; 0: never, else 1..65535 */
    uint16_t link_lost_ms;            /* without a word on the line; 0: not watched, else 200..60000 */
    uint16_t debounce_ms;             /* of button, relay and sensor contact; 1..200 */
    uint16_t clear_ms;                /* the button held to clear a fault; 500..10000 */
    door_detector opening;
    door_detector closing;
    uint16_t checksum;                /* over all bytes before it: door_seal() */
} door_settings;

/* What the board has read in this millisecond. */
typedef struct {
    int16_t current_mA;               /* as the sensor shows it, offset and all; either sign */
    uint16_t supply_mV;
    int16_t temperature_dC;
    uint16_t place_permille;          /* of a place sensor, else DOOR_NO_PLACE */
    uint8_t limit_shut;               /* 1: made */
    uint8_t limit_open;
    uint8_t present;                  /* door_eye */
    uint8_t beam;                     /* door_eye */
    uint8_t edge;                     /* door_eye: SEES is pressed */
    uint8_t button;                   /* 1: pressed */
    uint8_t relay;                    /* 1: contact made */
    uint8_t sensor;                   /* 1: the sensor in front of the machine asks for open */
    uint8_t word;                     /* door_word that came on the line in this millisecond */
    uint8_t line_alive;               /* 1: something whole came on the line in this millisecond */
} door_inputs;

typedef struct {
    uint16_t open_permille;           /* duty of the opening side; never both above 0 */
    uint16_t close_permille;
    uint8_t enable;                   /* 0: the bridge is off whatever the duty: the second switch-off */
    uint8_t mode;                     /* door_mode */
    uint8_t why;                      /* door_why of the last change */
    uint8_t fault;                    /* door_fault */
    uint8_t may_leave;                /* 1: fully open and at rest: the machine may go */
    uint8_t summary_ready;            /* 1 in the tick in which a move has ended: see door_state.summary */
} door_outputs;

/* What is kept of every move, for the ring that is fetched after the winter. */
typedef struct {
    uint16_t number;                  /* of the move, counted round */
    uint16_t duration_ms;             /* 65535: at least so long */
    int16_t peak_residual_mA;
    uint16_t least_supply_mV;
    int16_t temperature_dC;
    uint8_t opening;                  /* 1: it was an opening move */
    uint8_t why;                      /* door_why it ended */
} door_summary;

/* What detect.c has found in this millisecond; all that decide.c learns of the current. */
typedef struct {
    uint8_t residual;                 /* 1: the residual has been over its trip for after_ms */
    uint8_t rise;                     /* 1: so has the residual over its slow mean */
    uint8_t backstop;                 /* 1: the current has been over the backstop for backstop_ms */
    uint8_t no_current;               /* 1: duty without current for none_ms */
    uint8_t without_duty;             /* 1: current without duty for none_ms */
    uint8_t out_of_range;             /* 1: no such current can be, or the offset cannot be believed */
    uint8_t stuck;                    /* 1: the very same reading for stuck_ms */
    uint8_t outside_trained;          /* 1: temperature or supply outside the trained range */
    uint8_t at_shut;                  /* 1: place known and within end_permille of shut */
    uint8_t at_open;                  /* 1: place known and within end_permille of open */
    uint8_t slow_shut;                /* 1: within the slow last stretch before shut, or place not known */
    uint8_t slow_open;                /* 1: within the slow last stretch before open, or place not known */
    uint8_t zeroed;                   /* 1: the sensor has been zeroed since the last drive, shows nothing */
    uint8_t moved_relax;              /* 1: at least relax_permille have been covered since the mark */
    uint8_t moved_back;               /* 1: at least back_permille have been covered since the mark */
    uint8_t off_place;                /* 1: place known and further than slip_permille from both ends */
    uint8_t place_known;              /* 1: so it is */
} door_seen;

/* The detector's memory. */
typedef struct {
    uint32_t place_q30;               /* 0..DOOR_PLACE_OPEN */
    uint32_t mark_q30;                /* where decide.c set its mark: a reversal or closing back began */
    uint32_t covered_q30;             /* way covered since the mark, either way; up to DOOR_PLACE_OPEN */
    uint32_t filtered_q16;            /* filtered current, mA in 1/65536 */
    uint32_t slow_q16;                /* slow mean of residual + 32768, in 1/65536 */
    uint16_t lagged[DOOR_LAG];        /* earlier slow means, residual + 32768 */
    int32_t zero_sum_mA;
    int32_t by_weather_mA;            /* change of the expected current with temperature and supply */
    uint32_t given_uV;                /* supply times duty */
    int16_t offset_mA;
    int16_t last_mA[2];               /* the two readings before this one */
    int16_t residual_mA;              /* of this millisecond, for telemetry */
    uint16_t expected_mA;
    uint16_t current_mA;              /* filtered, of the motor */
    uint16_t zero_count;
    uint16_t residual_ms;
    uint16_t rise_ms;
    uint16_t backstop_ms;
    uint16_t none_ms;
    uint16_t without_ms;
    uint16_t same_ms;
    uint16_t run_ms;                  /* since duty came on this way */
    uint16_t inverse_q11;             /* 2048000 / duty, with a sensor in the supply lead */
    uint16_t rest_ms;                 /* at rest without current */
    uint16_t start_ms;                /* within the step of the start profile */
    uint16_t at_shut_q16;             /* up to here the leaf is at its end; all these are set at the start */
    uint16_t slow_shut_q16;           /* up to here it goes slowly */
    uint16_t slip_shut_q16;           /* up to here a switch of that end may be made */
    uint16_t at_open_q16;             /* from here on, the same at the other end */
    uint16_t slow_open_q16;
    uint16_t slip_open_q16;
    uint16_t relax_q16;               /* from so much way covered on it has backed off, */
    uint16_t back_q16;                /* closed back */
    uint16_t wider_mA;                /* more trip, outside the trained range */
    int16_t for_dC;                   /* what these and inverse_q11 were reckoned for */
    uint16_t for_mV;
    uint16_t for_permille;
    uint8_t greatest_opening;         /* greatest bin of either way's profile */
    uint8_t greatest_closing;
    uint8_t for_way;                  /* door_way, of that too; 0: not yet reckoned */
    uint8_t outside;                  /* 1: temperature or supply outside the trained range */
    uint8_t lag_at;
    uint8_t lag_ms;
    uint8_t ahead;                    /* 1: the next tick's share of these sums is done */
    uint8_t slow_due;                 /* what the residual is still to do to its slow mean: see detect.c */
    uint8_t lag_full;                 /* 1: every kept mean is of this move */
    uint8_t place_known;
    uint8_t zeroed;
    uint8_t way;                      /* door_way that is driven */
    uint8_t turning;                  /* door_way that was driven last */
    uint8_t start_at;                 /* step of the start profile; DOOR_START_BINS: over */
    uint8_t offset_known;             /* 1: the sensor has been zeroed at least once */
    uint8_t offset_bad;               /* 1: the last block's mean cannot be believed */
} door_detect_state;

/* The decider's memory. */
typedef struct {
    uint16_t refusal;                 /* door_refusal of the settings; anything but GOOD: nothing moves */
    uint16_t dead_ms;                 /* still to wait with both sides off */
    uint16_t run_ms;                  /* ticks that the drive has been on this way; 0: not on */
    uint16_t wait_ms;                 /* after the dead time, for the sensor's zero */
    uint16_t duty_permille;           /* commanded now, either side */
    uint16_t ramp_step;               /* whole permille that the duty rises each tick; set by door_begin() */
    uint16_t ramp_rest;               /* and the rest of it, in 1/ramp_ms permille; below ramp_ms */
    uint16_t ramp_sum;                /* of those rests; below ramp_ms */
    uint16_t low_supply_ms;
    uint16_t present_ms;              /* still to hold the veto */
    uint16_t held_ms;                 /* the button is down */
    uint16_t link_ms;                 /* since the last whole word on the line */
    uint16_t open_ms;                 /* within the second of open_s */
    uint16_t open_s;                  /* at rest in OPEN */
    uint16_t limit_ms;                /* a limit that should have gone is still made */
    uint8_t button_ms;                /* so long another level than the one that counts; below debounce_ms */
    uint8_t relay_ms;
    uint8_t sensor_ms;
    uint8_t mode;
    uint8_t why;
    uint8_t fault;
    uint8_t way;                      /* door_way that is driven, or will be after dead_ms */
    uint8_t last_way;                 /* door_way of the last commanded move */
    uint8_t phase;                    /* of REVERSING: 1 opening fully, 2 relaxing, 3 closing back,
                                         4 relaxing, then holding; else 0 */
    uint8_t reversals;                /* obstructions in a row */
    uint8_t slips;                    /* in a row */
    uint8_t button;                   /* debounced: 0, 1; 2: not read long enough since power-up */
    uint8_t relay;
    uint8_t sensor;
    uint8_t link_was_lost;            /* door_link */
    uint8_t first_move;               /* 1: nothing has arrived at an end since power-up, clearing, waking */
    uint8_t enable;
    uint8_t anchor;                   /* door_anchor, for detect.c in the next tick */
    uint8_t mark;                     /* 1: detect.c shall mark the place in the next tick */
    uint8_t needs_zero;               /* 1: a start from rest, not yet driven */
    uint8_t unsure;                   /* door_way of the end whose arrival is not relied on; 0: none */
    uint8_t stay;                     /* 1: OPEN after a reversal: no closing by itself */
} door_decide_state;

typedef struct {
    door_detect_state detect;
    door_decide_state decide;
    door_summary summary;
    uint16_t counters[DOOR_COUNTERS];
} door_state;

/* CRC-16 of so many bytes: polynomial x^16 + x^12 + x^5 + 1, begun with 65535, highest bit first, not
 * reflected, not inverted at the end.  The settings' is over all bytes before `checksum`. */
uint16_t door_crc(const uint8_t *bytes, uint16_t number);

/* The same a byte further, for what comes piece by piece. */
uint16_t door_crc_more(uint16_t crc, uint8_t byte);

/* Put the checksum into filled settings. */
void door_seal(door_settings *settings);

/* Whether settings can be used: door_refusal. */
uint16_t door_settings_refusal(const door_settings *settings);

/* After power-up: state afresh, counters kept where `kept` is given (may be null). */
void door_begin(const door_settings *settings, door_state *state, const uint16_t *kept);

/* For a board whose tick shall be short: what of the next tick hangs on nothing but temperature, supply and
 * what is known already, done before it.  The tick comes out the same with it and without, and with other
 * temperature or supply than it then gets. */
void door_prepare(const door_settings *settings, door_state *state, int16_t temperature_dC,
                  uint16_t supply_mV);

/* One millisecond. */
void door_tick(const door_settings *settings, door_state *state, const door_inputs *inputs,
               door_outputs *outputs);

#endif

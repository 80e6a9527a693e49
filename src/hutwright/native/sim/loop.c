/* The loop: events, the controller's millisecond, the plant's, and what is written down. */
#include <math.h>
#include <stddef.h>
#include "living.h"
#include "plant.h"

#define ENDED_SETTLED 1
#define ENDED_CANCELLED 2
#define ENDED_SENSELESS 3

/* Current that drives the door steadily at that speed of the rod. */
static double steady_current(const sim_door *door, double duty, double speed) {
    double drop = door->bridge_offset * duty,
           most = duty * door->voltage - drop - door->constant * fabs(speed);
    double current =
        most / (door->resistance + door->series_resistance + duty * duty * door->source_resistance);
    if (current < 0.0) current = 0.0;
    return speed < 0.0 ? -current : current;
}

/* Leaf and rod where the scenario wants them, the mount bearing what the leaf asks for. */
static void place(const sim_door *door, const sim_scenario *scenario, double duty, sim_plant *plant) {
    double travel, arm;
    plant->q = scenario->start_open ? door->full : 0.0;
    if (scenario->start_at_q) {
        plant->q = scenario->start_q;
        plant->rate = scenario->start_rate;
    }
    sim_rod(door, plant->q, &travel, &arm);
    plant->speed = arm * plant->rate;
    double load = -sim_load_at(door->gravity, door->full, plant->q);
    if (plant->rate > 0.0) load += sim_load_at(door->resist_open, door->full, plant->q);
    if (plant->rate < 0.0) load -= sim_load_at(door->resist_close, door->full, plant->q);
    plant->travel = travel + (arm != 0.0 ? load / arm / door->mount_stiffness : 0.0);
    if (plant->rate != 0.0) {
        plant->current = steady_current(door, duty, plant->speed);
        plant->bus -= door->source_resistance * duty * fabs(plant->current);
    }
    plant->spring = door->mount_stiffness * (plant->travel - travel);
    plant->speed_before = plant->speed;
    plant->rate_before = plant->rate;
    plant->middle = plant->q;
    plant->middle_travel = travel;
    plant->ice_from = plant->q;
    if (plant->q > door->ice_over) plant->ice = 0.0;
}

/* Share of the rod's travel at which the leaf begins. */
static double starting_share(const sim_door *door, const sim_scenario *scenario) {
    double whole, travel, arm;
    double q = scenario->start_at_q ? scenario->start_q : scenario->start_open ? door->full : 0.0;
    sim_rod(door, door->full, &whole, &arm);
    sim_rod(door, q, &travel, &arm);
    double share = travel / whole;
    return share > 0.0 ? (share < 1.0 ? share : 1.0) : 0.0;
}

/* Duty of a move that is on where the leaf begins: that of the slow stretch within it. */
static uint16_t starting_permille(const sim_door *door, const door_settings *settings,
                                  const sim_scenario *scenario) {
    double from_shut = 1000.0 * starting_share(door, scenario);
    int32_t slow = scenario->start_rate > 0.0 ? 1000.0 - from_shut <= settings->last_open_permille
                                              : from_shut <= settings->last_shut_permille;
    return slow ? settings->last_permille : settings->normal_permille;
}

/* The controller in the midst of a move: zeroed, beyond its ramp and its blind time. */
static void moving(const sim_door *door, const door_settings *settings, const sim_scenario *scenario,
                   const sim_plant *plant, door_state *state) {
    uint8_t way = scenario->start_rate > 0.0 ? DOOR_OPENS : DOOR_CLOSES;
    double current = 1e3 * fabs(plant->current);
    state->decide.mode = way == DOOR_OPENS ? DOOR_OPENING : DOOR_CLOSING;
    state->decide.way = state->decide.last_way = way;
    state->decide.enable = 1;
    state->decide.duty_permille = starting_permille(door, settings, scenario);
    state->decide.run_ms = 1;
    state->detect.way = state->detect.turning = way;
    state->detect.run_ms = settings->blind_ms > 0 ? settings->blind_ms : 1;
    state->detect.start_at = DOOR_START_BINS;
    state->detect.offset_known = 1;
    state->detect.offset_mA = (int16_t)floor(1e3 * door->sensor_offset + 0.5);
    state->detect.filtered_q16 = (uint32_t)(65536.0 * (current < 60000.0 ? current : 60000.0));
    if (door->sense_supply_lead) current *= 1e-3 * state->decide.duty_permille;
    if (plant->current < 0.0 && !door->sense_supply_lead) current = -current;
    state->detect.last_mA[0] = state->detect.last_mA[1] = (int16_t)(current + 1e3 * door->sensor_offset);
}

/* The controller as after earlier moves: it knows its place, and where the leaf moves already, is moving it.
 */
static void knowing(const sim_door *door, const door_settings *settings, const sim_scenario *scenario,
                    const sim_plant *plant, door_state *state) {
    state->detect.place_q30 = (uint32_t)(starting_share(door, scenario) * DOOR_PLACE_OPEN);
    state->detect.place_known = 1;
    state->decide.first_move = 0;
    state->decide.mode = scenario->start_at_q ? DOOR_STOPPED : scenario->start_open ? DOOR_OPEN : DOOR_SHUT;
    if (scenario->start_at_q && scenario->start_rate != 0.0) moving(door, settings, scenario, plant, state);
}

static int32_t possible(const sim_door *door, const sim_scenario *scenario) {
    return door->full > 0.0 && door->inertia > 0.0 && door->rotor_mass > 0.0 && door->mount_stiffness > 0.0 &&
           door->resistance > 0.0 && door->constant > 0.0 && door->efficiency > 0.0 &&
           door->efficiency <= 1.0 && scenario->duration >= 0.0 && scenario->duration < 1e6;
}

static void begin(const sim_door *door, const sim_scenario *scenario, double duty, sim_plant *plant,
                  sim_agenda *agenda) {
    *plant = (sim_plant){0};
    *agenda = (sim_agenda){0};
    sim_plant_begin(door, plant);
    place(door, scenario, duty, plant);
    sim_agenda_begin(door, scenario, agenda);
}

/* Whether the run ends here, and as what. */
static int32_t over(const sim_scenario *scenario, const sim_agenda *agenda, const sim_plant *plant,
                    const sim_watch *watch) {
    if (!sim_sensible(plant)) return ENDED_SENSELESS;
    if (scenario->settle > 0.0 && plant->clock > agenda->last &&
        watch->rest_ms * SIM_TICK >= scenario->settle)
        return ENDED_SETTLED;
    if (scenario->stop_on_release > 0.5 && watch->contact_ms > 0 && watch->released_ms >= 200)
        return ENDED_SETTLED;
    return 0;
}

/* Below its voltage the board is held in reset; above it, it begins anew, and knows nothing but its counters.
 */
static int32_t awake(const sim_door *door, const door_settings *settings, const sim_plant *plant,
                     int32_t was_awake, door_state *state) {
    if (plant->bus < door->brown_out || plant->bus <= 0.0) return 0;
    if (!was_awake) {
        uint16_t kept[DOOR_COUNTERS];
        for (int32_t i = 0; i < DOOR_COUNTERS; i++) kept[i] = state->counters[i];
        door_begin(settings, state, kept);
    }
    return 1;
}

/* One millisecond of the controller: what it reads, says, and is watched for. */
static void control(const sim_door *door, const door_settings *settings, const sim_agenda *agenda,
                    int32_t now, sim_plant *plant, sim_senses *senses, door_state *state, door_inputs *inputs,
                    door_outputs *outputs, sim_watch *watch, sim_result *result) {
    sim_read(door, plant, senses, plant->clock, inputs);
    door_tick(settings, state, inputs, outputs);
    sim_watch_command(settings, state, inputs, outputs, now, watch, result);
    sim_watch_mode(outputs, agenda, plant->clock, watch, result);
    plant->enable = outputs->enable != 0;
    plant->duty = sim_duty(senses, outputs);
}

void sim_run(const sim_door *door, const door_settings *settings, const sim_scenario *scenario,
             sim_result *result, sim_row *rows, int32_t most_rows, int32_t every) {
    sim_plant plant;
    sim_agenda agenda;
    sim_senses senses = {0};
    sim_watch watch = {0};
    door_state state = {0};
    door_inputs inputs = {0};
    door_outputs outputs = {0};
    int32_t is_awake = 1;
    *result = (sim_result){0};
    if (!possible(door, scenario)) {
        result->ended_early = ENDED_SENSELESS;
        return;
    }
    begin(door, scenario, 0.001 * starting_permille(door, settings, scenario), &plant, &agenda);
    sim_senses_begin(door, settings, scenario->seed, &senses);
    door_begin(settings, &state, 0);
    if (scenario->place_known || (scenario->start_at_q && scenario->start_rate != 0.0))
        knowing(door, settings, scenario, &plant, &state);
    sim_watch_begin(door, &plant, state.decide.mode, &watch, result);
    int32_t number = (int32_t)(1000.0 * scenario->duration + 0.5);
    double q_before = plant.q;
    for (int32_t now = 0; now < number && !result->ended_early; now++) {
        plant.clock = now * SIM_TICK;
        sim_happen(door, scenario, &agenda, plant.clock, q_before, &plant, &senses);
        q_before = plant.q;
        is_awake = awake(door, settings, &plant, is_awake, &state);
        if (is_awake) {
            control(door, settings, &agenda, now, &plant, &senses, &state, &inputs, &outputs, &watch, result);
        } else {
            outputs = (door_outputs){0};
            sim_watch_reset(&watch);
            plant.enable = 0;
            plant.duty = 0.0;
        }
        if (rows != 0 && result->rows < most_rows && now % every == 0) {
            sim_row_plant(&plant, &rows[result->rows]);
            sim_row_control(&state, &inputs, &outputs, &rows[result->rows++]);
        }
        sim_plant_tick(door, &plant);
        sim_watch_plant(door, &plant, &watch, result);
        result->ended_early = over(scenario, &agenda, &plant, &watch);
    }
    sim_watch_end(door, &plant, result);
    result->end_mode = outputs.mode;
    result->end_why = outputs.why;
    result->end_fault = outputs.fault;
    for (int32_t i = 0; i < DOOR_COUNTERS; i++) result->counters[i] = state.counters[i];
}

void sim_batch(const sim_door *doors, int32_t door_stride, const door_settings *settings,
               int32_t settings_stride, const sim_scenario *scenarios, int32_t scenario_stride,
               int32_t number, sim_result *results, const volatile int32_t *cancel, volatile int32_t *done) {
    for (ptrdiff_t i = 0; i < number; i++) {
        if (cancel != 0 && *cancel != 0) {
            results[i] = (sim_result){0};
            results[i].ended_early = ENDED_CANCELLED;
            continue;
        }
        sim_run(&doors[i * door_stride], &settings[i * settings_stride], &scenarios[i * scenario_stride],
                &results[i], 0, 0, 1);
        if (done != 0) *done = *done + 1;
    }
}

void sim_free(const sim_door *door, const sim_scenario *scenario, double duty, int32_t enable,
              sim_result *result, sim_row *rows, int32_t most_rows, int32_t every) {
    sim_plant plant;
    sim_agenda agenda;
    sim_senses senses = {0};
    sim_watch watch = {0};
    *result = (sim_result){0};
    if (!possible(door, scenario)) {
        result->ended_early = ENDED_SENSELESS;
        return;
    }
    begin(door, scenario, fabs(duty), &plant, &agenda);
    sim_senses_begin(door, 0, scenario->seed, &senses);
    plant.duty = enable ? duty : 0.0;
    plant.enable = enable != 0;
    sim_watch_begin(door, &plant, DOOR_STOPPED, &watch, result);
    int32_t number = (int32_t)(1000.0 * scenario->duration + 0.5);
    double q_before = plant.q;
    for (int32_t now = 0; now < number && !result->ended_early; now++) {
        plant.clock = now * SIM_TICK;
        sim_happen(door, scenario, &agenda, plant.clock, q_before, &plant, &senses);
        q_before = plant.q;
        if (rows != 0 && result->rows < most_rows && now % every == 0)
            sim_row_plant(&plant, &rows[result->rows++]);
        sim_plant_tick(door, &plant);
        sim_watch_plant(door, &plant, &watch, result);
        result->ended_early = over(scenario, &agenda, &plant, &watch);
    }
    sim_watch_end(door, &plant, result);
}

/* ---- a door that lives on ---- */

typedef struct {
    sim_plant plant;
    sim_senses senses;
} living;

int32_t sim_live_bytes(void) { return (int32_t)sizeof(living); }

int32_t sim_live_begin(const sim_door *door, double q, uint64_t seed, void *live) {
    living *own = live;
    sim_agenda agenda;
    sim_scenario scenario = {0};
    scenario.start_at_q = 1;
    scenario.start_q = q;
    if (!possible(door, &scenario)) return 0;
    begin(door, &scenario, 0.0, &own->plant, &agenda);
    own->senses = (sim_senses){0};
    sim_senses_begin(door, 0, seed, &own->senses);
    return 1;
}

void sim_live_tick(const sim_door *door, double duty, int32_t enable, void *live, door_inputs *inputs) {
    living *own = live;
    own->plant.enable = enable != 0;
    own->plant.duty = enable ? duty : 0.0;
    sim_plant_tick(door, &own->plant);
    own->plant.clock += SIM_TICK;
    sim_read(door, &own->plant, &own->senses, own->plant.clock, inputs);
}

double sim_live_q(const void *live) { return ((const living *)live)->plant.q; }

/* What the controller reads in a millisecond, and what the bridge makes of what it says. */
#include <math.h>
#include "plant.h"

/* A number from a counter (the finaliser of a well-known 64-bit mixer): no state but the count. */
static uint64_t drawn(sim_senses *senses) {
    uint64_t z = senses->seed * 0xD1342543DE82EF95u + 0x9E3779B97F4A7C15u * ++senses->drawn;
    z = (z ^ (z >> 30)) * 0xBF58476D1CE4E5B9u;
    z = (z ^ (z >> 27)) * 0x94D049BB133111EBu;
    return z ^ (z >> 31);
}

/* Near enough normal, deviation 1, never beyond 6: twelve even numbers, and no library's logarithm. */
static double noise(sim_senses *senses, double deviation) {
    int32_t sum = 0;
    if (deviation == 0.0) return 0.0;
    for (int32_t i = 0; i < 3; i++) {
        uint64_t word = drawn(senses);
        for (int32_t part = 0; part < 4; part++) {
            sum += (int32_t)(word & 0xFFFFu);
            word >>= 16;
        }
    }
    return deviation * ((double)sum - 12.0 * 32767.5) / 65536.0;
}

/* The nearest whole number, halves upwards; for what is no greater than 2^52. */
static double whole(double value) {
    double part = (double)(int64_t)(value += 0.5);
    return part > value ? part - 1.0 : part;
}

static double stepped(double value, double step) {
    return step > 0.0 ? step * whole(value / step) : value;
}

static double within(double value, double low, double high) {
    return value < low ? low : value > high ? high : value;
}

void sim_senses_begin(const sim_door *door, const door_settings *settings, uint64_t seed,
                      sim_senses *senses) {
    senses->seed = seed;
    senses->temperature = door->temperature;
    senses->limit_shut = senses->limit_open = -1;
    if (settings == 0) return;
    senses->present = settings->eyes & DOOR_HAS_PRESENT ? DOOR_EYE_CLEAR : DOOR_EYE_NONE;
    senses->beam = settings->eyes & DOOR_HAS_BEAM ? DOOR_EYE_CLEAR : DOOR_EYE_NONE;
    senses->edge = settings->eyes & DOOR_HAS_EDGE ? DOOR_EYE_CLEAR : DOOR_EYE_NONE;
    senses->beating = settings->commands & DOOR_BY_LINE ? 1 : 0;
}

static int16_t current_of(const sim_door *door, const sim_plant *plant, sim_senses *senses, double time) {
    double seen = plant->current, deviation = door->sensor_noise;
    if (door->sense_supply_lead) seen = plant->enable ? plant->duty * seen : -fabs(seen);
    seen *= door->sensor_gain * door->sensor_seen;
    if (senses->fault == 4) seen *= senses->fault_size;
    seen += door->sensor_offset + door->sensor_drift * time;
    if (senses->fault == 3) seen += senses->fault_size;
    if (senses->fault == 5) deviation += senses->fault_size;
    seen += noise(senses, deviation);
    if (senses->fault == 2) seen = senses->fault_size;
    seen = stepped(within(seen, -door->sensor_range, door->sensor_range), door->sensor_step);
    if (senses->fault != 1) senses->last_mA = (int16_t)within(whole(1000.0 * seen), -32767.0, 32767.0);
    return senses->last_mA;
}

void sim_read(const sim_door *door, const sim_plant *plant, sim_senses *senses, double time,
              door_inputs *inputs) {
    double supply = plant->bus + noise(senses, door->supply_noise);
    inputs->current_mA = current_of(door, plant, senses, time);
    inputs->supply_mV =
        (uint16_t)within(whole(1000.0 * stepped(supply, door->supply_step)), 0.0, 65535.0);
    inputs->temperature_dC =
        (int16_t)within(whole(10.0 * (senses->temperature - 273.15)), -32767.0, 32767.0);
    inputs->place_permille = DOOR_NO_PLACE;
    if (door->place_sensor) {
        double share = plant->middle_travel / plant->travel_full;
        inputs->place_permille = (uint16_t)within(whole(1000.0 * share), 0.0, 1000.0);
    }
    int32_t shut = door->board_switches && plant->q <= door->limit_shut;
    int32_t open = door->board_switches && plant->q >= door->limit_open;
    inputs->limit_shut = (uint8_t)(senses->limit_shut < 0 ? shut : senses->limit_shut);
    inputs->limit_open = (uint8_t)(senses->limit_open < 0 ? open : senses->limit_open);
    inputs->present = (uint8_t)senses->present;
    inputs->beam = (uint8_t)senses->beam;
    inputs->edge = (uint8_t)senses->edge;
    inputs->button = (uint8_t)senses->button;
    inputs->relay = (uint8_t)senses->relay;
    inputs->sensor = (uint8_t)senses->sensor;
    inputs->word = (uint8_t)senses->word;
    inputs->line_alive =
        (uint8_t)(senses->word != DOOR_SAY_NOTHING || (senses->beating && senses->beat_ms == 0));
    senses->word = DOOR_SAY_NOTHING;
    senses->beat_ms = senses->beat_ms == 499 ? 0 : senses->beat_ms + 1;
}

/* What the bridge puts on the motor, as share of its voltage, above zero opening. */
double sim_duty(const sim_senses *senses, const door_outputs *outputs) {
    double open = 0.001 * outputs->open_permille, close = 0.001 * outputs->close_permille;
    if (!outputs->enable) return 0.0;
    if (senses->bridge == 1) open = 1.0;
    if (senses->bridge == 2) close = 1.0;
    return within(open - close, -1.0, 1.0);
}

/* A fuzz target for the controller: bytes become settings and inputs, tick by tick, and the commands are held
 * to their promises.  Built with libFuzzer and the sanitizers of addresses and of undefined behaviour by the
 * slow test in test_fuzz.py; main() is libFuzzer's.
 */
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "door.h"

typedef struct {
    const uint8_t *at;
    const uint8_t *end;
} stream;

static uint8_t byte(stream *from)
{
    return from->at < from->end ? *from->at++ : 0u;
}

static uint16_t word(stream *from)
{
    uint16_t low = byte(from);
    return (uint16_t)(low | (uint16_t)((uint16_t)byte(from) << 8));
}

/* A value between two bounds. */
static uint16_t between(stream *from, uint16_t low, uint16_t high)
{
    return (uint16_t)(low + word(from) % ((uint32_t)high - low + 1u));
}

static int16_t either(stream *from, uint16_t most)
{
    return (int16_t)((int32_t)between(from, 0u, (uint16_t)(2u * most)) - (int32_t)most);
}

static void choose_detector(stream *from, door_detector *detector)
{
    size_t i;
    uint16_t level = between(from, 0u, 40000u);
    for (i = 0u; i < DOOR_BINS; i++) {
        detector->profile_mA[i] = (i & 7u) == 0u ? between(from, 0u, 40000u) : level;
    }
    for (i = 0u; i < DOOR_START_BINS; i++) {
        detector->start_mA[i] = (uint16_t)(byte(from) * 150u);
    }
    detector->per_kelvin_uA = either(from, 30000u);
    detector->per_volt_mA = either(from, 5000u);
    detector->trip_mA = between(from, 20u, 40000u);
    detector->rise_mA = (byte(from) & 1u) != 0u ? 65535u : between(from, 20u, 40000u);
}

/* Settings within their ranges. */
static void choose(stream *from, door_settings *s)
{
    s->version = DOOR_SETTINGS_VERSION;
    s->sense = byte(from) & 1u;
    s->ends = byte(from) % 3u;
    s->commands = (uint8_t)between(from, 1u, 15u);
    s->eyes = byte(from) & 7u;
    s->link_lost = byte(from) % 3u;
    s->most_reversals = (uint8_t)between(from, 1u, 9u);
    s->normal_permille = between(from, 100u, 1000u);
    s->last_permille = between(from, 50u, s->normal_permille);
    s->start_permille = between(from, 0u, s->last_permille);
    s->ramp_ms = between(from, 1u, 2000u);
    s->dead_ms = between(from, 5u, 100u);
    s->last_shut_permille = between(from, 0u, 1000u);
    s->last_open_permille = between(from, 0u, 1000u);
    s->opening_cap_ms = between(from, 500u, 3000u);
    s->closing_cap_ms = between(from, 500u, 3000u);
    s->backstop_mA = between(from, 100u, 40000u);
    s->backstop_ms = between(from, 1u, 500u);
    s->filter_q16 = between(from, 64u, 65535u);
    s->slow_q16 = between(from, 16u, 65535u);
    s->after_ms = between(from, 1u, 1000u);
    s->blind_ms = between(from, 0u, 500u);
    s->start_step_ms = between(from, 1u, 500u);
    s->reference_dC = either(from, 600u);
    s->reference_mV = between(from, 3000u, 60000u);
    s->trained_low_dC = either(from, 600u);
    s->trained_high_dC = (int16_t)(s->trained_low_dC + (int16_t)between(from, 0u, 300u));
    s->trained_low_mV = between(from, 0u, 60000u);
    s->trained_high_mV = between(from, s->trained_low_mV, 60000u);
    s->widen_per_kelvin_mA = between(from, 0u, 1000u);
    s->widen_per_volt_mA = between(from, 0u, 5000u);
    s->widen_most_mA = between(from, 0u, 20000u);
    s->start_above_mV = between(from, 3000u, 20000u);
    s->stop_below_mV = between(from, 2000u, (uint16_t)(s->start_above_mV - 1u));
    s->stop_below_ms = between(from, 1u, 5000u);
    s->place_gain_q8 = between(from, 1u, 65535u);
    s->resistance_mohm = between(from, 0u, 60000u);
    s->drop_mV = between(from, 0u, 5000u);
    s->end_permille = between(from, 1u, 300u);
    s->slip_permille = between(from, 10u, 1000u);
    s->zero_ms = between(from, 8u, 200u);
    s->zero_most_mA = between(from, 1u, 10000u);
    s->range_mA = between(from, 1000u, 32000u);
    s->stuck_ms = (byte(from) & 1u) != 0u ? 0u : between(from, 20u, 20000u);
    s->none_mA = between(from, 1u, 5000u);
    s->none_ms = between(from, 5u, 2000u);
    s->relax_permille = between(from, 1u, 200u);
    s->back_permille = between(from, 0u, 1000u);
    s->present_hold_ms = between(from, 0u, 500u);
    s->auto_close_s = byte(from) & 3u;
    s->link_lost_ms = (byte(from) & 1u) != 0u ? 0u : between(from, 200u, 2000u);
    s->debounce_ms = between(from, 1u, 50u);
    s->clear_ms = between(from, 500u, 1000u);
    choose_detector(from, &s->opening);
    choose_detector(from, &s->closing);
    door_seal(s);
}

/* One thing changes. */
static void change(stream *from, door_inputs *in)
{
    uint8_t what = byte(from);
    uint8_t level = byte(from);
    switch (what % 13u) {
    case 0: in->current_mA = (int16_t)word(from); break;
    case 1: in->supply_mV = word(from); break;
    case 2: in->temperature_dC = (int16_t)word(from); break;
    case 3: in->place_permille = (level & 1u) != 0u ? DOOR_NO_PLACE : word(from); break;
    case 4: in->limit_shut = level & 1u; break;
    case 5: in->limit_open = level & 1u; break;
    case 6: in->present = level % 5u; break;
    case 7: in->beam = level % 5u; break;
    case 8: in->edge = level % 5u; break;
    case 9: in->button = level & 1u; break;
    case 10: in->relay = level & 1u; break;
    case 11: in->sensor = level & 1u; break;
    default: in->line_alive = level & 1u; break;
    }
}

static void hold(int kept, const char *promise)
{
    if (!kept) {
        fprintf(stderr, "broken: %s\n", promise);
        abort();
    }
}

typedef struct {
    uint32_t off_ms;
    uint32_t driven_ms;
    int before; /* duty, above zero opening */
    uint16_t counters[DOOR_COUNTERS];
} watch;

static void look(const door_settings *s, const door_state *st, const door_inputs *in, const door_outputs *out,
                 watch *w)
{
    int duty = (int)out->open_permille - (int)out->close_permille;
    int moving = out->mode == DOOR_OPENING || out->mode == DOOR_CLOSING || out->mode == DOOR_REVERSING;
    size_t i;
    hold(out->open_permille == 0u || out->close_permille == 0u, "never both sides");
    hold(out->open_permille <= s->normal_permille, "opening duty in bounds");
    hold(out->close_permille <= s->normal_permille, "closing duty in bounds");
    hold(moving || (duty == 0 && out->enable == 0u), "off when no move is on");
    hold(duty == 0 || out->enable != 0u, "no duty without enable");
    hold(duty == 0 || in->word != DOOR_SAY_STOP, "a stop is obeyed in its tick");
    hold((duty > 0) == (w->before > 0) || w->before == 0 || duty == 0, "no reversal without dead time");
    if (duty != 0 && w->before == 0) {
        hold(w->off_ms >= s->dead_ms, "dead time before every start");
    }
    if (duty < 0) {
        hold((s->eyes & DOOR_HAS_PRESENT) == 0u || in->present == DOOR_EYE_CLEAR, "no closing by the eye");
        hold((s->eyes & DOOR_HAS_BEAM) == 0u || in->beam == DOOR_EYE_CLEAR, "no closing by the beam");
        hold((s->eyes & DOOR_HAS_EDGE) == 0u || in->edge == DOOR_EYE_CLEAR, "no closing by the edge");
    }
    if (s->ends == DOOR_ENDS_SWITCHES) {
        hold(duty <= 0 || in->limit_open == 0u, "no opening past its limit");
        hold(duty >= 0 || in->limit_shut == 0u, "no closing past its limit");
    }
    w->driven_ms = duty != 0 ? w->driven_ms + 1u : 0u;
    w->off_ms = duty == 0 ? w->off_ms + 1u : 0u;
    hold(w->driven_ms <= (duty > 0 ? s->opening_cap_ms : s->closing_cap_ms), "the run-time cap");
    hold(st->detect.place_q30 <= DOOR_PLACE_OPEN, "place in bounds");
    hold(st->detect.covered_q30 <= DOOR_PLACE_OPEN, "way in bounds");
    hold(st->detect.lag_at < DOOR_LAG && st->detect.start_at <= DOOR_START_BINS, "indices in bounds");
    hold(st->decide.dead_ms <= s->dead_ms && st->decide.ramp_sum < s->ramp_ms, "counts in bounds");
    hold(out->may_leave == 0u || out->mode == DOOR_OPEN, "leaving only when open");
    for (i = 0u; i < DOOR_COUNTERS; i++) {
        hold(st->counters[i] >= w->counters[i], "counters only grow");
        w->counters[i] = st->counters[i];
    }
    w->before = duty;
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    stream from = {data, data + size};
    door_settings settings;
    door_state state;
    door_inputs in = {2000, 12000u, 200, DOOR_NO_PLACE, 0u, 0u, 1u, 1u, 1u, 0u, 0u, 0u, 0u, 0u};
    door_outputs out;
    watch w;
    uint32_t ticks = 0u;
    memset(&settings, 0, sizeof settings);
    memset(&state, 0xa5, sizeof state); /* door_begin() must set all of it */
    memset(&w, 0, sizeof w);
    if ((byte(&from) & 15u) == 0u) { /* once in a while: any bytes at all */
        size_t i;
        for (i = 0u; i < sizeof settings; i++) {
            ((uint8_t *)&settings)[i] = byte(&from);
        }
        settings.version = DOOR_SETTINGS_VERSION;
        door_seal(&settings);
    } else {
        choose(&from, &settings);
        hold(door_settings_refusal(&settings) == DOOR_SETTINGS_GOOD, "what is in its range is good");
    }
    door_begin(&settings, &state, NULL);
    while (from.at < from.end && ticks < 20000u) {
        uint16_t times = (uint16_t)(1u + (byte(&from) & 127u) * 4u);
        uint16_t noise = byte(&from);
        in.word = byte(&from) % 9u;
        change(&from, &in);
        while (times-- > 0u) {
            door_inputs now = in;
            /* Current flows where there is duty, so that moves get anywhere at all. */
            now.current_mA = w.before == 0 && (noise & 3u) != 0u ? 0 : in.current_mA;
            door_tick(&settings, &state, &now, &out);
            ticks++;
            in.word = DOOR_SAY_NOTHING;
            if (state.decide.refusal == DOOR_SETTINGS_GOOD) {
                look(&settings, &state, &now, &out, &w);
            } else {
                hold(out.enable == 0u && out.open_permille == 0u && out.close_permille == 0u
                         && out.fault == DOOR_BAD_SETTINGS, "refused settings move nothing");
            }
        }
    }
    return 0;
}

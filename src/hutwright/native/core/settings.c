/* Whether settings can be used, and their checksum.  The ranges are those of door.h. */
#include "parts.h"

/* The layout is the same for every compiler, or it does not compile. */
_Static_assert(sizeof(door_detector) == 88, "a detector has another layout here");
_Static_assert(sizeof(door_settings) == 278, "settings have another layout here");

/* CRC-16 with the polynomial x^16 + x^12 + x^5 + 1, a byte further, highest bit first.  By halves of a byte,
 * and each byte of the result for itself: an 8-bit board shifts 16 bits one by one. */
uint16_t door_crc_more(uint16_t crc, uint8_t byte)
{
    uint8_t folded = (uint8_t)((uint8_t)(crc >> 8) ^ byte);
    uint8_t high;
    folded = (uint8_t)(folded ^ (uint8_t)(folded >> 4));
    high = (uint8_t)((uint8_t)(crc & 255u) ^ (uint8_t)(folded << 4) ^ (uint8_t)(folded >> 3));
    return (uint16_t)((uint16_t)((uint16_t)high << 8) | (uint8_t)((uint8_t)(folded << 5) ^ folded));
}

uint16_t door_crc(const uint8_t *bytes, uint16_t number)
{
    uint16_t crc = 65535u;
    uint16_t i;
    for (i = 0u; i < number; i++) {
        crc = door_crc_more(crc, bytes[i]);
    }
    return crc;
}

static uint16_t checksum_of(const door_settings *settings)
{
    return door_crc((const uint8_t *)settings, (uint16_t)(sizeof(door_settings) - sizeof(uint16_t)));
}

void door_seal(door_settings *settings)
{
    settings->checksum = checksum_of(settings);
}

/* Bounds of a field: the least and the greatest value, and the door_refusal where it is outside them. */
typedef struct {
    uint16_t low;
    uint16_t high;
    uint8_t refusal; /* with SIGNED: the field and its bounds are signed */
} bounds;

#define SIGNED 128u
#define MINUS_600 64936u /* as the 16 bits of a signed field */
#define OFF 65535u /* a rise that is not looked for */

/* The constant table stays out of an 8-bit board's memory. */
#ifdef __FLASH
#define DOOR_TABLE static const __flash
#else
#define DOOR_TABLE static const
#endif

/* A line for each field from normal_permille to clear_ms, in the order of door_settings. */
DOOR_TABLE bounds BOUNDS[] = {
    {100u, 1000u, DOOR_REFUSE_DUTY},
    {50u, 1000u, DOOR_REFUSE_DUTY},
    {0u, 1000u, DOOR_REFUSE_DUTY},
    {1u, 2000u, DOOR_REFUSE_RAMP},
    {5u, 2000u, DOOR_REFUSE_DEAD_TIME},
    {0u, 1000u, DOOR_REFUSE_LAST},
    {0u, 1000u, DOOR_REFUSE_LAST},
    {500u, 60000u, DOOR_REFUSE_RUN_CAP},
    {500u, 60000u, DOOR_REFUSE_RUN_CAP},
    {100u, 40000u, DOOR_REFUSE_BACKSTOP},
    {1u, 500u, DOOR_REFUSE_BACKSTOP},
    {64u, 65535u, DOOR_REFUSE_DETECTOR},
    {16u, 65535u, DOOR_REFUSE_DETECTOR},
    {1u, 1000u, DOOR_REFUSE_DETECTOR},
    {0u, 3000u, DOOR_REFUSE_DETECTOR},
    {1u, 500u, DOOR_REFUSE_DETECTOR},
    {MINUS_600, 900u, DOOR_REFUSE_REGRESSION | SIGNED},
    {3000u, 60000u, DOOR_REFUSE_REGRESSION},
    {MINUS_600, 900u, DOOR_REFUSE_REGRESSION | SIGNED},
    {MINUS_600, 900u, DOOR_REFUSE_REGRESSION | SIGNED},
    {0u, 60000u, DOOR_REFUSE_REGRESSION},
    {0u, 60000u, DOOR_REFUSE_REGRESSION},
    {0u, 1000u, DOOR_REFUSE_REGRESSION},
    {0u, 5000u, DOOR_REFUSE_REGRESSION},
    {0u, 20000u, DOOR_REFUSE_REGRESSION},
    {3000u, 60000u, DOOR_REFUSE_SUPPLY},
    {2000u, 60000u, DOOR_REFUSE_SUPPLY},
    {1u, 5000u, DOOR_REFUSE_SUPPLY},
    {1u, 65535u, DOOR_REFUSE_PLACE},
    {0u, 60000u, DOOR_REFUSE_PLACE},
    {0u, 5000u, DOOR_REFUSE_PLACE},
    {1u, 300u, DOOR_REFUSE_WINDOW},
    {10u, 1000u, DOOR_REFUSE_WINDOW},
    {8u, 2000u, DOOR_REFUSE_ZERO},
    {1u, 10000u, DOOR_REFUSE_ZERO},
    {1000u, 32000u, DOOR_REFUSE_ZERO},
    {0u, 20000u, DOOR_REFUSE_ZERO},
    {1u, 5000u, DOOR_REFUSE_ZERO},
    {5u, 2000u, DOOR_REFUSE_ZERO},
    {1u, 200u, DOOR_REFUSE_REVERSAL},
    {0u, 1000u, DOOR_REFUSE_REVERSAL},
    {0u, 10000u, DOOR_REFUSE_COMMAND},
    {0u, 65535u, DOOR_REFUSE_COMMAND},
    {0u, 60000u, DOOR_REFUSE_COMMAND},
    {1u, 200u, DOOR_REFUSE_COMMAND},
    {500u, 10000u, DOOR_REFUSE_COMMAND},
};
#define NUMBER_OF_BOUNDS 46u
#define BOUNDS_BEGIN 8u /* the byte that normal_permille begins with */

_Static_assert(sizeof(BOUNDS) / sizeof(BOUNDS[0]) == NUMBER_OF_BOUNDS, "a line for each field");
_Static_assert(BOUNDS_BEGIN + 2u * (NUMBER_OF_BOUNDS + 1u) + 2u * sizeof(door_detector)
                   == sizeof(door_settings),
               "fields of 16 bits from the eighth byte on, then the detectors and the checksum");

/* What is found wrong is kept only where it comes before what has been found already. */
static uint8_t sooner(uint8_t refusal, uint8_t found)
{
    return found == DOOR_SETTINGS_GOOD || refusal < found ? refusal : found;
}

/* The field of 16 bits that begins with that byte of the settings; D3. */
static uint16_t field_at(const door_settings *settings, uint8_t at)
{
    const uint8_t *bytes = (const uint8_t *)settings + at;
    return (uint16_t)(bytes[0] | (uint16_t)((uint16_t)bytes[1] << 8));
}

/* The bounds of the table. */
static uint8_t beyond_bounds(const door_settings *settings)
{
    uint8_t found = DOOR_SETTINGS_GOOD;
    uint8_t i;
    for (i = 0u; i < NUMBER_OF_BOUNDS; i++) {
        uint8_t refusal = BOUNDS[i].refusal;
        uint16_t shift = (uint16_t)((uint16_t)(refusal & SIGNED) << 8); /* 32768 or nothing */
        uint16_t shifted = (uint16_t)(field_at(settings, (uint8_t)(BOUNDS_BEGIN + 2u * i)) + shift);
        if (shifted < (uint16_t)(BOUNDS[i].low + shift) || shifted > (uint16_t)(BOUNDS[i].high + shift)) {
            found = sooner((uint8_t)(refusal & (uint8_t)~SIGNED), found);
        }
    }
    return found;
}

/* Within a detector: 40 currents, two slopes, the trip, the rise. */
static uint8_t currents_refused(const uint16_t *current_mA, uint8_t number, uint8_t found)
{
    uint8_t i;
    for (i = 0u; i < number; i++) {
        if (current_mA[i] > 40000u) {
            found = sooner(DOOR_REFUSE_PROFILE, found);
        }
    }
    return found;
}

static uint8_t detector_refused(const door_detector *detector, uint8_t found)
{
    found = currents_refused(detector->profile_mA, DOOR_BINS, found);
    found = currents_refused(detector->start_mA, DOOR_START_BINS, found);
    if (detector->trip_mA < 20u || detector->trip_mA > 40000u
        || (detector->rise_mA != OFF && (detector->rise_mA < 20u || detector->rise_mA > 40000u))) {
        found = sooner(DOOR_REFUSE_DETECTOR, found);
    }
    if (detector->per_kelvin_uA < -30000 || detector->per_kelvin_uA > 30000 || detector->per_volt_mA < -5000
        || detector->per_volt_mA > 5000) {
        found = sooner(DOOR_REFUSE_REGRESSION, found);
    }
    return found;
}

/* What depends on another field, and the fields of one byte. */
static uint8_t together(const door_settings *s, uint8_t found)
{
    if (s->last_permille > s->normal_permille || s->start_permille > s->last_permille) {
        found = sooner(DOOR_REFUSE_DUTY, found);
    }
    if (s->trained_high_dC < s->trained_low_dC || s->trained_high_mV < s->trained_low_mV) {
        found = sooner(DOOR_REFUSE_REGRESSION, found);
    }
    if (s->start_above_mV <= s->stop_below_mV) {
        found = sooner(DOOR_REFUSE_SUPPLY, found);
    }
    if (s->stuck_ms != 0u && s->stuck_ms < 20u) {
        found = sooner(DOOR_REFUSE_ZERO, found);
    }
    if (s->most_reversals < 1u || s->most_reversals > 9u) {
        found = sooner(DOOR_REFUSE_REVERSAL, found);
    }
    if (s->commands < 1u || s->commands > 15u || s->eyes > 7u || s->link_lost > DOOR_LINK_CLOSE
        || (s->link_lost_ms != 0u && s->link_lost_ms < 200u)) {
        found = sooner(DOOR_REFUSE_COMMAND, found);
    }
    return found;
}

/* In the order of door_refusal; D1. */
uint16_t door_settings_refusal(const door_settings *settings)
{
    uint8_t found;
    if (settings->version != DOOR_SETTINGS_VERSION) {
        return DOOR_REFUSE_VERSION;
    }
    if (settings->checksum != checksum_of(settings)) {
        return DOOR_REFUSE_CHECKSUM;
    }
    if (settings->sense > DOOR_SENSE_SUPPLY) {
        return DOOR_REFUSE_SENSE;
    }
    if (settings->ends > DOOR_ENDS_STALL) {
        return DOOR_REFUSE_ENDS;
    }
    found = together(settings, beyond_bounds(settings));
    found = detector_refused(&settings->opening, found);
    return detector_refused(&settings->closing, found);
}

/* The board layer of an 8-bit AVR (ATmega328P) at BOARD_CLOCK_HZ, without an operating system.
 *
 * Timer 0 makes the millisecond, timer 1 the bridge's PWM (both sides, 20 kHz, phase correct), timer 2 runs
 * free and times the echo.  The echo's edges are the only interrupt; the millisecond is a flag
 * that the main loop looks at.  The converter goes round its three channels once each millisecond, polled.
 *
 * Pins (board_config.h may move those that are not tied to a timer, the line or the bus):
 *   PB1 opens, PB2 closes (PWM); BOARD_ENABLE_A, _B the bridge's enable lines, the second for a paralleled
 *   bridge; PD0, PD1 serial line; PC4, PC5 two-wire bus; the converter's channels; contacts to ground with
 *   the inner pull-ups.
 */
#include <avr/interrupt.h>
#include <avr/io.h>
#include <avr/wdt.h>

#include "board.h"
#include "board_config.h"
#include "port.h"

#define MS_COUNTS (BOARD_CLOCK_HZ / 64UL / 1000UL)
#define BAUD_DIVIDER ((BOARD_CLOCK_HZ + 4UL * BOARD_BAUD) / (8UL * BOARD_BAUD) - 1UL)
#define WIRE_DIVIDER ((BOARD_CLOCK_HZ / 100000UL - 16UL) / 2UL)
#if MS_COUNTS > 256 || MS_COUNTS * 64000 != BOARD_CLOCK_HZ
#error "BOARD_CLOCK_HZ: a whole number of 64 kHz is wanted, up to 16 MHz"
#endif
#if BOARD_PWM_TOP * 40000 != BOARD_CLOCK_HZ
#error "BOARD_PWM_TOP: wanted the clock over 40 kHz, for a PWM of 20 kHz"
#endif

/* Pins go by name: D,4 in board_config.h is bit 4 of port D. */
#define PASTE(a, b) a##b
#define DDR_AT(port, bit) PASTE(DDR, port)
#define PORT_AT(port, bit) PASTE(PORT, port)
#define PIN_AT(port, bit) PASTE(PIN, port)
#define MASK_AT(port, bit) ((uint8_t)(1u << (bit)))
#define DDR_OF(...) DDR_AT(__VA_ARGS__)
#define PORT_OF(...) PORT_AT(__VA_ARGS__)
#define PIN_OF(...) PIN_AT(__VA_ARGS__)
#define MASK_OF(...) MASK_AT(__VA_ARGS__)
#define OUTPUT(pin) (DDR_OF(pin) |= MASK_OF(pin))
#define UP(pin) (PORT_OF(pin) |= MASK_OF(pin))
#define DOWN(pin) (PORT_OF(pin) &= (uint8_t)~MASK_OF(pin))
#define IS_UP(pin) ((PIN_OF(pin) & MASK_OF(pin)) != 0u)

static uint16_t converted[PORT_CHANNELS];
static uint8_t channel; /* that is being converted; PORT_CHANNELS: the round is over */

/* ---- the echo ------------------------------------------------------------------------------------------ */

#if BOARD_PRESENT
static volatile uint8_t echo_rose;  /* timer 2 at the rise */
static volatile uint8_t echo_units; /* from rise to fall */
static volatile uint8_t echo_came;  /* 1: that is of this ping */

/* Only the echo's pin is let through to this interrupt. */
ISR(BOARD_ECHO_VECTOR)
{
    uint8_t now = TCNT2;
    if (IS_UP(BOARD_ECHO_PIN)) {
        echo_rose = now;
    } else {
        echo_units = (uint8_t)(now - echo_rose);
        echo_came = 1u;
    }
}

uint16_t port_echo_units(void)
{
    uint16_t units = PORT_ECHO_NONE;
    if (echo_came != 0u) { /* single bytes: nothing to be torn */
        units = echo_units;
        echo_came = 0u;
    }
    return units;
}

void port_ping(uint8_t level)
{
    if (level != 0u) {
        UP(BOARD_PING_PIN);
    } else {
        DOWN(BOARD_PING_PIN);
    }
}
#endif

/* ---- bridge, contacts, converter ----------------------------------------------------------------------- */

void port_bridge(uint16_t open_counts, uint16_t close_counts, uint8_t enable)
{
    if (enable == 0u) {
        DOWN(BOARD_ENABLE_A);
#if BOARD_PARALLELED
        DOWN(BOARD_ENABLE_B);
#endif
    }
    OCR1A = open_counts; /* one main loop writes them: the shared high byte is nobody else's */
    OCR1B = close_counts;
    if (enable != 0u) {
        UP(BOARD_ENABLE_A);
#if BOARD_PARALLELED
        UP(BOARD_ENABLE_B);
#endif
    }
}

void port_may_leave(uint8_t level)
{
    if (level != 0u) {
        UP(BOARD_MAY_LEAVE_PIN);
    } else {
        DOWN(BOARD_MAY_LEAVE_PIN);
    }
}

uint8_t port_contacts(void)
{
    uint8_t up = 0u;
#if BOARD_HAS_LIMITS
    if (IS_UP(BOARD_LIMIT_SHUT_PIN)) {
        up |= PORT_LIMIT_SHUT;
    }
    if (IS_UP(BOARD_LIMIT_OPEN_PIN)) {
        up |= PORT_LIMIT_OPEN;
    }
#endif
    if (IS_UP(BOARD_BUTTON_PIN)) {
        up |= PORT_BUTTON;
    }
    if (IS_UP(BOARD_RELAY_PIN)) {
        up |= PORT_RELAY;
    }
    if (IS_UP(BOARD_SENSOR_PIN)) {
        up |= PORT_SENSOR;
    }
#if BOARD_HAS_BEAM
    if (IS_UP(BOARD_BEAM_PIN)) {
        up |= PORT_BEAM;
    }
#endif
#if BOARD_HAS_EDGE
    if (IS_UP(BOARD_EDGE_PIN)) {
        up |= PORT_EDGE;
    }
#endif
    return (uint8_t)(up ^ BOARD_MADE_IS_LOW);
}

uint16_t port_converted(uint8_t which)
{
    return converted[which];
}

static void convert(uint8_t which)
{
    uint8_t input = BOARD_TEMPERATURE_CHANNEL;
    if (which == PORT_CURRENT) {
        input = BOARD_CURRENT_CHANNEL;
    } else if (which == PORT_SUPPLY) {
        input = BOARD_SUPPLY_CHANNEL;
    }
    channel = which;
    ADMUX = (uint8_t)(BOARD_REFERENCE | input);
    ADCSRA |= (uint8_t)(1u << ADSC);
}

static void go_round(void)
{
    if (channel < PORT_CHANNELS && (ADCSRA & (1u << ADSC)) == 0u) {
        converted[channel] = ADC;
        channel = (uint8_t)(channel + 1u);
        if (channel < PORT_CHANNELS) {
            convert(channel);
        }
    }
}

/* ---- serial line --------------------------------------------------------------------------------------- */

uint16_t port_hear(void)
{
    uint16_t heard = 256u;
    if ((UCSR0A & (1u << RXC0)) != 0u) {
        heard = UDR0;
    }
    return heard;
}

uint8_t port_can_say(void)
{
    return (uint8_t)(UCSR0A & (1u << UDRE0));
}

void port_say(uint8_t byte)
{
    UDR0 = byte;
}

/* ---- store --------------------------------------------------------------------------------------------- */

uint8_t port_store_ready(void)
{
    return (EECR & (1u << EEPE)) == 0u ? 1u : 0u;
}

/* Only between writes: whoever reads has looked whether the store is ready. */
uint8_t port_store_read(uint16_t address)
{
    EEAR = address;
    EECR |= (uint8_t)(1u << EERE);
    return EEDR;
}

void port_store_write(uint16_t address, uint8_t byte)
{
    uint8_t before = SREG;
    EEAR = address;
    EEDR = byte;
    cli(); /* no more than four cycles between the two */
    EECR |= (uint8_t)(1u << EEMPE);
    EECR |= (uint8_t)(1u << EEPE);
    SREG = before;
}

/* ---- two-wire bus -------------------------------------------------------------------------------------- */

#if BOARD_DISPLAY
static uint8_t on_bus; /* 1: between begin and end */

/* A bus that is held down is never ready: the display stands still, and nothing else does. */
uint8_t port_wire_ready(void)
{
    uint8_t now = TWCR;
    return (now & (1u << TWSTO)) == 0u && (on_bus == 0u || (now & (1u << TWINT)) != 0u) ? 1u : 0u;
}

void port_wire_begin(void)
{
    on_bus = 1u;
    TWCR = (uint8_t)((1u << TWINT) | (1u << TWSTA) | (1u << TWEN));
}

void port_wire_byte(uint8_t byte)
{
    TWDR = byte;
    TWCR = (uint8_t)((1u << TWINT) | (1u << TWEN));
}

void port_wire_end(void)
{
    on_bus = 0u;
    TWCR = (uint8_t)((1u << TWINT) | (1u << TWSTO) | (1u << TWEN));
}
#endif

/* ---- power-up and the loop ----------------------------------------------------------------------------- */

/* After a reset by the watchdog it runs on, with the shortest time: off before anything else. */
__attribute__((naked, used, section(".init3"))) void quiet_watchdog(void);
void quiet_watchdog(void)
{
    MCUSR = 0u;
    wdt_disable();
}

static void set_up(void)
{
    OUTPUT(BOARD_ENABLE_A);
#if BOARD_PARALLELED
    OUTPUT(BOARD_ENABLE_B);
#endif
    OUTPUT(BOARD_MAY_LEAVE_PIN);
#if BOARD_HAS_LIMITS
    UP(BOARD_LIMIT_SHUT_PIN);
    UP(BOARD_LIMIT_OPEN_PIN);
#endif
    UP(BOARD_BUTTON_PIN);
    UP(BOARD_RELAY_PIN);
    UP(BOARD_SENSOR_PIN);
#if BOARD_HAS_BEAM
    UP(BOARD_BEAM_PIN);
#endif
#if BOARD_HAS_EDGE
    UP(BOARD_EDGE_PIN);
#endif
    /* phase correct, top in ICR1, cleared going up: 0 is never up, the top is never down */
    ICR1 = BOARD_PWM_TOP;
    TCCR1A = (uint8_t)((1u << COM1A1) | (1u << COM1B1) | (1u << WGM11));
    TCCR1B = (uint8_t)((1u << WGM13) | (1u << CS10));
    DDRB |= (uint8_t)((1u << DDB1) | (1u << DDB2));
    OCR0A = (uint8_t)(MS_COUNTS - 1UL);
    TCCR0A = (uint8_t)(1u << WGM01);
    TCCR0B = (uint8_t)((1u << CS01) | (1u << CS00));
#if BOARD_PRESENT
    OUTPUT(BOARD_PING_PIN);
    TCCR2B = (uint8_t)((1u << CS22) | (1u << CS21) | (1u << CS20)); /* clock / 1024 */
    BOARD_ECHO_MASK |= MASK_OF(BOARD_ECHO_PIN);
    PCICR |= (uint8_t)(1u << BOARD_ECHO_GROUP);
#endif
    UCSR0A = (uint8_t)(1u << U2X0);
    UBRR0 = (uint16_t)BAUD_DIVIDER;
    UCSR0C = (uint8_t)((1u << UCSZ01) | (1u << UCSZ00));
    UCSR0B = (uint8_t)((1u << RXEN0) | (1u << TXEN0));
    ADCSRA = (uint8_t)((1u << ADEN) | (1u << ADPS2) | (1u << ADPS1) | (1u << ADPS0));
#if BOARD_DISPLAY
    TWBR = (uint8_t)WIRE_DIVIDER;
#endif
}

int main(void)
{
    set_up();
    board_begin();
    convert(PORT_CURRENT);
    while (channel < PORT_CHANNELS) { /* the first tick shall read something; a third of a millisecond */
        go_round();
    }
    wdt_enable(WDTO_120MS);
#if BOARD_PRESENT
    sei();
#endif
    for (;;) {
        if ((TIFR0 & (1u << OCF0A)) != 0u) {
            TIFR0 = (uint8_t)(1u << OCF0A);
            board_tick();
            convert(PORT_CURRENT);
            wdt_reset();
        } else {
            go_round();
            board_idle();
        }
    }
}

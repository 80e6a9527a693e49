#include "machine.h"

#include <libelf.h>
#include <simavr/avr_adc.h>
#include <simavr/avr_eeprom.h>
#include <simavr/avr_ioport.h>
#include <simavr/avr_twi.h>
#include <simavr/avr_uart.h>
#include <simavr/sim_avr.h>
#include <simavr/sim_elf.h>
#include <simavr/sim_irq.h>
#include <stdlib.h>
#include <string.h>

#define TIFR0 0x35
#define EECR 0x3F
#define EEAR 0x41
#define OCR1A 0x88
#define OCR1B 0x8A
#define MOST 65536u
#define STORING_CYCLES 54400u /* 3.4 ms: how long a byte of the store takes; this simulator takes none */

struct machine {
    avr_t *avr;
    machine_places places;
    machine_figures figures;
    uint8_t said[MOST], wired[MOST], heard[MOST];
    uint32_t said_at, wired_at, heard_at, heard_end;
    int32_t may_hear;
    uint32_t echo_after_us, echo_long_us;
    avr_cycle_count_t flagged, begun;
    int32_t was_flagged, in_tick, was_ready, storing;
    avr_cycle_count_t stored;
    avr_irq_t *echo;
    int8_t held[3][8]; /* what a wire holds the pins of ports B, C and D at; below 0: nothing does */
    uint32_t *profile;
    int32_t profile_in_tick;
};

/* The chip runs as fast as it can: it never waits for the wall clock. */
static void no_sleep(avr_t *avr, avr_cycle_count_t how_long) { (void)avr, (void)how_long; }

static void silent(avr_t *avr, const int level, const char *format, va_list rest) {
    (void)avr, (void)level, (void)format, (void)rest;
}

static void say(struct avr_irq_t *irq, uint32_t value, void *param) {
    machine *m = param;
    (void)irq;
    if (m->said_at < MOST) m->said[m->said_at++] = (uint8_t)value;
}

static void xon(struct avr_irq_t *irq, uint32_t value, void *param) {
    (void)irq, (void)value;
    ((machine *)param)->may_hear = 1;
}

static void xoff(struct avr_irq_t *irq, uint32_t value, void *param) {
    (void)irq, (void)value;
    ((machine *)param)->may_hear = 0;
}

/* A part on the bus that takes whatever comes. */
static void wire(struct avr_irq_t *irq, uint32_t value, void *param) {
    machine *m = param;
    avr_twi_msg_irq_t v;
    (void)irq;
    v.u.v = value;
    avr_irq_t *back = avr_io_getirq(m->avr, AVR_IOCTL_TWI_GETIRQ(0), TWI_IRQ_INPUT);
    if (v.u.twi.msg & TWI_COND_START) avr_raise_irq(back, avr_twi_irq_msg(TWI_COND_ACK, v.u.twi.addr, 1));
    if (v.u.twi.msg & TWI_COND_WRITE) {
        avr_raise_irq(back, avr_twi_irq_msg(TWI_COND_ACK, v.u.twi.addr, 1));
        if (m->wired_at < MOST) m->wired[m->wired_at++] = v.u.twi.data;
    }
}

static avr_cycle_count_t echo_ends(avr_t *avr, avr_cycle_count_t when, void *param) {
    (void)avr, (void)when;
    avr_raise_irq(((machine *)param)->echo, 0);
    return 0;
}

static avr_cycle_count_t echo_begins(avr_t *avr, avr_cycle_count_t when, void *param) {
    machine *m = param;
    (void)when;
    avr_raise_irq(m->echo, 1);
    avr_cycle_timer_register_usec(avr, m->echo_long_us, echo_ends, param);
    return 0;
}

static void pinged(struct avr_irq_t *irq, uint32_t value, void *param) {
    machine *m = param;
    (void)irq;
    if (value == 0 && m->echo_long_us != 0)
        avr_cycle_timer_register_usec(m->avr, m->echo_after_us, echo_begins, param);
}

machine *machine_new(const char *elf, const machine_places *places, const uint8_t *store, uint32_t number) {
    elf_firmware_t firmware = {0};
    avr_global_logger_set(silent);
    if (elf_read_firmware(elf, &firmware) != 0) return 0;
    machine *m = calloc(1, sizeof(machine));
    m->places = *places;
    memset(m->held, -1, sizeof m->held);
    m->avr = avr_make_mcu_by_name("atmega328p");
    avr_init(m->avr);
    m->avr->frequency = 16000000;
    avr_load_firmware(m->avr, &firmware);
    m->avr->sleep = no_sleep;
    m->avr->vcc = m->avr->avcc = m->avr->aref = 5000;
    uint32_t flags = 0; /* nothing to the console, no waiting for the polled line */
    avr_ioctl(m->avr, AVR_IOCTL_UART_SET_FLAGS('0'), &flags);
    if (store != 0) {
        avr_eeprom_desc_t all = {.ee = (uint8_t *)store, .offset = 0, .size = number};
        avr_ioctl(m->avr, AVR_IOCTL_EEPROM_SET, &all);
    }
    avr_irq_register_notify(avr_io_getirq(m->avr, AVR_IOCTL_UART_GETIRQ('0'), UART_IRQ_OUTPUT), say, m);
    avr_irq_register_notify(avr_io_getirq(m->avr, AVR_IOCTL_UART_GETIRQ('0'), UART_IRQ_OUT_XON), xon, m);
    avr_irq_register_notify(avr_io_getirq(m->avr, AVR_IOCTL_UART_GETIRQ('0'), UART_IRQ_OUT_XOFF), xoff, m);
    avr_irq_register_notify(avr_io_getirq(m->avr, AVR_IOCTL_TWI_GETIRQ(0), TWI_IRQ_OUTPUT), wire, m);
    avr_irq_register_notify(avr_io_getirq(m->avr, AVR_IOCTL_IOPORT_GETIRQ('C'), 3), pinged, m);
    m->echo = avr_io_getirq(m->avr, AVR_IOCTL_IOPORT_GETIRQ('C'), 2);
    m->may_hear = 1;
    machine_figures_clear(m);
    return m;
}

void machine_free(machine *m) {
    avr_terminate(m->avr);
    free(m->avr);
    free(m);
}

static void pull(machine *m, char port, int32_t bit) {
    int8_t level = m->held[port - 'B'][bit];
    if (level >= 0)
        avr_raise_irq(avr_io_getirq(m->avr, AVR_IOCTL_IOPORT_GETIRQ(port), bit), (uint32_t)level);
}

/* The simulator forgets a pin that is pulled down when its port is written to. */
static void pull_all(machine *m) {
    for (char port = 'B'; port <= 'D'; port++)
        for (int32_t bit = 0; bit < 8; bit++) pull(m, port, bit);
}

/* One instruction, and what is to be watched at each. */
static int32_t step(machine *m) {
    avr_t *avr = m->avr;
    uint32_t where = avr->pc >> 1;
    avr_cycle_count_t before = avr->cycle;
    int state = avr_run(avr);
    if (m->profile != 0 && m->in_tick == m->profile_in_tick) m->profile[where] += (uint32_t)(avr->cycle - before);
    uint32_t stack = avr->data[R_SPL] | (uint32_t)avr->data[R_SPH] << 8;
    int32_t flagged = avr->data[TIFR0] >> 1 & 1;
    if (stack > m->places.heap_end && stack < m->figures.least_stack) m->figures.least_stack = stack;
    if (flagged && !m->was_flagged) m->flagged = avr->cycle;
    if (!flagged && m->was_flagged) m->begun = avr->cycle, m->in_tick = 1, pull_all(m);
    m->was_flagged = flagged;
    int32_t ready = avr->data[EECR] >> 2 & 1;
    if (m->was_ready && !ready) { /* the master enable has gone: the byte is on its way */
        m->storing = 1;
        m->stored = avr->cycle + STORING_CYCLES;
        avr->data[EECR] |= 2;
    } else if (m->storing && avr->cycle >= m->stored) {
        m->storing = 0;
        avr->data[EECR] &= (uint8_t)~2;
    }
    m->was_ready = ready;
    return state == cpu_Done || state == cpu_Crashed ? -1 : 0;
}

/* The line's bytes come one by one, at its own pace. */
static void feed(machine *m) {
    if (m->heard_at < m->heard_end && m->may_hear) {
        avr_raise_irq(avr_io_getirq(m->avr, AVR_IOCTL_UART_GETIRQ('0'), UART_IRQ_INPUT),
                      m->heard[m->heard_at % MOST]);
        m->heard_at++;
    }
}

static void more(uint32_t *worst, avr_cycle_count_t from, avr_cycle_count_t to) {
    if (to > from && to - from > *worst) *worst = (uint32_t)(to - from);
}

int32_t machine_tick(machine *m, uint32_t most_cycles) {
    avr_t *avr = m->avr;
    avr_cycle_count_t end = avr->cycle + most_cycles;
    const uint8_t *ticks = avr->data + m->places.ticks;
    uint8_t before = *ticks;
    while (avr->cycle < end) {
        if (step(m) != 0) return -1;
        if (*ticks != before) {
            if (m->in_tick) {
                more(&m->figures.worst_tick, m->begun, avr->cycle);
                more(&m->figures.worst_late, m->flagged, m->begun);
                more(&m->figures.worst_together, m->flagged, avr->cycle);
            }
            m->in_tick = 0;
            const uint8_t *data = avr->data;
            if ((data[OCR1A] | data[OCR1A + 1]) && (data[OCR1B] | data[OCR1B + 1])) m->figures.both_sides++;
            for (int32_t i = 0; i < 8; i++) /* the other byte of the counter is stored by then */
                if (step(m) != 0) return -1;
            feed(m);
            return 1;
        }
    }
    return 0;
}

int32_t machine_cycles(machine *m, uint32_t number) {
    avr_cycle_count_t end = m->avr->cycle + number;
    while (m->avr->cycle < end)
        if (step(m) != 0) return -1;
    return 0;
}

void machine_read(const machine *m, uint32_t address, uint8_t *to, uint32_t number) {
    memcpy(to, m->avr->data + address, number);
}

void machine_write(machine *m, uint32_t address, const uint8_t *from, uint32_t number) {
    memcpy(m->avr->data + address, from, number);
}

void machine_store(machine *m, uint8_t *to) {
    avr_eeprom_desc_t all = {.ee = to, .offset = 0, .size = 1024};
    avr_ioctl(m->avr, AVR_IOCTL_EEPROM_GET, &all);
}

int32_t machine_storing(machine *m) {
    const uint8_t *data = m->avr->data;
    return data[EECR] & 2 ? data[EEAR] | data[EEAR + 1] << 8 : -1;
}

void machine_pin(machine *m, char port, int32_t bit, int32_t level) {
    m->held[port - 'B'][bit] = (int8_t)level;
    pull(m, port, bit);
}

int32_t machine_level(machine *m, char port, int32_t bit) {
    avr_ioport_state_t state;
    avr_ioctl(m->avr, AVR_IOCTL_IOPORT_GETSTATE(port), &state);
    return (int32_t)((state.port & state.ddr) >> bit & 1u);
}

void machine_counts(machine *m, int32_t channel, uint32_t counts) {
    uint32_t mv = (counts * 5000u + 1022u) / 1023u;
    avr_raise_irq(avr_io_getirq(m->avr, AVR_IOCTL_ADC_GETIRQ, ADC_IRQ_ADC0 + channel), mv);
}

void machine_echo(machine *m, uint32_t after_us, uint32_t long_us) {
    m->echo_after_us = after_us;
    m->echo_long_us = long_us;
}

void machine_hear(machine *m, const uint8_t *bytes, uint32_t number) {
    for (uint32_t i = 0; i < number && m->heard_end - m->heard_at < MOST; i++)
        m->heard[m->heard_end++ % MOST] = bytes[i];
}

static uint32_t taken(uint8_t *from, uint32_t *at, uint8_t *to, uint32_t most) {
    uint32_t number = *at < most ? *at : most;
    memcpy(to, from, number);
    memmove(from, from + number, *at - number);
    *at -= number;
    return number;
}

uint32_t machine_said(machine *m, uint8_t *to, uint32_t most) { return taken(m->said, &m->said_at, to, most); }

uint32_t machine_wired(machine *m, uint8_t *to, uint32_t most) {
    return taken(m->wired, &m->wired_at, to, most);
}

void machine_figures_of(machine *m, machine_figures *figures) {
    *figures = m->figures;
    figures->cycles = m->avr->cycle;
}

void machine_figures_clear(machine *m) {
    m->figures = (machine_figures){0};
    m->figures.least_stack = m->avr->ramend;
}

void machine_profile(machine *m, uint32_t *cycles_at, int32_t in_tick) {
    m->profile = cycles_at;
    m->profile_in_tick = in_tick;
}

static void unjam(avr_t *avr);
static uint8_t jammed[2];
static uint32_t jammed_at;
static void (*plain_reset)(avr_t *avr);

static void unjam(avr_t *avr) {
    memcpy(avr->flash + jammed_at, jammed, 2);
    avr->reset = plain_reset;
    if (plain_reset != 0) plain_reset(avr);
}

void machine_jam(machine *m) {
    jammed_at = m->avr->pc;
    memcpy(jammed, m->avr->flash + jammed_at, 2);
    m->avr->flash[jammed_at] = 0xFF; /* rjmp .-2 */
    m->avr->flash[jammed_at + 1] = 0xCF;
    plain_reset = m->avr->reset;
    m->avr->reset = unjam;
}

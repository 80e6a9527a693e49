/* A board layer in its plainest form: the template for a new board, and the board that tests run on the host.
 *
 * To make a layer for another board, copy this folder and give each function the hardware's own registers.
 * What the functions promise stands in port.h.  A real layer also has a main: set the pins up with the bridge
 * off first of all, call board_begin(), start the watchdog, and then for ever board_tick() each millisecond
 * and board_idle() in between (avr8/main.c is one).  Here whoever tests is the main, and the hardware is the
 * record below: it turns the knobs and reads the dials.
 */
#include "port.h"

#include "board.h"
#include "host.h"

host_hardware host;

void host_idle(uint16_t times)
{
    while (times != 0u) {
        board_idle();
        times = (uint16_t)(times - 1u);
    }
}

void port_bridge(uint16_t open_counts, uint16_t close_counts, uint8_t enable)
{
    host.open_counts = open_counts;
    host.close_counts = close_counts;
    host.enable = enable;
}

uint16_t port_converted(uint8_t channel)
{
    return host.converted[channel];
}

uint8_t port_contacts(void)
{
    return host.contacts;
}

void port_ping(uint8_t level)
{
    host.ping = level;
}

uint16_t port_echo_units(void)
{
    uint16_t units = host.echo_units;
    host.echo_units = PORT_ECHO_NONE;
    return units;
}

void port_may_leave(uint8_t level)
{
    host.may_leave = level;
}

uint16_t port_hear(void)
{
    uint16_t heard = host.heard;
    host.heard = 256u;
    return heard;
}

uint8_t port_can_say(void)
{
    return host.said_number < HOST_SAID_BYTES ? 1u : 0u;
}

void port_say(uint8_t byte)
{
    host.said[host.said_number] = byte;
    host.said_number = (uint16_t)(host.said_number + 1u);
}

uint8_t port_store_ready(void)
{
    return 1u;
}

uint8_t port_store_read(uint16_t address)
{
    return host.store[address];
}

/* A worn cell keeps its old byte; a cut leaves everything from then on as it was. */
void port_store_write(uint16_t address, uint8_t byte)
{
    if (host.writes_left != 0u && address != host.worn) {
        host.store[address] = byte;
    }
    host.writes_left = (uint16_t)(host.writes_left != 0u ? host.writes_left - 1u : 0u);
}

uint8_t port_wire_ready(void)
{
    return host.wire_stuck == 0u ? 1u : 0u;
}

void port_wire_begin(void)
{
    host.wired_number = 0u;
}

void port_wire_byte(uint8_t byte)
{
    if (host.wired_number < HOST_WIRED_BYTES) {
        host.wired[host.wired_number] = byte;
        host.wired_number = (uint16_t)(host.wired_number + 1u);
    }
}

void port_wire_end(void)
{
    host.wired_whole = host.wired_number;
}

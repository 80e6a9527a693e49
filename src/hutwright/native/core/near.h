/* D4: from a pointer that is kept, a field is a short way off, which takes an 8-bit board half the program
 * that an address takes.  Its compiler writes the address wherever it knows it: here it is kept from knowing.
 */
#ifndef HUTWRIGHT_DOOR_NEAR_H
#define HUTWRIGHT_DOOR_NEAR_H

#if defined(__AVR__)
#define DOOR_NEAR(pointer) __asm__("" : "+r"(pointer))
#else
#define DOOR_NEAR(pointer) ((void)0)
#endif

#endif

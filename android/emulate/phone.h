/* A phone of our own to run the library on: what the parts of it have in common. */
#pragma once
#include <pthread.h>
#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* ---- Java ---- */

typedef union {
    uint8_t z;
    int32_t i;
    int64_t j;
    float f;
    double d;
    struct object *l;
} value;

typedef struct object {
    char *class_name;
    char *text;             /* of a string, of an address, of an exception's message */
    struct object *held[8]; /* what was put into it: the elements of an array */
    int count;
} object;

object *new_object(const char *class_name, const char *text);
void *java_machine(void);
void *java_environment(void);
/* What a call answers; the phone's own doing. `self` is nothing for a static one. */
value answer(const char *class_name, const char *method, object *self, const value *with);
void throw_new(const char *class_name, const char *message);

/* ---- The platform ---- */

typedef struct looper looper;
looper *looper_here(void);
/* Does what the looper of this thread has been given to do, for so many milliseconds. */
void run_here(int milliseconds);

typedef struct window window;
window *make_window(int width, int height);
/* The frame shown last, as a picture. */
void picture(window *of, const char *path);
int frames(window *of);
enum lost { HAD, BEFORE_LOCK, BEFORE_POST };
void lose(window *it, enum lost when);
int width_of(window *it);

typedef struct queue queue;
queue *make_queue(void);
void touch(queue *to, int action, int finger, float x, float y);
/* Two fingers at once: `which` does `action`. */
void touch_two(queue *to, int action, int which, float x0, float y0, float x1, float y1);
void key(queue *to, int action, int code);
int waiting(queue *in);

extern struct configuration {
    int density, night;
    char language[4];
} configuration;

/* Where calls are written down, and where all else is said. */
extern FILE *calls, *report;

extern int window_flags;
extern int finished;
extern int polls;
extern bool storage_full;

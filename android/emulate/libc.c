/* Where the platform's C library differs from the one that is here: names, numbers, and the sizes of
   what a caller holds. What is larger here is kept aside, and the caller holds the way to it. */
#include <errno.h>
#include <unistd.h>

#include "phone.h"
#include <dlfcn.h>

int *__errno(void) { return __errno_location(); }

long sysconf(int name) {
    static long (*real)(int);
    if (!real) real = (long (*)(int))dlsym(RTLD_NEXT, "sysconf");
    switch (name) {
    case 0x27: /* _SC_PAGESIZE */
    case 0x28: /* _SC_PAGE_SIZE */ return real(_SC_PAGESIZE);
    case 0x60: /* _SC_NPROCESSORS_CONF */ return real(_SC_NPROCESSORS_CONF);
    case 0x61: /* _SC_NPROCESSORS_ONLN */ return real(_SC_NPROCESSORS_ONLN);
    case 0x47: /* _SC_GETGR_R_SIZE_MAX */
    case 0x48: /* _SC_GETPW_R_SIZE_MAX */ return 1024;
    default: fprintf(report, "sysconf(0x%x) is not known here\n", name); abort();
    }
}

int __xpg_strerror_r(int number, char *into, size_t size);
int strerror_r_of_platform(int number, char *into, size_t size) __asm__("strerror_r");
int strerror_r_of_platform(int number, char *into, size_t size) { return __xpg_strerror_r(number, into, size); }

/* A mutex is 40 bytes there and 48 here; what marks a recursive one is a long there. */
typedef struct { pthread_mutex_t *real; } held;

static void *next(const char *name) { return dlsym(RTLD_NEXT, name); }

static pthread_mutex_t *real_mutex(held *it) {
    pthread_mutex_t *real = __atomic_load_n(&it->real, __ATOMIC_ACQUIRE);
    if (real) return real;
    pthread_mutex_t *made = calloc(1, sizeof *made);
    if (__atomic_compare_exchange_n(&it->real, &real, made, false, __ATOMIC_ACQ_REL, __ATOMIC_ACQUIRE)) return made;
    free(made);
    return real;
}

#define NAMED(type, ours, name, parameters) \
    type ours parameters __asm__(#name);    \
    type ours parameters

NAMED(int, attributes_init, pthread_mutexattr_init, (long *it)) { *it = 0; return 0; }
NAMED(int, attributes_destroy, pthread_mutexattr_destroy, (long *it)) { (void)it; return 0; }
NAMED(int, attributes_settype, pthread_mutexattr_settype, (long *it, int type)) { *it = type; return 0; }

NAMED(int, mutex_init, pthread_mutex_init, (held *it, const long *attributes)) {
    static const pthread_mutex_t plain = PTHREAD_MUTEX_INITIALIZER;
    static const pthread_mutex_t recursive = PTHREAD_RECURSIVE_MUTEX_INITIALIZER_NP;
    it->real = malloc(sizeof *it->real);
    *it->real = attributes && *attributes == 1 ? recursive : plain;
    return 0;
}

NAMED(int, mutex_destroy, pthread_mutex_destroy, (held *it)) {
    free(it->real);
    it->real = NULL;
    return 0;
}

#define PASSED(ours, name)                                 \
    NAMED(int, ours, name, (held *it)) {                   \
        static int (*real)(pthread_mutex_t *);             \
        if (!real) real = (int (*)(pthread_mutex_t *))next(#name); \
        return real(real_mutex(it));                       \
    }
PASSED(mutex_lock, pthread_mutex_lock)
PASSED(mutex_trylock, pthread_mutex_trylock)
PASSED(mutex_unlock, pthread_mutex_unlock)

/* What a thread is made with is 56 bytes there and 64 here. */
typedef struct { pthread_attr_t *real; } made_with;

NAMED(int, with_init, pthread_attr_init, (made_with *it)) {
    it->real = malloc(sizeof *it->real);
    return ((int (*)(pthread_attr_t *))next("pthread_attr_init"))(it->real);
}

NAMED(int, with_destroy, pthread_attr_destroy, (made_with *it)) {
    ((int (*)(pthread_attr_t *))next("pthread_attr_destroy"))(it->real);
    free(it->real);
    return 0;
}

NAMED(int, with_stack, pthread_attr_setstacksize, (made_with *it, size_t size)) {
    return ((int (*)(pthread_attr_t *, size_t))next("pthread_attr_setstacksize"))(it->real, size);
}

NAMED(int, with_get_stack, pthread_attr_getstack, (const made_with *it, void **at, size_t *size)) {
    return ((int (*)(const pthread_attr_t *, void **, size_t *))next("pthread_attr_getstack"))(it->real, at, size);
}

NAMED(int, with_guard, pthread_attr_getguardsize, (const made_with *it, size_t *size)) {
    return ((int (*)(const pthread_attr_t *, size_t *))next("pthread_attr_getguardsize"))(it->real, size);
}

NAMED(int, with_of, pthread_getattr_np, (pthread_t of, made_with *it)) {
    it->real = malloc(sizeof *it->real);
    return ((int (*)(pthread_t, pthread_attr_t *))next("pthread_getattr_np"))(of, it->real);
}

NAMED(int, thread_create, pthread_create, (pthread_t *made, const made_with *with, void *(*run)(void *), void *data)) {
    return ((int (*)(pthread_t *, const pthread_attr_t *, void *(*)(void *), void *))next("pthread_create"))(
        made, with ? with->real : NULL, run, data);
}

/* Nothing here forks. */
int pthread_atfork(void (*before)(void), void (*after)(void), void (*in_child)(void)) {
    (void)before; (void)after; (void)in_child;
    return 0;
}

/* What was said last is on its way to the log through a pipe and a thread. */
NAMED(void, give_up, abort, (void)) {
    usleep(300000);
    ((void (*)(void))next("abort"))();
}

/* A storage that is full takes nothing more. */
bool storage_full;

static ssize_t no_room(void) {
    errno = ENOSPC;
    return -1;
}

NAMED(ssize_t, write_here, write, (int to, const void *from, size_t size)) {
    if (storage_full && to > 2 && size > 8) return no_room();
    return ((ssize_t (*)(int, const void *, size_t))next("write"))(to, from, size);
}

/* Copies that the kernel does. */
NAMED(ssize_t, copy_here, copy_file_range, (int from, off_t *at, int to, off_t *to_at, size_t size, unsigned how)) {
    if (storage_full) return no_room();
    return ((ssize_t (*)(int, off_t *, int, off_t *, size_t, unsigned))next("copy_file_range"))(
        from, at, to, to_at, size, how);
}

NAMED(ssize_t, send_here, sendfile, (int to, int from, off_t *at, size_t size)) {
    if (storage_full) return no_room();
    return ((ssize_t (*)(int, int, off_t *, size_t))next("sendfile"))(to, from, at, size);
}

NAMED(ssize_t, write_at, pwrite, (int to, const void *from, size_t size, off_t at)) {
    if (storage_full) return no_room();
    return ((ssize_t (*)(int, const void *, size_t, off_t))next("pwrite"))(to, from, size, at);
}

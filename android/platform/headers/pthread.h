#pragma once
#include <sys/types.h>

/* A long here; four bytes on other systems. */
typedef long pthread_mutexattr_t;
typedef struct {
    int32_t __private[10];
} pthread_mutex_t;

#define PTHREAD_MUTEX_INITIALIZER {{0}}
#define PTHREAD_MUTEX_RECURSIVE 1

int pthread_mutex_init(pthread_mutex_t *mutex, const pthread_mutexattr_t *attributes);
int pthread_mutex_destroy(pthread_mutex_t *mutex);
int pthread_mutex_lock(pthread_mutex_t *mutex);
int pthread_mutex_trylock(pthread_mutex_t *mutex);
int pthread_mutex_unlock(pthread_mutex_t *mutex);
int pthread_mutexattr_init(pthread_mutexattr_t *attributes);
int pthread_mutexattr_destroy(pthread_mutexattr_t *attributes);
int pthread_mutexattr_settype(pthread_mutexattr_t *attributes, int type);

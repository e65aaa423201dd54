#pragma once
#include <sys/types.h>

struct timespec {
    time_t tv_sec;
    long tv_nsec;
};
struct tm {
    int tm_sec;
    int tm_min;
    int tm_hour;
    int tm_mday;
    int tm_mon;
    int tm_year;
    int tm_wday;
    int tm_yday;
    int tm_isdst;
    long tm_gmtoff;
    const char *tm_zone;
};

time_t time(time_t *into);
struct tm *localtime_r(const time_t *at, struct tm *into);
int nanosleep(const struct timespec *time, struct timespec *left);

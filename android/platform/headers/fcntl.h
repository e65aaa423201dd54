#pragma once
#include <sys/types.h>

#define O_RDONLY 00000000
#define O_RDWR 00000002
#define O_CREAT 00000100
#define O_EXCL 00000200
/* arm64 has values of its own for these. */
#define O_NOFOLLOW 0100000
#define O_LARGEFILE 0400000
#define O_CLOEXEC 02000000

#define F_GETFD 1
#define F_SETFD 2
#define F_GETLK 5
#define F_SETLK 6
#define F_SETLKW 7
#define F_RDLCK 0
#define F_WRLCK 1
#define F_UNLCK 2
#define FD_CLOEXEC 1

struct flock {
    int16_t l_type;
    int16_t l_whence;
    off_t l_start;
    off_t l_len;
    pid_t l_pid;
};

int open(const char *path, int flags, ...);
int fcntl(int fd, int command, ...);

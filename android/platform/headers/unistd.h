#pragma once
#include <stdio.h>
#include <sys/types.h>

#define F_OK 0
#define W_OK 2
#define R_OK 4
/* Numbered as nowhere else. */
#define _SC_PAGESIZE 0x0027

int access(const char *path, int mode);
int close(int fd);
int fchown(int fd, uid_t owner, gid_t group);
int fsync(int fd);
int ftruncate(int fd, off_t length);
char *getcwd(char *into, size_t size);
uid_t geteuid(void);
pid_t getpid(void);
ssize_t pread(int fd, void *into, size_t size, off_t offset);
ssize_t pwrite(int fd, const void *from, size_t size, off_t offset);
ssize_t read(int fd, void *into, size_t size);
ssize_t readlink(const char *path, char *into, size_t size);
int rmdir(const char *path);
int unlink(const char *path);
long sysconf(int name);
ssize_t write(int fd, const void *from, size_t size);

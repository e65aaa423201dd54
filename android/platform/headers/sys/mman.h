#pragma once
#include <sys/types.h>

#define PROT_READ 0x1
#define PROT_WRITE 0x2
#define MAP_SHARED 0x01
#define MAP_FAILED ((void *)-1)
#define MREMAP_MAYMOVE 1

void *mmap(void *at, size_t length, int protection, int flags, int fd, off_t offset);
int munmap(void *at, size_t length);
void *mremap(void *at, size_t length, size_t to_length, int flags, ...);

#pragma once
#include <stddef.h>

void *memchr(const void *in, int what, size_t size);
int memcmp(const void *one, const void *other, size_t size);
void *memcpy(void *to, const void *from, size_t size);
void *memmove(void *to, const void *from, size_t size);
void *memset(void *to, int what, size_t size);
char *strchr(const char *in, int what);
char *strrchr(const char *in, int what);
int strcmp(const char *one, const char *other);
int strncmp(const char *one, const char *other, size_t size);
size_t strlen(const char *text);
size_t strspn(const char *text, const char *of);
size_t strcspn(const char *text, const char *of);

#pragma once
#include <stddef.h>

void *malloc(size_t size);
void *realloc(void *memory, size_t size);
void free(void *memory);
char *getenv(const char *name);
void qsort(void *array, size_t count, size_t size, int (*compare)(const void *, const void *));

/* SQLite prints by itself: only the names of the types are wanted. */
#pragma once
#include <sys/types.h>

typedef struct __sFILE FILE;

#define FILENAME_MAX 4096
#define SEEK_SET 0


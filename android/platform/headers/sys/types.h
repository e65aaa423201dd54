/* The platform's types on arm64. */
#pragma once
#include <stddef.h>
#include <stdint.h>

typedef int64_t off_t;
typedef int64_t off64_t;
typedef int64_t ssize_t;
typedef int64_t time_t;
typedef int64_t suseconds_t;
typedef uint64_t dev_t;
typedef uint64_t ino_t;
typedef uint32_t mode_t;
typedef uint32_t nlink_t;
typedef uint32_t uid_t;
typedef uint32_t gid_t;
typedef int32_t pid_t;
